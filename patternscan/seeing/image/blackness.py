"""A photo in which nothing can be seen at all."""

from __future__ import annotations

import numpy as np

from patternscan.errors import UnreadablePhoto
from patternscan.seeing.image.photo import Photo

BLACK = 24
"""A photo of which all but a hundredth is darker than this code is black."""
DARKNESS = "far-too-dark"
"""The caution that says the same of a flank."""


def refuse_black(photo: Photo) -> None:
    """Raises UnreadablePhoto for a black photo."""
    if np.percentile(photo.pixels[::4, ::4], 99) < BLACK:
        found = f"{photo.name} is black: nothing can be seen in it."
        raise UnreadablePhoto(found, "Take it again with a lamp beside.", DARKNESS)
