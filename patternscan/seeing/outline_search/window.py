"""A window on a photo, turned so that the tip points up, as the net is shown it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.finder_net import SIZE_PX

Numbers = NDArray[np.float64]

QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.RIGHT: 1, PictureSide.DOWN: 2, PictureSide.LEFT: 3}
"""Anticlockwise quarter turns that bring the tip up."""
BESIDE = 128
"""Grey value of what the window shows beside the photo."""


@dataclass(frozen=True, slots=True)
class Window:
    """The part of a photo round its pixel ``x``, ``y`` that a picture of SIZE_PX columns and so many ``rows`` shows;
    the columns stand for ``side`` px, and the tip points to ``tip`` in the photo. ``mirrored``: left and right changed
    over.
    """

    x: float
    y: float
    side: float
    tip: PictureSide
    rows: int = SIZE_PX
    mirrored: bool = False

    @classmethod
    def whole(cls, photo: Photo, tip: PictureSide) -> Window:
        """All of a photo."""
        width, height = photo.held_px
        return cls((width - 1) / 2, (height - 1) / 2, float(max(width, height)), tip)

    def picture(self, photo: Photo) -> NDArray[np.uint8]:
        """What it shows, sRGB (rows, SIZE_PX, 3)."""
        turns = QUARTER_TURNS[self.tip]
        shown_px = (self.rows, SIZE_PX) if turns % 2 else (SIZE_PX, self.rows)
        sides = [self.side * px / SIZE_PX for px in shown_px]
        left, top = (round(at + 0.5 - side / 2) for at, side in zip((self.x, self.y), sides, strict=True))
        width, height = (max(1, round(side)) for side in sides)
        x, y = max(left, 0), max(top, 0)
        part = photo.pixels[y : max(top + height, y), x : max(left + width, x)]
        shown = np.full((*shown_px[::-1], 3), BESIDE, dtype=np.uint8)
        across, down = shown_px[0] / width, shown_px[1] / height
        columns = slice(round((x - left) * across), round((x - left + part.shape[1]) * across))
        rows = slice(round((y - top) * down), round((y - top + part.shape[0]) * down))
        size = (columns.stop - columns.start, rows.stop - rows.start)
        if min(*size, *part.shape[:2]) > 0:
            shown[rows, columns] = _resized(part, size)
        turned = np.rot90(shown, turns)
        return np.ascontiguousarray(turned[:, ::-1] if self.mirrored else turned)

    def in_photo(self, points: Numbers) -> Numbers:
        """Pixels (..., 2) of the picture as pixels of the photo."""
        across, down = points[..., 0] - (SIZE_PX - 1) / 2, points[..., 1] - (self.rows - 1) / 2
        if self.mirrored:
            across = -across
        for _ in range(QUARTER_TURNS[self.tip]):
            across, down = -down, across
        scale = self.side / SIZE_PX
        return np.stack([self.x + scale * across, self.y + scale * down], axis=-1)

    def in_picture(self, pixels: Numbers) -> Numbers:
        """Pixels (..., 2) of the photo as pixels of the picture."""
        scale = self.side / SIZE_PX
        across, down = (pixels[..., 0] - self.x) / scale, (pixels[..., 1] - self.y) / scale
        for _ in range(QUARTER_TURNS[self.tip]):
            across, down = down, -across
        if self.mirrored:
            across = -across
        return np.stack([across + (SIZE_PX - 1) / 2, down + (self.rows - 1) / 2], axis=-1)


def _resized(part: NDArray[np.uint8], size: tuple[int, int]) -> NDArray[np.uint8]:
    """A part of a photo at another size (width, height); a much larger one is thinned first, which is quick."""
    every = max(1, min(part.shape[1] // size[0], part.shape[0] // size[1]) // 2)
    how = cv2.INTER_AREA if part.shape[1] > size[0] else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(part[::every], size, interpolation=how), dtype=np.uint8)
