"""Before and after a move."""

from __future__ import annotations

import dataclasses

import pytest

from patternscan.errors import DoNotBelongTogether
from patternscan.frame import Compound, Marking
from patternscan.judging.change import FlankState, JudgedState, Verdict, compare_states
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval


def state(shared: float | None, doubt: float = 0.02, **other: object) -> JudgedState:
    flank = FlankState(Interval.around(0.5, 0.02), Interval.around(0.5, 0.05), Interval.around(0.3, 0.03))
    marking, compound, machine = (
        other.get("marking", Marking.TRANSFER),
        other.get("compound", Compound.BLUE),
        other.get("machine"),
    )
    assert isinstance(marking, Marking)
    assert isinstance(compound, Compound)
    assert machine is None or isinstance(machine, str)
    return JudgedState(
        shared=None if shared is None else Interval.around(shared, doubt),
        opposed=None if shared is None else Interval.around(0.0, doubt),
        left=flank,
        right=flank,
        marking=marking,
        compounds=frozenset({compound}),
        machine=machine,
    )


@pytest.mark.parametrize(
    ("before", "after", "verdict"),
    [
        (0.18, 0.06, Verdict.BETTER),
        (-0.18, -0.06, Verdict.BETTER),
        (0.18, -0.06, Verdict.BETTER),
        (0.06, 0.18, Verdict.WORSE),
        (-0.06, 0.18, Verdict.WORSE),
        (0.10, 0.09, Verdict.NO_DIFFERENCE),
        (0.10, -0.10, Verdict.NO_DIFFERENCE),
    ],
)
def test_the_distance_from_target_decides(before: float, after: float, verdict: Verdict) -> None:
    assert compare_states(state(before), state(after)).verdict is verdict


def test_the_change_is_after_minus_before() -> None:
    change = compare_states(state(0.18), state(0.06))
    assert change.shared is not None
    assert change.shared.change.value == pytest.approx(-0.12)
    assert change.because == (
        "The pattern came nearer to its place: 18 % toward end B before and 6 % toward end B after."
    )


def test_a_worse_place_asks_to_check_the_end_mark() -> None:
    # Wrong-sign trial: the common part grows after the move -> stop, re-check the end mark (common practice).
    assert "wrong-way" in {caution.code for caution in compare_states(state(0.06), state(0.18)).cautions}


def test_passing_the_centre_is_said() -> None:
    assert "other side" in compare_states(state(0.18), state(-0.06)).because


def test_one_flank_is_not_comparable() -> None:
    change = compare_states(state(None), state(0.1))
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert not change.position_comparable
    assert change.because == "The result before does not have both flanks."


def test_coverage_never_decides_and_is_comparable_only_for_the_same_compound() -> None:
    change = compare_states(state(0.18), state(0.06, compound=Compound.RED))
    assert change.verdict is Verdict.BETTER
    assert change.position_comparable
    assert not change.coverage_comparable
    assert not compare_states(state(0.18), state(0.06, marking=Marking.RUB_OFF)).coverage_comparable


def test_different_machines_are_refused() -> None:
    with pytest.raises(DoNotBelongTogether):
        compare_states(state(0.1, machine="quarry winch"), state(0.1, machine="goods lift"))


def test_different_targets_are_not_comparable() -> None:
    moved = dataclasses.replace(state(0.1), target=Target(0.6, 0.4))
    change = compare_states(state(0.1), moved)
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert "different targets" in change.because
