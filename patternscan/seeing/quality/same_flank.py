"""Whether two rectified flanks are one flank that was photographed twice.

Whatever light, camera and outline, tool marks, scratches and grain of metal and film lie at the same places of one
flank; of two flanks they do not. Both are brought to the grey of their fine detail and laid over each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.rectified import RectifiedFlank

Grid = NDArray[np.float32]
Mask = NDArray[np.bool_]

ALIKE = 0.5
"""Correlation of fine detail from which two flanks are one. `tests/benchmarks/second_exposures.py` dev rims port
gave 0.15 at most for left and right flanks of one wheel (28 pairs), 0.21 for flanks of two wheels (2107), 0.13 for
teeth side by side (38), 0.83 in the median for a flank and a second exposure drawn of it (132), and more than this in
95 of 100."""
COLUMNS, ROWS = 256, 128
DETAIL = 5.0
"""Grey that changes more slowly than over so many cells (standard deviation) is light and film, not detail (own guess).
"""
EVENNESS = 15.0
"""Detail is measured against its own strength over so many cells, so that no shine outweighs all else (own guess)."""
FAINT = 0.02
"""Detail weaker than this, as a logarithm of grey, is noise (own guess)."""
BORDER = 10
"""Cells along the edges, where the outline itself makes the detail."""
RIM = 6
"""Cells on either side of the rim of the contact that are left out."""
REACH = 10
"""Cells by which two outlines of one flank may lie apart: 4 % of the face width."""
AROUND, BESIDE, REPEATED = 24, 2, 0.6
"""Cells around in which likeness is looked at, and how broad a line through its peak is; likeness that falls from its
peak and then rises again by so much of it repeats itself, as even marks do one mark further on. Streaks along the face
fall slowly and do not rise (REPEATED: own guess)."""
DARK = 8.0
"""Levels added to the grey before its logarithm is taken."""


@dataclass(frozen=True, slots=True, eq=False)
class Detail:
    """Fine detail of a rectified flank (ROWS, COLUMNS), 0 where none counts, and where it counts."""

    grey: Grid
    counts: Mask

    @property
    def turned(self) -> Detail:
        """The same with its ends exchanged."""
        return Detail(self.grey[:, ::-1], self.counts[:, ::-1])


def same_flank(one: Detail, other: Detail) -> bool:
    """Whether both show one flank, whichever end of it is called A."""
    return likeness(one, other) > ALIKE


def likeness(one: Detail, other: Detail) -> float:
    """Largest correlation of fine detail, -1 to 1, over small shifts and over both ways to name the ends; 0 where it
    repeats itself from place to place, as even marks of the hob do.
    """
    return max(_correlation(one, other), _correlation(one, other.turned))


def detail_of(flank: RectifiedFlank, contact: Mask) -> Detail:
    """Fine detail of a flank with such contact (rows and cols of any number): that of the metal and of the film, not
    the rim between, which two prints of a crossed wheel may share.
    """
    size = (COLUMNS, ROWS)
    grey = cv2.resize(cv2.cvtColor(flank.pixels, cv2.COLOR_RGB2GRAY), size, interpolation=cv2.INTER_AREA)
    seen = (cv2.resize(flank.seen.astype(np.float32), size, interpolation=cv2.INTER_AREA) > 0.99).astype(np.float32)
    level = np.log(grey.astype(np.float32) + DARK)
    fine = (level - _mean(level, seen, DETAIL)) * seen
    strength = np.sqrt(_mean(fine * fine, seen, EVENNESS)) + FAINT
    counts = np.zeros(seen.shape, dtype=bool)
    counts[BORDER:-BORDER, BORDER:-BORDER] = True
    counts &= (seen > 0) & ~_rim(cv2.resize(contact.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST))
    return Detail(np.where(counts, fine / strength, 0).astype(np.float32), counts)


def _rim(contact: NDArray[Any]) -> Mask:
    near = np.ones((2 * RIM + 1, 2 * RIM + 1), dtype=np.uint8)
    return np.asarray(cv2.dilate(contact, near) > cv2.erode(contact, near))


def _mean(values: Grid, weight: Grid, spread: float) -> Grid:
    """Weighted mean around each cell."""
    near = cv2.GaussianBlur(weight, (0, 0), spread)
    return np.asarray(cv2.GaussianBlur(values * weight, (0, 0), spread) / np.maximum(near, 1e-3), dtype=np.float32)


def _correlation(one: Detail, other: Detail) -> float:
    """Largest correlation where both count, over all shifts up to REACH; 0 where another one is nearly as large."""
    first, second = (_spectra(each.grey, each.counts) for each in (one, other))
    together = _shifted(first[0], second[0])
    squares = _shifted(first[2], second[1]) * _shifted(first[1], second[2])
    found = np.roll(together / np.sqrt(np.maximum(squares, 1e-6)), (AROUND, AROUND), (0, 1))
    found = found[: 2 * AROUND + 1, : 2 * AROUND + 1]
    reach = slice(AROUND - REACH, AROUND + REACH + 1)
    within = found[reach, reach]
    down, aside = (int(at) + AROUND - REACH for at in np.unravel_index(within.argmax(), within.shape))
    along = found[down - BESIDE : down + BESIDE + 1].max(axis=0)
    up = found[:, aside - BESIDE : aside + BESIDE + 1].max(axis=1)
    largest = float(within.max())
    repeated = max(_rise(along, aside), _rise(up, down)) > REPEATED * largest
    return 0.0 if repeated else largest


def _rise(line: NDArray[np.float64], peak: int) -> float:
    """How far a line rises again after it fell from its peak, to either side."""
    return max(float((side - np.minimum.accumulate(side)).max()) for side in (line[peak:], line[peak::-1]))


def _spectra(grey: Grid, counts: Mask) -> tuple[NDArray[np.complex128], ...]:
    """Of the detail, of where it counts, and of its square."""
    size = (2 * ROWS, 2 * COLUMNS)
    return tuple(np.fft.rfft2(each, size) for each in (grey, counts.astype(np.float64), grey.astype(np.float64) ** 2))


def _shifted(one: NDArray[np.complex128], other: NDArray[np.complex128]) -> NDArray[np.float64]:
    """Sum of the products of two grids at every shift."""
    return np.fft.irfft2(one * np.conj(other))
