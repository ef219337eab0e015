"""An outline on which root and tip were taken for one another, and end A and end B with them.

It runs round as the right one does, so that it contradicts no flank that was said, and it turns the answer round.
"""

from __future__ import annotations

from dataclasses import replace

from patternscan.errors import NoTrustworthyOutline
from patternscan.seeing.geometry.outline import Outline


def half_turned(outline: Outline) -> Outline:
    """The same border with root and tip, and end A and end B, changed over."""
    return replace(
        outline,
        root=outline.tip[::-1],
        tip=outline.root[::-1],
        end_a=outline.end_b[::-1],
        end_b=outline.end_a[::-1],
    )


def root_for_tip() -> NoTrustworthyOutline:
    """The stop for an outline that surely is so."""
    return NoTrustworthyOutline(
        "The outline has root and tip of the tooth changed over, and end A and end B with them.",
        "Mark the flank again: the tip is the free edge, where the tooth stops; the root lies at its foot, between the "
        "teeth.",
    )
