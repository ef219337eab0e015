"""Which flank a photo shows, told by where the painted A is seen beside its outline."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import Outline

BESIDE = 0.25
"""Part of the flank's length, from either end, in which a touch still means that end and not the middle."""


def flank_by_end_a(outline: Outline, seen_at: tuple[float, float]) -> Flank | None:
    """The flank that an outline shows when the A is seen at a place (x, y in px); None for a place in the middle.

    With the tip up the right flank shows end A on the left (ISO 1122-1, end face A as the reference face).
    """
    first, last = outline.end_a.mean(axis=0), outline.end_b.mean(axis=0)
    along = last - first
    place = float(np.dot(np.asarray(seen_at) - first, along) / np.dot(along, along))
    if BESIDE < place < 1 - BESIDE:
        return None
    return outline.flank if place <= BESIDE else outline.flank.other


def as_flank(outline: Outline, flank: Flank) -> Outline:
    """The same four edges as an outline of this flank: where it is the other one, end A and end B change places."""
    if outline.flank is flank:
        return outline
    return replace(
        outline,
        flank=flank,
        root=outline.root[::-1].copy(),
        tip=outline.tip[::-1].copy(),
        end_a=outline.end_b.copy(),
        end_b=outline.end_a.copy(),
    )
