"""The unloaded contact of a worm pair: how near the worm comes to every place of a flank over a mesh cycle.

The worm is turned through the whole mesh in small steps. At every step the wheel is turned back until it just touches
the worm, with whichever of its teeth touches first; then the distance of every place to the worm's surface is taken
along the surface's normal. The least of these over the cycle is the gap; compound prints where the gap is thinner
than the film. Rigid, unworn, unloaded parts; the worm is long enough to cover the mesh.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank, FlankPoint
from patternscan.gearing.meshing import Setting, in_thread, mesh_reach, passage_at, turn_per_mm
from patternscan.gearing.pair import Hand, Placement, WormPair
from patternscan.gearing.wheel_flank import COLUMNS, ROWS, WheelFlank, cut_flank, flank_points
from patternscan.gearing.worm import Numbers, Thread, worm_thread

Counts = NDArray[np.intp]

STEPS_A_TOOTH = 24
"""Positions of the worm for every tooth of the wheel that passes."""
MESH_MARGIN = 1.3
"""How far beyond the mesh's rough half-length the rolling goes."""
BLOCK = 25_000
"""Places times positions that are computed at once, to keep memory low."""
NEAR_MM = 0.15
"""Places further from the worm than this are not measured along the normal."""
STARTS_WITH_SKEW = 3
"""With one and two starts the plain swivel of the hob is right."""
SKEW_LET_PASS = 0.05
"""A pattern within this part of the face from its middle is left as it is by the cutter (common practice)."""
TRIM_FILM_UM = 10.0
"""Film of compound with which the cutter looks at his pattern, within the 6 to 12 of ISO/TR 10064-4 (from memory)."""
LARGEST_TRIM_DEG, TRIM_ROUNDS = 0.6, 10


@dataclass(frozen=True, slots=True, eq=False)
class FlankContact:
    """The gap of one flank, (rows, columns) in micrometres, row 0 at the tip, column 0 at end A; NaN where the worm
    never comes near. ``lag`` (steps,) is how far the wheel turns back to first touch at each position, in radians.
    """

    flank: Flank
    gap_um: Numbers
    lag: Numbers

    def pattern(self, film_um: float) -> NDArray[np.bool_]:
        """Where a film of this thickness prints, (rows, columns)."""
        return self.gap_um < film_um

    def coverage(self, film_um: float) -> float:
        """Part of the flank that prints."""
        return float(self.pattern(film_um).mean())

    def centroid(self, film_um: float) -> FlankPoint | None:
        """Middle of the print, None when nothing prints."""
        printed = self.pattern(film_um)
        if not printed.any():
            return None
        rows, columns = printed.shape
        row, column = np.nonzero(printed)
        return FlankPoint(float((column + 0.5).mean() / columns), float(1 - (row + 0.5).mean() / rows))


@dataclass(frozen=True, slots=True, eq=False)
class PairContact:
    """Both flanks of one pair in one placement."""

    pair: WormPair
    placement: Placement
    left: FlankContact
    right: FlankContact

    @property
    def backlash_change_mm(self) -> float:
        """Backlash on the pitch circle against the pair as it was hobbed, in its tightest position, in mm."""
        return float((self.left.lag + self.right.lag).min()) * self.pair.wheel_radius_mm

    def shared_shift(self, film_um: float) -> float | None:
        """Mean of both flanks' centroids along the face less one half, toward end B; None without contact."""
        left, right = self.left.centroid(film_um), self.right.centroid(film_um)
        return None if left is None or right is None else (left.along + right.along - 1) / 2

    def opposed_shift(self, film_um: float) -> float | None:
        """Half of left minus right; None without contact on either flank."""
        left, right = self.left.centroid(film_um), self.right.centroid(film_um)
        return None if left is None or right is None else (left.along - right.along) / 2


def roll_pair(pair: WormPair, placement: Placement, rows: int = ROWS, columns: int = COLUMNS) -> PairContact:
    """Roll both flanks of a hobbed wheel on its worm."""
    left, right = (roll(cut_flank(pair, flank, rows, columns), placement) for flank in Flank)
    return PairContact(pair, placement, left, right)


def roll(wheel: WheelFlank, placement: Placement) -> FlankContact:
    """Roll one flank of the wheel on the worm, all its teeth."""
    return Rolling(wheel).contact(placement)


def trim_hob(pair: WormPair) -> WormPair:
    """The pair with its hob swivelled as the cutter would leave it.

    With three and four starts the plain swivel leaves a skew: the pattern of the well-set pair lies off the middle of
    the face, to opposite ends on the two flanks. Whoever cuts the wheel sees that on his first pattern and trims the
    swivel until the pattern is in the middle. So it is done here when the skew is more than an eye lets pass.
    """
    return replace(pair, hob_trim_deg=_trim(replace(pair, hand=Hand.RIGHT, hob_trim_deg=0.0)))


@lru_cache(maxsize=256)
def _trim(pair: WormPair) -> float:
    if pair.starts < STARTS_WITH_SKEW or abs(_skew(pair)) <= SKEW_LET_PASS:
        return 0.0
    low, high = -LARGEST_TRIM_DEG, LARGEST_TRIM_DEG
    for _ in range(TRIM_ROUNDS):
        middle = (low + high) / 2
        low, high = (middle, high) if _skew(replace(pair, hob_trim_deg=middle)) > 0 else (low, middle)
    return (low + high) / 2


def _skew(pair: WormPair) -> float:
    """How far the left flank's pattern lies off the middle, toward end B, in the well-set right-hand pair."""
    centroid = roll(cut_flank(pair, Flank.LEFT, 16, 48), Placement()).centroid(TRIM_FILM_UM)
    return 0.0 if centroid is None else centroid.along - 0.5


@dataclass(frozen=True, slots=True, eq=False)
class _Places:
    """Places of the wheel as positions of the worm carry them through the mesh, all arrays (n,)."""

    number: Counts
    """Position of the worm."""
    index: Counts
    """Which place of the flank."""
    x_mm: Numbers
    down_mm: Numbers
    """How far from the wheel's axis toward the worm's."""

    def taken(self, which: Counts) -> _Places:
        """Some of them."""
        return _Places(self.number[which], self.index[which], self.x_mm[which], self.down_mm[which])


class Rolling:
    """One flank of a wheel on its way through a row of positions of the worm, a step of the wheel apart."""

    def __init__(self, wheel: WheelFlank) -> None:
        self.wheel, pair = wheel, wheel.pair
        self.thread: Thread = worm_thread(pair, wheel.flank)
        self.tip_mm = pair.worm_tip_radius_mm
        self.rho, self.z, self.angle = _with_edges(wheel)
        self.x, self.down = self.rho * np.sin(self.angle), self.rho * np.cos(self.angle)
        self.step = pair.tooth_angle_rad / STEPS_A_TOOTH
        self.travel_mm = self.step / turn_per_mm(self.thread, pair.teeth)
        self.reach = MESH_MARGIN * mesh_reach(pair.teeth) + 2 * self.step
        self.blocks = [self._carried(numbers) for numbers in self._positions()]

    def contact(self, placement: Placement) -> FlankContact:
        """Roll: first what the wheel may turn back at each position, then the distances when it is turned back."""
        setting = Setting(
            self.wheel.pair.centre_distance_mm + placement.centre_error_mm,
            math.radians(placement.shaft_angle_error_deg),
            placement.wheel_toward_a_mm,
        )
        meetings = [self._meet(block, setting) for block in self.blocks]
        lag = np.full(STEPS_A_TOOTH, np.inf)
        for places, turn in meetings:
            np.minimum.at(lag, places.number % STEPS_A_TOOTH, turn)
        gap = np.full(self.rho.size, np.inf)
        for places, turn in meetings:
            index, distance = self._distances(places, turn, lag, setting)
            np.minimum.at(gap, index, distance)
        shape = self.wheel.rho_mm.shape
        gap_um = np.where(np.isfinite(gap), np.maximum(gap, 0.0) * 1000, np.nan)[: math.prod(shape)].reshape(shape)
        for array in (gap_um, lag):
            array.setflags(write=False)
        return FlankContact(self.wheel.flank, gap_um, lag)

    def _positions(self) -> list[Counts]:
        """Numbers of the positions that carry some place of the tooth through the mesh, in blocks."""
        first = math.floor((-self.reach - self.angle.max()) / self.step)
        last = math.ceil((self.reach - self.angle.min()) / self.step)
        numbers = np.arange(first, last + 1)
        return np.array_split(numbers, math.ceil(numbers.size * self.rho.size / BLOCK))

    def _carried(self, numbers: Counts) -> _Places:
        """The places within the mesh at these positions."""
        turn = numbers.astype(np.float64) * self.step
        position, index = np.nonzero(np.abs(self.angle + turn[:, None]) < self.reach)
        at = _turned(self.x[index], self.down[index], turn, position)
        return _Places(numbers[position], index, *at)

    def _meet(self, carried: _Places, setting: Setting) -> tuple[_Places, Numbers]:
        """The places within the worm's reach, and how far the wheel could turn back before each touches, in radians."""
        _, y, across = in_thread(setting, carried.x_mm, carried.down_mm, self.z[carried.index])
        places = carried.taken(np.flatnonzero(y * y + across * across <= self.tip_mm**2))
        met = passage_at(self.thread, setting, places.x_mm, places.down_mm, self.z[places.index])
        return places, self.thread.side * (met.travel_mm - places.number * self.travel_mm) / met.by_angle

    def _distances(self, places: _Places, turn: Numbers, lag: Numbers, setting: Setting) -> tuple[Counts, Numbers]:
        """Places near the worm with the wheel turned back to first touch, and their distances in mm."""
        step = places.number % STEPS_A_TOOTH
        near = np.flatnonzero((turn - lag[step]) * self.rho[places.index] < NEAR_MM)
        places = places.taken(near)
        back = np.where(np.isfinite(lag), lag, 0.0)
        x, down = _turned(places.x_mm, places.down_mm, -self.thread.side * back, step[near])
        met = passage_at(self.thread, setting, x, down, self.z[places.index])
        beside = self.thread.side * (met.travel_mm - places.number * self.travel_mm) / met.steepness
        return places.index, np.where(met.radius_mm <= self.tip_mm, beside, np.inf)


def _turned(x: Numbers, down: Numbers, turns: Numbers, which: Counts) -> tuple[Numbers, Numbers]:
    """Places of the wheel (n,) in mm, each turned with it by that one of the few ``turns`` (rad) which ``which`` names.

    A place at an angle stands at x = rho sin, down = rho cos; sums of angles spare the sine of every place.
    """
    sine, cosine = np.sin(turns)[which], np.cos(turns)[which]
    return x * cosine + down * sine, down * cosine - x * sine


def _with_edges(wheel: WheelFlank) -> tuple[Numbers, Numbers, Numbers]:
    """Radius (mm), height (mm) and angle of every place of the grid, then of the tip edge and of both end edges: the
    grid stops half a cell short of them, and a wheel that stands far off touches there first.
    """
    rows, columns = wheel.up.size, wheel.along.size
    along = np.concatenate([wheel.along, np.zeros(rows + 1), np.ones(rows + 1)])
    up = np.concatenate([np.ones(columns), wheel.up, [1.0], wheel.up, [1.0]])
    x, y, z = flank_points(wheel.pair, wheel.flank, along, up).T
    rho, angle = np.hypot(x, y), np.arctan2(x, -y)
    return np.append(wheel.rho_mm, rho), np.append(wheel.z_mm, z), np.append(wheel.angle, angle)
