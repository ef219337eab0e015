"""A photo as a page shows it: smaller, and made from its pixels alone."""

from __future__ import annotations

from PIL import Image

from patternscan.seeing.image.photo import Photo

LONG_SIDE_PX = 1600
"""Sharp on a phone's screen, and quickly sent."""


def photo_view(photo: Photo) -> Image.Image:
    """The upright photo with a long side of at most LONG_SIDE_PX."""
    picture = Image.fromarray(photo.pixels)
    shrink = min(1.0, LONG_SIDE_PX / max(picture.size))
    size = (max(1, round(picture.width * shrink)), max(1, round(picture.height * shrink)))
    return picture if size == picture.size else picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
