"""The shape of a flank as a grid of points: that of a known gear, or that of usual gears with a few amounts left open.

Seen at the size of a photo all throated flanks are much alike: three amounts (how high the flank is for its width,
which way and how much it leans, how deep its throat) tell one from another to two thousandths of the face width.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, WormPair
from patternscan.gearing.wheel_flank import flank_points

Numbers = NDArray[np.float64]

ROWS, COLUMNS = 25, 129
"""Grid of a known flank from root to tip and from end A to end B; between its points the flank is taken as even."""
USUAL_ROWS, USUAL_COLUMNS = 13, 49
USUAL = WormPair(module_mm=1.0, starts=2, teeth=42, worm_diameter_mm=11.0, face_width_mm=7.9, hob_oversize=0.04)
"""Middling proportions of hoisting gears (common practice): face width 0.61 of the worm's tip diameter."""
WIDTH_SPREAD, WORM_SPREAD = 1.16, 1.12
"""One standard deviation of face width and of worm diameter, each for one module, as factors (common practice). The
lean's is that of two starts."""


@dataclass(frozen=True, slots=True, eq=False)
class FlankShape:
    """A flank's grid, row 0 at the root, column 0 at end A, and how it changes with each open amount.

    ``stack`` (rows, columns, 1 + k, 3): the likeliest place of every point, then its change for one standard
    deviation of each of the k amounts. In mm when ``pair`` is known, else in face widths. Locked.
    """

    stack: Numbers
    pair: WormPair | None

    def __post_init__(self) -> None:
        self.stack.setflags(write=False)

    @property
    def open_amounts(self) -> int:
        """How many amounts are open; 0 for a known gear."""
        return int(self.stack.shape[2]) - 1


def grid_edges(grid: Numbers) -> dict[str, Numbers]:
    """The four edges of a grid (rows, columns, ...) over a flank, row 0 at the root, column 0 at end A."""
    return {"root": grid[0], "tip": grid[-1], "end_a": grid[:, 0], "end_b": grid[:, -1]}


@lru_cache(maxsize=8)
def known_shape(pair: WormPair, flank: Flank) -> FlankShape:
    """The flank of a known gear, in mm."""
    return FlankShape(_grid(pair, flank, ROWS, COLUMNS)[:, :, None], pair)


@lru_cache(maxsize=2)
def usual_shape(flank: Flank) -> FlankShape:
    """The flank of usual gears, either hand, in face widths."""
    wide = replace(USUAL, face_width_mm=USUAL.face_width_mm * WIDTH_SPREAD)
    thick = replace(USUAL, worm_diameter_mm=USUAL.worm_diameter_mm * WORM_SPREAD)
    right = _relative(replace(USUAL, hand=Hand.RIGHT), flank)
    left = _laid_on(_relative(replace(USUAL, hand=Hand.LEFT), flank), right)
    middle = (right + left) / 2
    right, left = _laid_on(right, middle), _laid_on(left, middle)
    middle = (right + left) / 2
    changed = [
        sum(_laid_on(_relative(replace(pair, hand=hand), flank), middle) for hand in Hand) / 2 - middle
        for pair in (wide, thick)
    ]
    return FlankShape(np.stack([middle, (right - left) / 2, *changed], axis=2), None)


def _grid(pair: WormPair, flank: Flank, rows: int, columns: int) -> Numbers:
    along, up = np.meshgrid(np.linspace(0, 1, columns), np.linspace(0, 1, rows))
    return flank_points(pair, flank, along.ravel(), up.ravel()).reshape(rows, columns, 3)


def _relative(pair: WormPair, flank: Flank) -> Numbers:
    """The flank in face widths, round its middle."""
    points = _grid(pair, flank, USUAL_ROWS, USUAL_COLUMNS) / pair.face_width_mm
    relative: Numbers = points - points.mean(axis=(0, 1))
    return relative


def _laid_on(points: Numbers, other: Numbers) -> Numbers:
    """Points (rows, columns, 3) round 0, turned and enlarged to lie as near as can be to others.

    Source: the orthogonal Procrustes problem, Schoenemann 1966 and Kabsch 1976 (from memory).
    """
    flat = points.reshape(-1, 3)
    left, stretch, right = np.linalg.svd(flat.T @ other.reshape(-1, 3))
    proper = np.array([1.0, 1.0, np.sign(np.linalg.det(left @ right))])
    laid: Numbers = points @ (left * proper @ right) * float((stretch * proper).sum() / (flat**2).sum())
    return laid
