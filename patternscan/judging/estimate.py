"""From two measured patterns back to millimetres: how far the wheel stands from where it was hobbed.

Every mixture of wheel offset, turned worm axis, hob oversize and film of compound prints some pattern (see
``pattern_table``). Each is weighed by how well its centroids and coverages agree with the readings and how usual it
is; the estimate is what the weighed mixtures have in common. The sign is the pattern's own: without an offset the
shared shift is exactly zero, whatever the rest.

Cylindrical worm, unloaded, unworn, rigid parts. The place of the pattern cannot tell a turned axis from a wrong centre
distance: both pull the flanks to opposite ends. So that part is given twice, as if it were all the one or the other.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.judging import (
    COVERAGE_MISFIT,
    COVERAGE_MISFIT_PART,
    FILM_FACTOR,
    NEAR_END,
    OVERSIZE_FACTOR,
    PLACE_MISFIT,
    SMALLEST_OVERSIZE,
    USUAL_FILM_UM,
    USUAL_OFFSET_MM,
    USUAL_OVERSIZE,
    USUAL_TURN_DEG,
)
from patternscan.errors import WrongUse
from patternscan.gearing.pair import WormPair
from patternscan.judging.comparison import Comparison, PooledFlank
from patternscan.judging.pattern_table import PatternTable, opposed_by_centre_error, tabulate
from patternscan.measuring.interval import NINE_IN_TEN, Interval

Numbers = NDArray[np.float64]

OVERSIZE_NODES = 4
FINE_OFFSETS, FINE_TURNS, FINE_OVERSIZES = 240, 21, 17


@dataclass(frozen=True, slots=True)
class Estimate:
    """How far the wheel is off, from the patterns alone; intervals hold in 9 cases out of 10.

    ``wheel_toward_a_mm`` is positive when the wheel sits too far toward end A. ``saturated`` says that a pattern runs
    out at an end, so that the wheel may be off by more. ``shaft_angle_error_deg`` and ``centre_error_mm`` each explain
    what opposes the flanks if the other is right; the latter is None when no centre error does.
    """

    wheel_toward_a_mm: Interval
    saturated: bool
    shaft_angle_error_deg: Interval
    centre_error_mm: Interval | None
    hob_oversize: Interval
    film_um: Interval

    @property
    def at_least_mm(self) -> float:
        """The least offset that fits the readings, without sign; 0 when even its sign is open."""
        offset = self.wheel_toward_a_mm
        return 0.0 if offset.holds(0.0) else min(abs(offset.low), abs(offset.high))


def estimate_placement(
    comparison: Comparison,
    pair: WormPair,
    oversize_known: bool = False,
    done: Callable[[float], None] | None = None,
) -> Estimate | None:
    """The wheel's offset that explains both measured flanks; None unless both show contact and a hob is possible.

    With ``oversize_known`` the pair's own oversize is taken as it is, else it is one of the open numbers. ``done`` is
    told the finished part of the work, 0 to 1.
    """
    left, right, opposed = comparison.left, comparison.right, comparison.opposed
    if left is None or right is None or opposed is None:
        return None
    spread = 0.0 if oversize_known else math.log(OVERSIZE_FACTOR) / NINE_IN_TEN
    middle = pair.hob_oversize if oversize_known else USUAL_OVERSIZE
    ranks = np.linspace(-1.8, 1.8, OVERSIZE_NODES) if spread else np.zeros(1)
    reach = 2 * math.hypot(opposed.half_width / NINE_IN_TEN, _by_starts(PLACE_MISFIT, pair)) + 0.02
    apart = (left.along.value - right.along.value) / 2
    oversizes = tuple(size for size in middle * np.exp(spread * ranks) if _possible(pair, float(size)))
    if not oversizes:
        return None
    table = tabulate(pair, oversizes, (apart - reach, apart + reach), done or _unheard)
    fine = _refined(table)
    weight = _weigh(fine, left, right, pair) * _usual(fine, middle, spread, pair.face_width_mm)
    return _summed_up(fine, weight / weight.sum(), pair, comparison)


def _possible(pair: WormPair, oversize: float) -> bool:
    """Whether a wheel can be cut with such a hob, and its pattern tells an offset."""
    try:
        replace(pair, hob_oversize=oversize)
    except WrongUse:
        return False
    return oversize >= SMALLEST_OVERSIZE


def _unheard(_part: float) -> None:
    """Nobody wants to know how much is done."""


def _refined(table: PatternTable) -> PatternTable:
    """The table with many more nodes, linear between the old ones."""
    offsets = np.linspace(table.offsets[0], table.offsets[-1], FINE_OFFSETS)
    turns = np.linspace(table.turns[0], table.turns[-1], FINE_TURNS)
    logs = np.log(table.oversizes)
    fine_logs = np.linspace(logs[0], logs[-1], FINE_OVERSIZES) if logs.size > 1 else logs

    def refine(values: Numbers) -> Numbers:
        for axis, (old, new) in enumerate(((logs, fine_logs), (table.offsets, offsets), (table.turns, turns))):
            values = np.moveaxis(np.tensordot(_hats(old, new), values, axes=(1, axis)), 0, axis)
        return values

    return PatternTable(
        np.exp(fine_logs),
        offsets,
        turns,
        table.films_um,
        refine(table.left_along),
        refine(table.right_along),
        refine(table.left_coverage),
        refine(table.right_coverage),
    )


def _hats(old: Numbers, new: Numbers) -> Numbers:
    """Weights (new, old) that interpolate linearly."""
    return np.stack([np.interp(new, old, row) for row in np.eye(old.size)], axis=1)


def _weigh(table: PatternTable, left: PooledFlank, right: PooledFlank, pair: WormPair) -> Numbers:
    """How well every entry agrees with both readings, as a normal law of all four numbers."""
    misfit = np.zeros(table.left_along.shape)
    place, part = _by_starts(PLACE_MISFIT, pair), _by_starts(COVERAGE_MISFIT_PART, pair)
    for read, along, coverage in (
        (left, table.left_along, table.left_coverage),
        (right, table.right_along, table.right_coverage),
    ):
        misfit += ((along - read.along.value) / _sigma(read.along, place)) ** 2
        loose = math.hypot(COVERAGE_MISFIT, part * read.coverage.value)
        misfit += ((coverage - read.coverage.value) / _sigma(read.coverage, loose)) ** 2
    weight: Numbers = np.exp(-(misfit - misfit.min()) / 2)
    return weight


def _by_starts(values: tuple[float, ...], pair: WormPair) -> float:
    return values[min(pair.starts, len(values)) - 1]


def _sigma(read: Interval, misfit: float) -> float:
    return math.hypot(read.half_width / NINE_IN_TEN, misfit)


def _usual(table: PatternTable, middle: float, spread: float, face_mm: float) -> Numbers:
    """How usual every entry is before any reading: oversize, film, offset and turn."""
    oversize = np.log(table.oversizes / middle)[:, None, None, None] / spread if spread else np.zeros((1, 1, 1, 1))
    film = np.log(table.films_um / USUAL_FILM_UM) * NINE_IN_TEN / math.log(FILM_FACTOR)
    offset = _offsets_mm(table, face_mm)[:, :, None, None] / USUAL_OFFSET_MM
    turn = (table.oversizes[:, None] * table.turns)[:, None, :, None] / USUAL_TURN_DEG
    usual: Numbers = np.exp(-(oversize**2 + film**2 + offset**2 + turn**2) / 2)
    # Offset and turn are tabulated in parts that grow with the oversize, so each entry stands for more of both.
    return usual * table.oversizes[:, None, None, None] ** 2


def _offsets_mm(table: PatternTable, face_mm: float) -> Numbers:
    """Offset of every (oversize, offset) in mm."""
    return table.oversizes[:, None] * table.offsets * face_mm


def _summed_up(table: PatternTable, weight: Numbers, pair: WormPair, comparison: Comparison) -> Estimate:
    offset = _quantiles(_offsets_mm(table, pair.face_width_mm), weight.sum(axis=(2, 3)))
    turn = _quantiles(table.oversizes[:, None] * table.turns, weight.sum(axis=(1, 3)))
    oversize = _quantiles(table.oversizes, weight.sum(axis=(1, 2, 3)))
    film = _quantiles(table.films_um, weight.sum(axis=(0, 1, 2)))
    flanks = [flank.along.value for flank in (comparison.left, comparison.right) if flank is not None]
    return Estimate(
        wheel_toward_a_mm=offset,
        saturated=any(min(along, 1 - along) <= NEAR_END for along in flanks),
        shaft_angle_error_deg=turn,
        centre_error_mm=_as_centre_error(pair, (offset, oversize, film), comparison.opposed),
        hob_oversize=oversize,
        film_um=film,
    )


def _quantiles(values: Numbers, weight: Numbers) -> Interval:
    """Median and the middle nine tenths of weighed values of any shape."""
    order = np.argsort(values, axis=None)
    sorted_weight = weight.ravel()[order]
    run = np.cumsum(sorted_weight) - sorted_weight / 2
    low, middle, high = np.interp((0.05, 0.5, 0.95), run / sorted_weight.sum(), values.ravel()[order])
    return Interval(float(middle), float(low), float(high))


def _as_centre_error(
    pair: WormPair, found: tuple[Interval, Interval, Interval], opposed: Interval | None
) -> Interval | None:
    """The centre error that would pull the flanks apart as read, over the likely oversizes; None when none does."""
    if opposed is None:
        return None
    offset, oversize, film = found
    ends = []
    sizes = dict.fromkeys((oversize.low, oversize.value, oversize.high))
    for size in filter(partial(_possible, pair), sizes):
        scaled = replace(pair, hob_oversize=size)
        errors, shifts = opposed_by_centre_error(scaled, offset.value * size / oversize.value, film.value)
        order = np.argsort(shifts)
        if not shifts[order[0]] <= opposed.value <= shifts[order[-1]]:
            continue
        reads = (opposed.value, opposed.low, opposed.high)
        ends += [float(np.interp(read, shifts[order], errors[order])) for read in reads]
    if not ends:
        return None
    return Interval(float(np.median(ends)), min(ends), max(ends))
