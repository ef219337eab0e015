"""The shape of a flank as a grid of points: that of a known gear, or that of usual gears with a few amounts left open.

Seen at the size of a photo all flanks are much alike: four amounts (how high the flank is for its width, which way and
how much it leans, how deep its throat, how far the rim was turned off) tell one from another to two thousandths of the
face width.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, Rim, WormPair
from patternscan.gearing.wheel_flank import flank_points

Numbers = NDArray[np.float64]

ROWS, COLUMNS = 25, 129
"""Grid of a known flank from root to tip and from end A to end B; between its points the flank is taken as even."""
USUAL_ROWS, USUAL_COLUMNS = 13, 49
USUAL = WormPair(module_mm=1.0, starts=2, teeth=42, worm_diameter_mm=11.0, face_width_mm=7.9, hob_oversize=0.04)
"""Middling proportions of hoisting gears (common practice): face width 0.61 of the worm's tip diameter."""
USUAL_STRAIGHT = replace(USUAL, rim=Rim.STRAIGHT, face_width_mm=6.2)
"""The same with a straight rim, whose face is narrower, 0.48 of it: further out hardly any flank is left."""
WIDTH_SPREAD, WORM_SPREAD = 1.16, 1.12
"""One standard deviation of face width and of worm diameter, each for one module, as factors (common practice). The
lean's is that of two starts, the rim's from half-way between throated and straight to either."""

RIM, KNOWN_RIM_SPREAD = 4, 0.5
"""Where the rim's amount stands in the stack of a usual shape, and how open it is left when the rim is known."""


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
    """The flank of usual gears, either hand, throated or straight or between, in face widths. Its open amounts: lean,
    width, worm, rim.
    """
    rims, hands = (USUAL, USUAL_STRAIGHT), tuple(Hand)
    middle = _relative(USUAL, flank)
    for _ in range(2):
        middle = _mean(rims, hands, flank, middle)
    right, left = (_mean(rims, (hand,), flank, middle) for hand in (Hand.RIGHT, Hand.LEFT))
    throated, straight = (_mean((pair,), hands, flank, middle) for pair in rims)
    wide = _mean([_times(pair, "face_width_mm", WIDTH_SPREAD) for pair in rims], hands, flank, middle)
    thick = _mean([_times(pair, "worm_diameter_mm", WORM_SPREAD) for pair in rims], hands, flank, middle)
    amounts = (right - left) / 2, wide - middle, thick - middle, (throated - straight) / 2
    return FlankShape(np.stack([middle, *amounts], axis=2), None)


@lru_cache(maxsize=4)
def usual_shape_with(flank: Flank, rim: Rim) -> FlankShape:
    """The flank of usual gears whose rim is known, as ``usual_shape`` has it, the rim little open."""
    stack = usual_shape(flank).stack.copy()
    stack[:, :, 0] += stack[:, :, RIM] if rim is Rim.THROATED else -stack[:, :, RIM]
    stack[:, :, RIM] *= KNOWN_RIM_SPREAD
    return FlankShape(stack, None)


def _times(pair: WormPair, name: str, factor: float) -> WormPair:
    changed: Any = {name: factor * getattr(pair, name)}
    return replace(pair, **changed)


def _mean(pairs: Sequence[WormPair], hands: Sequence[Hand], flank: Flank, other: Numbers) -> Numbers:
    """The flanks of all these pairs with all these hands, laid on another one and made their mean."""
    laid = [_laid_on(_relative(replace(pair, hand=hand), flank), other) for pair in pairs for hand in hands]
    return np.asarray(np.mean(laid, axis=0))


def _grid(pair: WormPair, flank: Flank, rows: int, columns: int) -> Numbers:
    along, up = np.meshgrid(np.linspace(0, 1, columns), np.linspace(0, 1, rows))
    return flank_points(pair, flank, along.ravel(), up.ravel()).reshape(rows, columns, 3)


@lru_cache(maxsize=32)
def _relative(pair: WormPair, flank: Flank) -> Numbers:
    """The flank in face widths, round its middle; that of a left-hand pair is the mirror image of the right-hand one's
    in the wheel's middle plane. Locked.
    """
    if pair.hand is Hand.LEFT:
        return _locked(_relative(replace(pair, hand=Hand.RIGHT), flank)[:, ::-1] * np.array([1.0, 1.0, -1.0]))
    points = _grid(pair, flank, USUAL_ROWS, USUAL_COLUMNS) / pair.face_width_mm
    return _locked(points - points.mean(axis=(0, 1)))


def _locked(points: Numbers) -> Numbers:
    points.setflags(write=False)
    return points


def _laid_on(points: Numbers, other: Numbers) -> Numbers:
    """Points (rows, columns, 3) round 0, turned and enlarged to lie as near as can be to others.

    Source: the orthogonal Procrustes problem, Schoenemann 1966 and Kabsch 1976 (from memory).
    """
    flat = points.reshape(-1, 3)
    left, stretch, right = np.linalg.svd(flat.T @ other.reshape(-1, 3))
    proper = np.array([1.0, 1.0, np.sign(np.linalg.det(left @ right))])
    laid: Numbers = points @ (left * proper @ right) * float((stretch * proper).sum() / (flat**2).sum())
    return laid
