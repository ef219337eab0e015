"""Where the tooth tip points in a photo, as the printed tags of both ends tell it."""

from __future__ import annotations

import numpy as np

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
    toward = np.array([y, -x] if flank is Flank.RIGHT else [-y, x])
    side = max(PictureSide, key=lambda one: float(toward @ one.vector))
    return side if float(toward @ side.vector) > CLEAR * float(np.hypot(x, y)) else None
