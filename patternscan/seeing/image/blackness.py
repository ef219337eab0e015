"""A photo in which nothing can be seen at all, or no colour."""

from __future__ import annotations

import numpy as np

from patternscan.errors import UnreadablePhoto
from patternscan.seeing.image.photo import Photo

BLACK, LIT = 24, 0.01
"""A photo of which less than the second part is as bright as the first code is black."""
GREY = 2
"""Where the three codes of no pixel differ by more, the picture has no colours."""
DARKNESS = "far-too-dark"
"""The caution that says the same of a flank."""


def refuse_black(photo: Photo) -> None:
    """Raises UnreadablePhoto for a black photo."""
    looked_at = photo.pixels[::4, ::4]
    if np.count_nonzero(looked_at >= BLACK) < LIT * looked_at.size:
        found = f"{photo.name} is black: nothing can be seen in it."
        raise UnreadablePhoto(found, "Take it again with a lamp beside.", DARKNESS)


def is_grey(photo: Photo) -> bool:
    """Whether a photo has no colours, so that compound on it cannot be told from a shadow."""
    return all(np.ptp(row, axis=1).max() <= GREY for row in photo.pixels[::4, ::4])  # most end with the first row
