"""A square window on a photo, turned so that the tip points up, as the net is shown it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.net_output import SIZE_PX

Numbers = NDArray[np.float64]

QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.RIGHT: 1, PictureSide.DOWN: 2, PictureSide.LEFT: 3}
"""Anticlockwise quarter turns that bring the tip up."""
BESIDE = 128
"""Grey value of what the window shows beside the photo."""


@dataclass(frozen=True, slots=True)
class Window:
    """The square of ``side`` px round the photo's pixel ``x``, ``y``; the tip points to ``tip`` in the photo."""

    x: float
    y: float
    side: float
    tip: PictureSide

    @classmethod
    def whole(cls, photo: Photo, tip: PictureSide) -> Window:
        """All of a photo."""
        width, height = photo.held_px
        return cls((width - 1) / 2, (height - 1) / 2, float(max(width, height)), tip)

    def picture(self, photo: Photo) -> NDArray[np.uint8]:
        """What it shows, sRGB (SIZE_PX, SIZE_PX, 3)."""
        left, top = round(self.x + 0.5 - self.side / 2), round(self.y + 0.5 - self.side / 2)
        side = max(1, round(self.side))
        x, y = max(left, 0), max(top, 0)
        part = photo.pixels[y : max(top + side, y), x : max(left + side, x)]
        shown = np.full((SIZE_PX, SIZE_PX, 3), BESIDE, dtype=np.uint8)
        scale = SIZE_PX / side
        first, last = (
            ((x - left) * scale, (y - top) * scale),
            ((x - left + part.shape[1]) * scale, (y - top + part.shape[0]) * scale),
        )
        columns, rows = slice(round(first[0]), round(last[0])), slice(round(first[1]), round(last[1]))
        size = (columns.stop - columns.start, rows.stop - rows.start)
        if min(*size, *part.shape[:2]) > 0:
            shown[rows, columns] = _resized(part, size)
        return np.ascontiguousarray(np.rot90(shown, QUARTER_TURNS[self.tip]))

    def in_photo(self, points: Numbers) -> Numbers:
        """Pixels (..., 2) of the picture as pixels of the photo."""
        middle = (SIZE_PX - 1) / 2
        across, down = points[..., 0] - middle, points[..., 1] - middle
        for _ in range(QUARTER_TURNS[self.tip]):
            across, down = -down, across
        scale = self.side / SIZE_PX
        return np.stack([self.x + scale * across, self.y + scale * down], axis=-1)


def _resized(part: NDArray[np.uint8], size: tuple[int, int]) -> NDArray[np.uint8]:
    """A part of a photo at another size (width, height); a much larger one is thinned first, which is quick."""
    every = max(1, min(part.shape[1] // size[0], part.shape[0] // size[1]) // 2)
    how = cv2.INTER_AREA if part.shape[1] > size[0] else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(part[::every], size, interpolation=how), dtype=np.uint8)
