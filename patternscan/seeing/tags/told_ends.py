"""Which end of an outlined flank is which, as the printed tags tell it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs
from patternscan.frame import End
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.tags.seen_tag import SeenTag, SeenTags

ASIDE, NEAR = -0.25, 1.5
"""A tag tells an end when its middle is seen no further inside that end of the flank than a quarter of the face width
and no further beyond it than one and a half. See ``tests/benchmarks/pasted_tags.py``."""
NEAR_ON_CARD = 4.0
"""On the printed card of a print the tags lie further off a narrow one, and nothing else does."""
SWAPPED = (
    "Either end A and end B are swapped in the outline, or the wrong flank was named, or the tags sit on the wrong end "
    "faces: look for the painted A, then mark the flank or fix the tags anew."
)

SWAPPED_ON_CARD = (
    "Either the other side of the tape or paper is seen than was said, or it lies end for end on its card, or the "
    "wrong flank was named: look at what is printed on the card."
)


def refuse_foreign(seen: SeenTags, pair: int | None, photo: str) -> None:
    """Raise InconsistentInputs for a mirrored photo, and for a tag of another pair than the machine's (None: any)."""
    if seen.mirrored:
        raise InconsistentInputs(
            f"{photo} is mirrored: its printed tag reads only in a mirror.",
            "Take the photo again without the selfie camera, or switch off what mirrors it.",
        )
    strange = sorted({tag.pair for tag in seen.tags} - {pair})
    if pair is not None and strange:
        raise InconsistentInputs(
            f"{photo} shows a printed tag of pair {strange[0]}, but the machine sheet says pair {pair}.",
            "Either the photo is of another machine, or the sheet is: give those that belong together.",
        )


def ends_told(seen: SeenTags, outline: Outline, photo: str) -> bool:
    """Whether the tags show the ends where the outline has them; False also when they do not tell for sure.

    Raises InconsistentInputs when they show the ends the other way round.
    """
    if len({tag.pair for tag in seen.tags}) > 1:
        return False
    told = [(tag, side) for tag in seen.tags for side in _side(tag, outline)]
    wrong = [tag for tag, side in told if tag.end is not side]
    if wrong:
        shown = outline.flank if outline.lift is None else f"{outline.lift.medium} off the {outline.flank}"
        raise InconsistentInputs(
            f"{photo} shows the printed tag of end {wrong[0].end} where the {shown} flank has its end "
            f"{wrong[0].end.other}.",
            SWAPPED if outline.lift is None else SWAPPED_ON_CARD,
        )
    return bool(told)


def _side(tag: SeenTag, outline: Outline) -> Iterator[End]:
    """The end beside which the tag is seen; nothing when it lies before the flank or far from it."""
    along, up = _place(tag.centre, outline)
    aside = abs(along - 0.5) - 0.5
    near = NEAR if outline.lift is None else NEAR_ON_CARD
    if ASIDE <= aside <= near and abs(up - 0.5) <= NEAR * _slenderness(outline):
        yield End.A if along < 0.5 else End.B


def _place(point: NDArray[np.float64], outline: Outline) -> Sequence[float]:
    """Along and up of a point of the photo, as if the flank were flat and went on for ever."""
    root_a, root_b = outline.root[0], outline.root[-1]
    tip_a, tip_b = outline.tip[0], outline.tip[-1]
    end_a, end_b = (root_a + tip_a) / 2, (root_b + tip_b) / 2
    height = (tip_a + tip_b - root_a - root_b) / 2
    along, up = np.linalg.solve(np.column_stack([end_b - end_a, height]), point - (end_a + end_b) / 2) + 0.5
    return float(along), float(up)


def _slenderness(outline: Outline) -> float:
    return outline.width_px / max(outline.height_px, 1.0)
