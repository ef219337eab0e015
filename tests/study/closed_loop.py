"""Wheels that shims can put right, and jobs on them: what ``next`` asks for is done, read with noise, and logged."""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from msgspec import structs

sys.path.insert(0, str(Path(__file__).parents[2]))
from numpy.typing import NDArray

from patternscan.errors import WrongUse
from patternscan.frame import End, Flank
from patternscan.gearing.contact import roll, trim_hob
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
from patternscan.gearing.wheel_flank import cut_flank
from patternscan.judging.advice import ShimRule, advise, propose_amount
from patternscan.judging.comparison import Comparison, PooledFlank, Target, compare_flanks
from patternscan.judging.estimate import estimate_placement
from patternscan.measuring.interval import Interval
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Event, Pattern, ShimChange
from patternscan.setting.log.pattern_parts import FlankPrint
from patternscan.setting.log.words import ShimPlace
from patternscan.setting.machine.sheet import Gear, Sheet, SideShims
from patternscan.setting.machine.stock import Stock, parse_stock
from patternscan.setting.rules.action import Action
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.state.job_state import job_state
from tests.setting.job_entries import READ, blued

Numbers = NDArray[np.float64]

ROWS, COLUMNS = 12, 64
OFFSETS_MM = np.array([0.0, 0.03, 0.07, 0.12, 0.2, 0.3, 0.45, 0.7, 1.0])
"""Where the pattern of every wheel is computed, to one side; half a turn of the pair gives the other side."""
FILM_SPREADS = np.array([0.8, 1.0, 1.25])
"""How much thicker or thinner the film of one blueing is than that of another."""
STOCKS = tuple(
    parse_stock(texts)
    for texts in (
        ["0.025 mm x 2", "0.05 mm x 4", "0.10 mm x 8", "0.50 mm x 4"],
        ["0.05 mm x 4", "0.10 mm x 8", "0.50 mm x 4"],
    )
)
ALONG_NOISE, HALF_WIDTHS = (0.01, 0.02), (0.02, 0.04)
"""Standard deviation of a centroid along the face, and half the width of its interval, as measured on photographs."""
COVERAGE_NOISE = 0.03
RIGHT_WITHIN, OFF_BEYOND = 0.05, 0.08
"""A wheel is right within this shared shift, and must never be told right beyond the other."""
MOST_BLUEINGS = 30
CHOSEN_ON, REPORTED_ON = 11, 12
"""Seeds of the wheels on which the numbers were chosen, and of those that the figures are told of."""
SMALL_HOBS = (0.005, 0.015)


@dataclass(frozen=True, slots=True, eq=False)
class Machine:
    """A wheel that stands ``toward_a_mm`` off; a shim moves it toward B by ``shim_does`` of its thickness.

    ``prints``: centroid along the face and coverage (2, flanks, offsets, films), the left flank first, at
    ``offsets_mm`` from B to A.
    """

    pair: WormPair
    offsets_mm: Numbers
    prints: Numbers
    toward_a_mm: float
    shim_does: float
    stock: Stock

    def printed(self, added_mm: float, film: float = 1.0) -> Numbers:
        """Centroids and coverages (2, flanks) with so many shims added."""
        place = self.toward_a_mm - self.shim_does * added_mm
        rows = self.prints.reshape(4, self.offsets_mm.size, FILM_SPREADS.size)
        by_film = [[np.interp(place, self.offsets_mm, column) for column in row.T] for row in rows]
        return np.array([np.interp(film, FILM_SPREADS, row) for row in by_film]).reshape(2, 2)

    def shared(self, added_mm: float) -> float:
        """The true shared shift, positive toward B."""
        return float(self.printed(added_mm)[0].mean()) - 0.5

    @property
    def curable(self) -> bool:
        """Whether the wheel is not right yet, and some thickness of its shims makes it so."""
        steps_mm = np.arange(-1.0, 1.0, self.stock.kinds[-1].thickness_mm)
        best = min(abs(self.shared(float(step_mm))) for step_mm in steps_mm)
        return best <= RIGHT_WITHIN < abs(self.shared(0.0))


@dataclass(frozen=True, slots=True)
class Job:
    """A job done: the shared shift after each shim change, the first as found, and the code that ended it."""

    shifts: tuple[float, ...]
    end: str
    blueings: int

    @property
    def changes(self) -> float:
        """Shim changes until the wheel was right; endless when it never was."""
        return next((n for n, shift in enumerate(self.shifts) if abs(shift) <= RIGHT_WITHIN), math.inf)

    @property
    def passed(self) -> bool:
        """Whether a change brought the pattern beyond its middle by more than it may be off."""
        return min(self.shifts) < -RIGHT_WITHIN if self.shifts[0] > 0 else max(self.shifts) > RIGHT_WITHIN


def draw_machines(number: int, seed: int, oversize: tuple[float, float] = (0.015, 0.06)) -> list[Machine]:
    """Random wheels with hobs within ``oversize`` that are not yet right."""
    chance = np.random.default_rng(seed)
    drawn: list[Machine] = []
    while len(drawn) < number:
        machine = _draw(chance, oversize)
        if machine is not None and machine.curable:
            drawn.append(machine)
    return drawn


def _draw(chance: np.random.Generator, oversize: tuple[float, float]) -> Machine | None:
    module_mm = float(chance.choice([2.5, 3.15, 4.0, 5.0, 6.3, 8.0]))
    diameter_mm = module_mm * chance.uniform(8, 13)
    values = (
        int(chance.integers(1, 5)),
        int(chance.integers(29, 61)),
        chance.uniform(0.54, 0.66) * (diameter_mm + 2 * module_mm),
        Hand(chance.choice([one.value for one in Hand])),
        Profile(chance.choice([one.value for one in Profile])),
        float(np.exp(chance.uniform(*np.log(oversize)))),
    )
    off_mm, centre_mm, turn_deg = chance.uniform(-0.6, 0.6), chance.normal(0, 0.03), chance.normal(0, 0.02)
    film_um, shim_does, stock = chance.uniform(6, 12), chance.uniform(0.8, 1.1), chance.integers(len(STOCKS))
    starts, teeth, face_mm, hand, profile, size = values
    try:
        pair = trim_hob(
            WormPair(module_mm, starts, teeth, diameter_mm, face_mm, hand=hand, profile=profile, hob_oversize=size)
        )
    except WrongUse:
        return None
    toward_a = np.stack([_printed(pair, Placement(float(off), centre_mm, turn_deg), film_um) for off in OFFSETS_MM], 2)
    if np.isnan(toward_a).any():
        return None
    toward_b = toward_a[:, ::-1, :0:-1].copy()
    toward_b[0] = 1 - toward_b[0]
    offsets_mm = np.concatenate([-OFFSETS_MM[:0:-1], OFFSETS_MM])
    prints = np.concatenate([toward_b, toward_a], axis=2)
    return Machine(pair, offsets_mm, prints, off_mm, shim_does, STOCKS[int(stock)])


def _printed(pair: WormPair, placement: Placement, film_um: float) -> Numbers:
    """Centroid along the face, NaN without contact, and coverage (2, flanks, films)."""
    both = [roll(cut_flank(pair, flank, ROWS, COLUMNS), placement) for flank in Flank]
    films = film_um * FILM_SPREADS
    middles = [[middle.along if (middle := one.centroid(film)) else np.nan for film in films] for one in both]
    return np.array([middles, [[one.coverage(film) for film in films] for one in both]])


def sheet_of(machine: Machine, *, face: bool = True, sense: End | None = End.B) -> Sheet:
    """What the sheet tells of a machine without gear data: face width, what a shim does, and the shims on hand."""
    rule = None if sense is None else ShimRule(End.A, sense)
    shims = SideShims(End.A, rule, stock=machine.stock, alone=True)
    return Sheet(gear=Gear(face_width_mm=machine.pair.face_width_mm) if face else Gear(), shims=shims)


def do_job(machine: Machine, sheet: Sheet, seed: int, *, gear_data: bool = False) -> Job:
    """Blue, ask and do, until the job asks for no more of either."""
    chance = np.random.default_rng(seed)
    events: list[Event] = list(READ)
    added_mm, shifts = 0.0, [machine.shared(0.0)]
    for blueing in range(MOST_BLUEINGS):
        events.append(_blue(machine, added_mm, chance, sheet, gear_data=gear_data and blueing == 0))
        actions = {action.code: action for action in next_actions(job_state(_entries(events), sheet), sheet)}
        step_mm = _step(actions["shim-step"]) if "shim-step" in actions else None
        if step_mm is not None:
            added_mm += step_mm
            events.append(ShimChange(ShimPlace.CARRIER_A, step_mm, step_mm))
            shifts.append(machine.shared(added_mm))
        elif "shim-step" not in actions and "pattern-unclear" not in actions:
            ends = ("pattern-centred", "near-enough", "stop-wrong-way", "stop-no-gain", "stop-too-far", "crossed")
            return Job(tuple(shifts), next(code for code in ends if code in actions), blueing + 1)
    return Job(tuple(shifts), "never-ended", MOST_BLUEINGS)


def _step(action: Action) -> float | None:
    """The step that is asked for; a trial either way is an addition."""
    values = {name: value for point in action.points for name, value in point.values}
    step = values.get("step_mm", values.get("by_mm"))
    return step if isinstance(step, float) else None


def _blue(machine: Machine, added_mm: float, chance: np.random.Generator, sheet: Sheet, *, gear_data: bool) -> Pattern:
    film = float(np.clip(np.exp(chance.normal(0, 0.1)), 0.8, 1.25))
    alongs, coverages = machine.printed(added_mm, film)
    flanks = [_read(*one, chance) for one in zip(Flank, alongs, coverages, strict=True)]
    comparison = compare_flanks(flanks[0], flanks[1], Target())
    advice = advise(comparison, (), sheet.shim_rule)
    step_mm = _amount(machine, comparison, sheet) if gear_data else None
    left, right = (FlankPrint(3, one.along, one.up, one.coverage, one.length, one.height) for one in flanks)
    found = {"shared": comparison.shared, "opposed": comparison.opposed, "left": left, "right": right}
    return structs.replace(blued(0.0, advice.move, step_mm=step_mm), **found)


def _read(flank: Flank, along: float, coverage: float, chance: np.random.Generator) -> PooledFlank:
    read = Interval.around(along + chance.normal(0, chance.uniform(*ALONG_NOISE)), chance.uniform(*HALF_WIDTHS))
    touched = Interval.around(coverage + chance.normal(0, COVERAGE_NOISE), 2 * COVERAGE_NOISE).clipped(0.01, 1.0)
    rest = Interval.around(0.5, 0.1)
    return PooledFlank(flank, 3, read.clipped(0.0, 1.0), rest, touched, rest, rest, spread=None)


def _amount(machine: Machine, comparison: Comparison, sheet: Sheet) -> float | None:
    """The first step by gear data, of which the sheet tells neither profile nor hob."""
    told = trim_hob(replace(machine.pair, profile=Profile.ZI, hob_oversize=0.04, hob_trim_deg=0.0))
    estimate = estimate_placement(comparison, told)
    if estimate is None:
        return None
    return propose_amount(advise(comparison, (), sheet.shim_rule), estimate, comparison).shims.amount_mm


def _entries(events: Sequence[Event]) -> list[Entry]:
    begin = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
    return [Entry(n, begin + timedelta(minutes=n), None, event) for n, event in enumerate(events, 1)]


def figures(jobs: Sequence[Job]) -> dict[str, float]:
    """How a set of jobs went."""
    changes = np.array([job.changes for job in jobs])
    ever = np.isfinite(changes)
    told = [job for job in jobs if job.end in ("pattern-centred", "crossed")]
    return {
        "mean changes of those ever right": float(changes[ever].mean()),
        "nine in ten": float(np.quantile(changes, 0.9, method="inverted_cdf")),
        "ever right": float(ever.mean()),
        "told right": len(told) / len(jobs),
        "ended within 5 %": float(np.mean([abs(job.shifts[-1]) <= RIGHT_WITHIN for job in jobs])),
        "told right, off by over 8 %": sum(abs(job.shifts[-1]) > OFF_BEYOND for job in told),
        "told that shims are not what is left": sum(job.end == "crossed" for job in jobs),
        "left as near as the shims go": sum(job.end == "near-enough" for job in jobs),
        "stopped": sum(job.end.startswith("stop") for job in jobs),
        "never ended": sum(job.end == "never-ended" for job in jobs),
        "passed the middle": sum(job.passed for job in jobs),
        "changes in all": float(np.mean([len(job.shifts) - 1 for job in jobs])),
        "blueings": float(np.mean([job.blueings for job in jobs])),
    }


def main() -> None:
    """Print how jobs go on the wheels that the numbers were chosen on, with all that a sheet may tell or lack."""
    machines, small = draw_machines(70, CHOSEN_ON), draw_machines(30, CHOSEN_ON, SMALL_HOBS)
    for name, drawn, told in (
        ("face width known", machines, {}),
        ("face width unknown", machines, {"face": False}),
        ("what a shim does unknown", machines, {"sense": None}),
        ("small hobs", small, {}),
    ):
        print(name)
        for figure, value in figures([do_job(one, sheet_of(one, **told), n) for n, one in enumerate(drawn)]).items():
            print(f"    {figure:34} {value:.2f}")


if __name__ == "__main__":
    main()
