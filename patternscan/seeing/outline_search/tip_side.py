"""Which way the tips point in a photo: the net looks at small copies of it, turned to every side."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.finder_net import all_tooth_maps
from patternscan.seeing.outline_search.seen_teeth import flank_weight
from patternscan.seeing.outline_search.window import QUARTER_TURNS, Window

SMALL_PX = 224
"""Side of the copies, a multiple of STRIDE."""
SMALLER_PX, PLAIN_LEAD = 160, 2.0
"""Side of copies that are enough where so many times more is seen of flanks with the tip where it is supposed than of
any other: half the work. On dev, rims and port that was so of 49 of 59 flanks; turned wrongly, 58 of them had 1.2 at
most."""
UP_FIRST = 1.5
"""How much more must be seen of flanks with another tip than of flanks with the tip up: photos are mostly taken so."""


def tip_side(photo: Photo) -> PictureSide:
    """Where the tips of the flanks point that the photo shows best; up when no flank is seen."""
    seen = _flanks_by_turns(Window.whole(photo, PictureSide.UP).picture(photo))
    seen[QUARTER_TURNS[PictureSide.UP]] *= UP_FIRST
    return _side(int(np.argmax(seen)))


def tip_side_of_window(picture: NDArray[np.uint8], supposed: PictureSide, lead: float) -> PictureSide:
    """Where the tips point in the photo, by the picture of a window (side, side, 3) that was turned as if they pointed
    to the side ``supposed``, which must have so much more than the others.
    """
    smaller = _flanks_by_turns(picture, SMALLER_PX)
    if smaller[0] > PLAIN_LEAD * max(smaller[1:]):
        return supposed
    seen = _flanks_by_turns(picture)
    seen[0] /= lead
    return _side(QUARTER_TURNS[supposed] + int(np.argmax(seen)))


def _flanks_by_turns(picture: NDArray[np.uint8], side_px: int = SMALL_PX) -> list[float]:
    """How much a picture (side, side, 3) shows of flanks with the tip up after 0 to 3 quarter turns anticlockwise."""
    small = cv2.resize(picture, (side_px, side_px), interpolation=cv2.INTER_AREA)
    return [flank_weight(maps) for maps in all_tooth_maps(np.stack([np.rot90(small, turns) for turns in range(4)]))]


def _side(turns: int) -> PictureSide:
    return next(side for side, wanted in QUARTER_TURNS.items() if wanted == turns % 4)
