"""Which flank a photo shows: by its name, or by where the painted A is seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import Outline, PictureSide, flank_shown
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD
from patternscan.seeing.geometry.told_medium import ToldMedium

BESIDE = 0.25
"""Part of the flank's length, from either end, in which a touch still means that end and not the middle."""


def chosen_flank(
    named: Flank | None, end_a: PictureSide | None, tip: PictureSide, told: ToldMedium = NOTHING_TOLD
) -> Flank:
    """The flank by its name, or by where end A is seen and the tip points; both are checked against each other.

    ``told``: what was photographed; on the side of tape or paper that touched the tooth end A is seen at the other end.
    """
    if end_a is None:
        if named is not None:
            return named
        raise WrongUse(
            "It is not said which flank the photo shows.",
            "Give --flank left or right, or --end-a with the side where the letter A is seen.",
        )
    lift = told.lift
    shown = flank_shown(tip, end_a, lift is not None and lift.mirrored)
    if named not in (None, shown):
        raise InconsistentInputs(
            f"With the tip {tip} and end A {end_a} the photo shows a {shown} flank, but --flank says {named}.",
            "Look again which end face carries the letter A; if the photo is mirrored, take it again."
            if lift is None
            else "Look again where the letter A was written, and which side of the tape or paper is seen.",
        )
    return shown


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
