"""Where the tooth tip points in a photo, as the printed tags of both ends tell it, or those of a printed card."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import End, Flank
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.tags.seen_tag import SeenTags

CLEAR = 0.87
"""Cosine of the angle, 30 degrees, within which a direction means that side of the picture (own guess)."""


def tip_told(seen: SeenTags, flank: Flank) -> PictureSide | None:
    """Where the tip of this flank's tooth points; None unless one tag of either end is seen and they tell it clearly.

    With the tip up a right flank shows end A on the left (ISO 1122-1), so its tip lies a quarter turn anticlockwise
    from the way from A to B, and that of a left flank clockwise.
    """
    ends = {tag.end: tag.centre for tag in seen.tags}
    if len(seen.tags) != len(End) or len(ends) != len(End) or len({tag.pair for tag in seen.tags}) > 1:
        return None
    x, y = ends[End.B] - ends[End.A]
    return _clear_side(np.array([y, -x] if flank is Flank.RIGHT else [-y, x]))


def tip_on_card(seen: SeenTags) -> PictureSide | None:
    """Where the tip of a print points on its printed card, whose tags stand upright; None without one clear answer."""
    sides = {_clear_side(tag.upward) for tag in seen.tags}
    return sides.pop() if len(sides) == 1 and len({tag.pair for tag in seen.tags}) == 1 else None


def _clear_side(toward: NDArray[np.float64]) -> PictureSide | None:
    """The side of the picture that a direction means; None for one that lies between two."""
    side = max(PictureSide, key=lambda one: float(toward @ one.vector))
    return side if float(toward @ side.vector) > CLEAR * float(np.hypot(*toward)) else None
