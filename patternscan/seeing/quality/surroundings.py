"""The flank with what lies round it in the photo, coarsely: tip land, root and end faces are seldom marked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.placed_flank import PlacedFlank
from patternscan.seeing.image.lab import Singles, lab
from patternscan.seeing.image.shrinking import shrunk

ROWS, COLUMNS = 32, 128
"""Grid of places on the flank that are looked at."""
LEAST_CELL_PX = 2
"""A large photo is shrunk until a cell of that grid is about this wide."""
MARGIN = 10
"""So many rows and columns beyond each edge are looked at too, as far as the edge runs on straight."""
BESIDE = slice(1, 6)
"""Rows beyond tip and root that are taken for tip land and root: the edges are marked to a row only."""


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """``pixels``: sRGB, uint8 (ROWS + 2 MARGIN, COLUMNS + 2 MARGIN, 3), row MARGIN = tip, column MARGIN = end A;
    ``colours``: the same in CIE L*a*b*, float32; ``inside``: bool, cells that lie in the photo.
    """

    pixels: NDArray[np.uint8]
    colours: Singles
    inside: NDArray[np.bool_]

    @property
    def strips(self) -> tuple[NDArray[np.uint8], ...]:
        """What lies beyond the tip and beyond the root, (rows, COLUMNS, 3), the row nearest to the flank first."""
        return tuple(pixels for pixels, _ in self._strips())

    @property
    def tip_and_root(self) -> tuple[NDArray[np.uint8], ...]:
        """Colours (n, 3) of what is seen beyond the tip and beyond the root."""
        return tuple(np.asarray(pixels[inside], dtype=np.uint8) for pixels, inside in self._strips())

    def _strips(self) -> Iterator[tuple[NDArray[np.uint8], NDArray[np.bool_]]]:
        columns = slice(MARGIN, MARGIN + COLUMNS)
        rows = slice(MARGIN + ROWS + BESIDE.start, MARGIN + ROWS + BESIDE.stop)
        for order in (slice(None, None, -1), slice(None)):
            yield self.pixels[order][rows, columns], self.inside[order][rows, columns]


def look_round(placed: PlacedFlank) -> Surroundings:
    """Look up the flank and, as far as its edges run on straight, what lies beyond them. Blurred by half a cell."""
    pixels = placed.photo.pixels
    along, up = (np.arange(COLUMNS) + 0.5) / COLUMNS, 1 - (np.arange(ROWS) + 0.5) / ROWS
    at = placed.flank_map.to_photo(np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)).reshape(ROWS, COLUMNS, 2)
    at = _run_on(_run_on(at, 0), 1)
    size = np.array(pixels.shape[1::-1])
    inside = np.all((at >= 0) & (at <= size - 1), axis=-1)
    cell = float(np.linalg.norm(np.diff(at[:: ROWS // 2], axis=1), axis=2).mean())
    times = max(1, int(cell / LEAST_CELL_PX))
    low = np.clip(np.floor(at.min(axis=(0, 1))).astype(int) - times - 4, 0, size - 2)
    high = np.clip(np.ceil(at.max(axis=(0, 1))).astype(int) + times + 5, low + 2, size)
    part = pixels[low[1] : high[1], low[0] : high[0]]
    small = cv2.GaussianBlur(shrunk(part, times), (0, 0), max(0.5 * cell / times, 1.0))
    grid = ((at - low + 0.5) / times - 0.5).astype(np.float32)
    sampled = cv2.remap(small, grid[..., 0], grid[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    seen = np.asarray(sampled, dtype=np.uint8)
    return Surroundings(seen, lab(seen), np.asarray(inside))


def _run_on(at: NDArray[np.float64], axis: int) -> NDArray[np.float64]:
    """The places with MARGIN more on either side of an axis, a straight line's continuation."""
    ahead = np.arange(1, MARGIN + 1).reshape((-1, 1, 1) if axis == 0 else (1, -1, 1))
    first, second, third, last = (np.take(at, [k], axis=axis) for k in (0, 6, -7, -1))
    before = first + (first - second) / 6 * np.flip(ahead, axis=axis)
    after = last + (last - third) / 6 * ahead
    return np.concatenate([before, at, after], axis=axis)
