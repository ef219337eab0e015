"""The trials of one job: shims under the carrier and where the pattern lay, put in order and compared in pairs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from patternscan.calibration.judging import SAME_PACK_MM, SMALLEST_SHIFT
from patternscan.judging.comparison import pool_readings
from patternscan.measuring.interval import Interval


@dataclass(frozen=True, slots=True)
class Trial:
    """One reading: total shims under the shimmed carrier against as-found, and where the pattern lay.

    ``shared`` is the shared shift from target, a fraction of the face width, positive toward end B. ``runs_off``: the
    pattern of a flank ran off an end, where it hardly moves. Raises ValueError when the thickness is not finite.
    """

    shim_mm: float
    shared: Interval
    runs_off: bool = False

    def __post_init__(self) -> None:
        if not math.isfinite(self.shim_mm):
            raise ValueError(f"a trial needs a finite thickness, found {self.shim_mm}")

    @property
    def clear(self) -> bool:
        """Whether the pattern lies off its place by enough to act on and beyond its uncertainty."""
        return self.distance >= SMALLEST_SHIFT and not self.shared.holds(0.0)

    @property
    def distance(self) -> float:
        """How far off its place the pattern lies, to either side."""
        return abs(self.shared.value)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two trials with different packs."""

    one: Trial
    other: Trial

    @property
    def effect_per_mm(self) -> Interval:
        """Change of the shared shift per mm of shim; the uncertainties of both readings are taken as independent."""
        thin, thick = sorted((self.one, self.other), key=lambda trial: trial.shim_mm)
        mm, moved = thick.shim_mm - thin.shim_mm, thick.shared.minus(thin.shared)
        return Interval(moved.value / mm, moved.low / mm, moved.high / mm)

    @property
    def sign(self) -> int | None:
        """+1 when more shims move the pattern toward end B, -1 toward end A, None when it is uncertain."""
        effect = self.effect_per_mm
        return None if effect.holds(0.0) else (1 if effect.value > 0 else -1)

    @property
    def centre(self) -> Interval | None:
        """The shims at which the line through both trials meets the centre; None when it is uncertain."""
        if self.sign is None:
            return None
        first, second = self.one.shared, self.other.shared
        value = self._meet(first.value, second.value)
        ends = (
            sorted(self._meet(end, second.value) - value for end in (first.low, first.high)),
            sorted(self._meet(first.value, end) - value for end in (second.low, second.high)),
        )
        below, above = (math.hypot(*(end[side] for end in ends)) for side in (0, 1))
        return Interval(value, value - below, value + above)

    def _meet(self, first: float, second: float) -> float:
        return self.one.shim_mm - first * (self.other.shim_mm - self.one.shim_mm) / (second - first)


@dataclass(frozen=True, slots=True)
class Series:
    """The trials of a job: ``steps`` as they came, ``packs`` by latest use; readings of one pack are pooled."""

    steps: tuple[Trial, ...]
    packs: tuple[Trial, ...]

    @property
    def last(self) -> Trial:
        """The pack that is in the machine now. Raises IndexError when there is no trial."""
        return self.packs[-1]

    def holds(self, shim_mm: float) -> bool:
        """Whether this pack was tried."""
        return any(abs(pack.shim_mm - shim_mm) <= SAME_PACK_MM for pack in self.packs)

    @property
    def step_pairs(self) -> list[Pair]:
        """Every shim change, as the trials before and after it."""
        return [Pair(before, after) for before, after in pairwise(self.steps)]

    @property
    def largest_change_mm(self) -> float:
        """The largest change of shims between two trials, 0 as long as there was none."""
        return max((abs(after.shim_mm - before.shim_mm) for before, after in pairwise(self.steps)), default=0.0)

    @property
    def tried_mm(self) -> tuple[float, float]:
        """How far below and above the first pack was tried, both without sign."""
        changes = [pack.shim_mm - self.steps[0].shim_mm for pack in self.packs]
        return -min(changes, default=0.0), max(changes, default=0.0)

    @property
    def gained(self) -> bool:
        """Whether some pack lay nearer its place than the first one, by enough to act on and beyond the uncertainty."""
        first = self.steps[0]
        nearer = [pack for pack in self.packs if first.distance - pack.distance >= SMALLEST_SHIFT]
        others = [pack for pack in nearer if pack.shim_mm != first.shim_mm]
        return any(Pair(first, pack).sign is not None for pack in others)

    @property
    def bracket(self) -> Pair | None:
        """The packs on either side of the centre that differ least, the earlier one first; one in it counts for both.

        Where they lie alike far off, the nearer reading is chance, and the right pack may lie beyond it.
        """
        above = [pack for pack in self.packs if pack.shared.value >= 0]
        below = [pack for pack in self.packs if pack.shared.value <= 0]
        pairs = [(one, other) for one, other in product(above, below) if one is not other]
        if not pairs:
            return None
        return min((Pair(*sorted(each, key=self.packs.index)) for each in pairs), key=_how_wide)

    @property
    def nearest(self) -> Trial:
        """The pack to go on from: the last, unless an earlier one lay nearer its place beyond its uncertainty."""
        nearer = [pack for pack in self.packs[:-1] if pack.distance < self.last.distance and Pair(pack, self.last).sign]
        return min(nearer, key=lambda pack: pack.distance, default=self.last)

    @property
    def telling_pair(self) -> Pair | None:
        """The pair that tells most about the effect near the centre; None until two packs were tried.

        The bracket; without one the last pack and the latest earlier one that clearly differs from it, or when
        there is none, the one whose thickness differs most.
        """
        pairs = [Pair(earlier, self.last) for earlier in self.packs[-2::-1]]
        if self.bracket is not None or not pairs:
            return self.bracket
        widest = max(pairs, key=lambda pair: abs(pair.one.shim_mm - pair.other.shim_mm))
        return next((pair for pair in pairs if pair.sign is not None), widest)


def _how_wide(pair: Pair) -> tuple[float, float]:
    """How much two packs differ, and how far both patterns lie off their place."""
    return abs(pair.one.shim_mm - pair.other.shim_mm), pair.one.distance + pair.other.distance


def order_trials(trials: Sequence[Trial]) -> Series:
    """Take re-blued packs together; ``trials`` stand in the order of the job."""
    steps: list[list[Trial]] = []
    packs: list[list[Trial]] = []
    for trial in trials:
        if not steps or not _same_pack(steps[-1], trial):
            steps.append([])
        steps[-1].append(trial)
        pack = next((pack for pack in packs if _same_pack(pack, trial)), [])
        packs = [*(other for other in packs if other is not pack), pack]
        pack.append(trial)
    return Series(tuple(map(_pool, steps)), tuple(map(_pool, packs)))


def _same_pack(pack: Sequence[Trial], trial: Trial) -> bool:
    return abs(pack[0].shim_mm - trial.shim_mm) <= SAME_PACK_MM


def _pool(pack: Sequence[Trial]) -> Trial:
    shared = pool_readings([trial.shared for trial in pack])
    return Trial(pack[0].shim_mm, shared, any(trial.runs_off for trial in pack))
