"""A photo in which nothing can be seen at all, or no colour."""

from __future__ import annotations

import numpy as np

from patternscan.errors import NoCompound, UnreadablePhoto
from patternscan.seeing.image.photo import Photo

BLACK, LIT = 24, 0.01
"""A photo of which less than the second part is as bright as the first code is black."""
GREY = 2
"""Where the three codes of no pixel differ by more, the picture has no colours."""
DARKNESS, COLOURLESS = "far-too-dark", "no-colours"
"""What such photos are at fault for; the first is the caution that says the same of a flank."""


def refuse_black(photo: Photo) -> None:
    """Raises UnreadablePhoto for a black photo."""
    looked_at = photo.pixels[::4, ::4]
    if np.count_nonzero(looked_at >= BLACK) < LIT * looked_at.size:
        found = f"{photo.name} is black: nothing can be seen in it."
        raise UnreadablePhoto(found, "Take it again with a lamp beside.", DARKNESS)


def refuse_grey(photo: Photo) -> None:
    """Raises NoCompound for a photo without colours: an outline marked on it by hand would help no more."""
    if all(np.ptp(row, axis=1).max() <= GREY for row in photo.pixels[::4, ::4]):  # most end with the first row
        raise no_colours(photo.name)


def no_colours(name: str) -> NoCompound:
    """Compound on it cannot be told from a shadow."""
    found = f"{name} is black and white: compound is told by its colour."
    return NoCompound(found, "Give the photo in colours, or take it again without a filter.", COLOURLESS)
