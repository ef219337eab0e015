"""Whether a person who marked the corners alone took the root for the tip: four corners fit a tooth either way."""

from __future__ import annotations

import numpy as np

from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.half_turn import half_turned, root_for_tip
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.marked_edges import look_at_edges
from patternscan.seeing.outline_search.snapping import snap_outline

CLEARER = 0.03
"""By so much tip and ends lie on clearer edges when the corners are turned by half a turn."""


def refuse_turned_corners(photo: Photo, given: Outline, snapped: Outline, pair: WormPair | None) -> None:
    """Raise NoTrustworthyOutline where corners, once they are turned, are drawn onto plainly clearer edges.

    ``snapped`` is what the given outline was drawn to, see ``snap_outline``; both in the pixels that are held.
    """
    turned, told = snap_outline(photo, half_turned(given), pair)
    if told.code == "outline-fitted" and _clearness(photo, turned) > _clearness(photo, snapped) + CLEARER:
        raise root_for_tip()


def _clearness(photo: Photo, outline: Outline) -> float:
    return float(np.mean(list(look_at_edges(photo, outline).clear.values())))
