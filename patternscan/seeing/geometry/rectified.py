"""The rectified flank: tip at the top, end A on the left, always."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.mapping import FlankMap
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.shrinking import shrunk

FLAT_COLUMNS = 512
"""Columns of a rectified flank, end A to end B."""
FLAT_ROWS = 256
"""Rows of a rectified flank, tip to root."""
SPARSE = 4
"""Every so manieth cell is enough to tell how large the cells are in the photo."""
KNOTS = 4
"""The place in the photo is worked out for every so manieth cell; between, it is within a fifth of a cell."""

GREY = 2
"""Where the three codes of no cell differ by more, a flank has no colours."""


@dataclass(frozen=True, slots=True, eq=False)
class RectifiedFlank:
    """The flank as a rectangle. Row 0 is the tip, column 0 is end A.

    ``pixels``: uint8 sRGB (FLAT_ROWS, FLAT_COLUMNS, 3). ``seen``: bool (FLAT_ROWS, FLAT_COLUMNS), False where
    the place lies outside the photo.
    ``width_px``/``height_px``: mean size of the flank in the photo.
    The centre of cell [row, col] is along = (col + 0.5) / FLAT_COLUMNS, up = 1 - (row + 0.5) / FLAT_ROWS.
    """

    pixels: NDArray[np.uint8]
    seen: NDArray[np.bool_]
    width_px: float
    height_px: float

    def __post_init__(self) -> None:
        self.pixels.flags.writeable = False
        self.seen.flags.writeable = False

    @property
    def is_grey(self) -> bool:
        """Whether it has no colours at all, as in a black and white photo."""
        return all(np.ptp(row, axis=1).max() <= GREY for row in self.pixels)  # most end with the first row


def rectify(photo: Photo, cells_px: NDArray[np.float32], outline: Outline) -> RectifiedFlank:
    """Look up each cell where ``cells_in_photo`` says it is seen, averaging over the cell's area."""
    (x, y), (rows, columns) = np.moveaxis(cells_px, -1, 0), photo.pixels.shape[:2]
    seen = (x >= -0.5) & (x <= columns - 0.5) & (y >= -0.5) & (y <= rows - 0.5)
    return RectifiedFlank(_look_up(photo.pixels, cells_px), seen, outline.width_px, outline.height_px)


def cells_in_photo(flank_map: FlankMap) -> NDArray[np.float32]:
    """Pixel position of every cell's centre, (FLAT_ROWS, FLAT_COLUMNS, 2).

    A flank is smooth: it is asked for every so manieth place only, and the cells between lie on straight lines. Single
    precision places them to a thousandth of a pixel.
    """
    rows, columns = FLAT_ROWS // KNOTS, FLAT_COLUMNS // KNOTS
    along, up = np.linspace(0, 1, columns + 1), np.linspace(1, 0, rows + 1)
    knots = flank_map.to_photo(np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)).astype(np.float32)
    down = _between(knots.reshape(rows + 1, columns + 1, 2))
    return np.ascontiguousarray(_between(down.transpose(1, 0, 2)).transpose(1, 0, 2))


def _between(knots: NDArray[np.float32]) -> NDArray[np.float32]:
    """What lies at the centres of cells (n * KNOTS, ...), between knots (n + 1, ...) KNOTS cells apart edge to edge."""
    share = ((np.arange(KNOTS, dtype=np.float32) + np.float32(0.5)) / KNOTS).reshape(-1, *(1,) * (knots.ndim - 1))
    between = knots[:-1, None] * (1 - share) + knots[1:, None] * share
    return np.asarray(between, dtype=np.float32).reshape(-1, *knots.shape[1:])


def _look_up(pixels: NDArray[np.uint8], at: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Colours at pixel positions (rows, cols, 2), each averaged over its cell.

    Works on the part of the photo around them only. Where a cell is more than a pixel, the photo is shrunk by
    the cell's shorter side and looked up several times along its longer one, so that no pixel is skipped.
    """
    rows, cols = pixels.shape[:2]
    sparse = at[::SPARSE, ::SPARSE]
    down, across = (float(np.linalg.norm(np.diff(sparse, axis=axis), axis=2).mean()) / SPARSE for axis in (0, 1))
    margin = 3 + int(2 * SPARSE * max(down, across))
    low = np.clip(np.floor(sparse.min(axis=(0, 1))).astype(int) - margin, 0, [cols - 1, rows - 1])
    high = np.clip(np.ceil(sparse.max(axis=(0, 1))).astype(int) + margin, low + 1, [cols, rows])
    part = pixels[low[1] : high[1], low[0] : high[0]]
    grid = at - low.astype(np.float32)
    factor = max(1, int(min(down, across)))
    if factor > 1:
        part = shrunk(part, factor)
        grid = (grid + 0.5) / factor - 0.5
    samples = (max(1, round(across / factor)), max(1, round(down / factor)))
    return _averaged_remap(part, grid, samples)


def _averaged_remap(part: NDArray[np.uint8], grid: NDArray[np.float32], samples: tuple[int, int]) -> NDArray[np.uint8]:
    """Colours at the pixels of a grid, each the mean of ``samples`` (across, down) positions within its cell."""
    rows, cols = grid.shape[:2]
    fine = grid if samples == (1, 1) else cv2.resize(grid, (cols * samples[0], rows * samples[1]))
    sampled = cv2.remap(part, fine[..., 0], fine[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    averaged = sampled if fine is grid else cv2.resize(sampled, (cols, rows), interpolation=cv2.INTER_AREA)
    return np.asarray(averaged, dtype=np.uint8)
