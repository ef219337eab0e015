"""What judging makes of readings whose truth is known, and of readings graded across every limit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import product

import numpy as np

from patternscan.errors import InconsistentInputs
from patternscan.frame import End, Flank, Marking
from patternscan.judging.advice import ShimRule, advise, propose_amount
from patternscan.judging.comparison import Comparison, PooledFlank, Target, compare_flanks
from patternscan.judging.estimate import Estimate
from patternscan.judging.findings import find_faults
from patternscan.judging.states.comparability import against_place, refuse_strangers
from patternscan.judging.states.judged_state import Identity, JudgedState
from patternscan.judging.trials.bench import Bench
from patternscan.judging.trials.next_step import propose_step
from patternscan.judging.trials.trial import Trial
from patternscan.measuring.interval import NINE_IN_TEN, Interval

SHIM_RULE = ShimRule(End.A, End.B)
NOISE, WHEELS = 0.035, 400
"""Standard deviation of one flank's centroid in the draws below, and how many are drawn."""


def judging_figures() -> dict[str, float]:
    """Directions right and wrong of drawn wheels, and how often each answer is given on graded readings."""
    counted: Counter[str] = Counter()
    for part in (_drawn_wheels, _graded_shifts, _graded_patterns, _graded_gears, _graded_teeth):
        counted.update(part())
    return dict(counted) | _amounts() | _steps()


def flank_at(flank: Flank, along: float, half_width: float, **others: float) -> PooledFlank:
    """One flank's reading; ``others`` may give up, coverage, height and spread."""
    up, coverage, height = (
        others.get(name, usual) for name, usual in (("up", 0.5), ("coverage", 0.4), ("height", 0.8))
    )
    return PooledFlank(
        flank,
        teeth=1,
        along=Interval.around(along, half_width),
        up=Interval.around(up, 0.02),
        coverage=Interval.around(coverage, 0.02),
        length=Interval.around(0.5, 0.1),
        height=Interval.around(height, 0.02),
        spread=others.get("spread"),
    )


def compared(left: float, right: float, half_width: float) -> Comparison:
    """Both flanks with their centroids at these places along the face."""
    flanks = (flank_at(Flank.LEFT, left, half_width), flank_at(Flank.RIGHT, right, half_width))
    return compare_flanks(*flanks, Target())


def _drawn_wheels() -> Iterator[str]:
    """Wheels that are off by a random amount, read with noise and an honest interval."""
    chance = np.random.default_rng(7)
    for shift in chance.normal(0, 0.08, WHEELS):
        left, right = np.clip(0.5 + shift + chance.normal(0, NOISE, 2), 0.01, 0.99)
        move = advise(compared(left, right, NINE_IN_TEN * NOISE), (), SHIM_RULE).move
        if move.value in ("toward-A", "toward-B"):
            yield "moved the right way" if (move.value == "toward-B") == (shift > 0) else "moved the wrong way"
        else:
            yield f"{move.value}, off by {'less' if abs(shift) < 0.05 else 'more'} than 5 %"


def _graded_shifts() -> Iterator[str]:
    for shift, half_width in product(np.linspace(-0.2, 0.2, 81), (0.005, 0.03, 0.08)):
        comparison = compared(0.5 + shift, 0.5 + shift, half_width)
        yield f"advice {advise(comparison, (), SHIM_RULE).move.value}"
        crossed = compared(0.5 + shift, 0.5 - shift, half_width)
        yield from (f"crossing found: {one.code}" for one in find_faults(crossed))
        beside = compared(0.5 + shift + 0.1, 0.5 + shift - 0.1, half_width)
        yield from (f"crossing found beside a shift: {one.code}" for one in find_faults(beside))


def _graded_patterns() -> Iterator[str]:
    """Patterns at every place, of every height and size, and of teeth that differ by more and more."""
    graded: list[Mapping[str, float]] = [
        *({"along": along} for along in np.linspace(0.02, 0.98, 49)),
        *({"up": up, "height": height} for up, height in product(np.linspace(0.03, 0.97, 48), (0.1, 0.2, 0.3, 0.4))),
        *({"coverage": coverage} for coverage in np.linspace(0.05, 1.0, 39)),
        *({"spread": spread} for spread in np.linspace(0, 0.3, 31)),
    ]
    for pattern in graded:
        left = flank_at(Flank.LEFT, half_width=0.01, **({"along": 0.5} | dict(pattern)))
        comparison = compare_flanks(left, flank_at(Flank.RIGHT, left.along.value, 0.01), Target())
        yield from (f"found: {one.code}" for one in find_faults(comparison))


def _graded_gears() -> Iterator[str]:
    """The same wheel measured twice, a little differently each time."""
    for part in np.linspace(0, 0.02, 41):
        first, second = (Identity(gear={"module_mm": module_mm}) for module_mm in (4.0, 4.0 * (1 + part)))
        try:
            refuse_strangers(first, second)
        except InconsistentInputs:
            yield "taken for another wheel"


def _graded_teeth() -> Iterator[str]:
    """Two visits with teeth that are ever more unlike."""
    for apart in np.linspace(0, 0.5, 51):
        before, after = (
            JudgedState(None, None, None, None, Marking.TRANSFER, frozenset(), identity=Identity(slenderness=told))
            for told in (3.6, 3.6 + float(apart))
        )
        yield from (f"places not compared: {one.code}" for one in against_place(before, after))


def _amounts() -> dict[str, float]:
    """First steps in mm that estimates of more and less certain offsets bear out."""
    comparison = compared(0.62, 0.62, 0.02)
    advice = advise(comparison, (), SHIM_RULE)
    amounts = [
        propose_amount(advice, _estimate(offset, ratio), comparison).shims.amount_mm or 0.0
        for offset, ratio in product(np.geomspace(0.02, 2.0, 41), np.linspace(1.1, 6.0, 50))
    ]
    return {"amounts proposed": float(np.count_nonzero(amounts)), "sum of amounts, mm": float(np.sum(amounts))}


def _estimate(offset_mm: float, ratio: float) -> Estimate:
    """An offset whose largest possible value is ``ratio`` times the least."""
    nothing = Interval(0.0, 0.0, 0.0)
    offset = Interval(offset_mm, offset_mm / ratio**0.5, offset_mm * ratio**0.5)
    return Estimate(offset, False, nothing, None, Interval.around(0.04, 0.01), Interval.around(8.0, 1.0))


def _steps() -> dict[str, float]:
    """Next steps after trials that come nearer, go through the middle, bring nothing, or try packs nearly alike."""
    stories = {
        "nearer": [(0.0, 0.2), (0.1, 0.15)],
        "hardly nearer": [(0.0, 0.4), (0.1, 0.395)],
        "nearer by a large change": [(0.0, 0.4), (0.4, 0.38)],
        "through": [(0.0, 0.2), (0.1, -0.1)],
        **{f"first, off by {off:.0%}": [(0.0, off)] for off in np.linspace(0.1, 0.4, 31)},
        **{f"without gain by {mm:.2f} mm": [(0.0, 0.2), (mm, 0.2)] for mm in np.linspace(0.05, 0.6, 12)},
        **{f"off by {100 * off:.1f} %": [(0.0, 0.2), (0.1, off)] for off in np.linspace(0, 0.1, 21)},
    }
    repeated = sum(_step([(0.0, 0.2), (float(mm), 0.19)]) for mm in np.linspace(0.001, 0.012, 23))
    found = {f"step, {name}": _step(story) for name, story in stories.items()}
    wide = {f"face of {mm:.0f} mm": _step([(0.0, 0.2)], Bench(face_width_mm=mm)) for mm in np.linspace(10, 100, 10)}
    blind = propose_step([Trial(0.0, Interval.around(0.4, 0.005))], None).because["by_mm"]
    return found | wide | {"steps after packs alike": repeated, "either way": float(str(blind))}


def _step(story: list[tuple[float, float]], bench: Bench | None = None) -> float:
    """The step in mm; for one without a number a number beyond all steps that tells its kind."""
    proposal = propose_step([Trial(mm, Interval.around(shared, 0.005)) for mm, shared in story], -1, bench)
    return 1000.0 + len(proposal.kind.value) if proposal.step_mm is None else proposal.step_mm
