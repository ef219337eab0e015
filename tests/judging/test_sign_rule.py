"""The sign rule: plain geometry, worked cases, and shifts too small to act on.

Outside source of the rule: US Army TM 5-3895-372-34, paragraph 6-10. When the print lies at the entering side of the
driving face, that side of the wheel is shimmed away from the centre, so the wheel goes toward the end that carries the
print. Worked cases: patterns of a simulated set as percent of the face, counted positive toward end A; a place +20
toward A is along = 0.5 - 0.20 = 0.30 here.
"""

from __future__ import annotations

import math

import pytest

from patternscan.frame import End, Flank
from patternscan.judging.advice import Advice, ShimRule, advise
from patternscan.judging.comparison import PooledFlank, Target, compare_flanks
from patternscan.measuring.interval import Interval


def flank_at(flank: Flank, along: float, doubt: float = 0.03) -> PooledFlank:
    up, coverage = Interval(0.55, 0.5, 0.6), Interval(0.3, 0.25, 0.35)
    return PooledFlank(flank, 1, Interval.around(along, doubt), up, coverage, up, up, None)


def advice_for(left: float, right: float, doubt: float = 0.03, rule: ShimRule | None = None) -> Advice:
    pair = compare_flanks(flank_at(Flank.LEFT, left, doubt), flank_at(Flank.RIGHT, right, doubt), Target())
    return advise(pair, (), rule)


def codes(advice: Advice) -> set[str]:
    return {finding.code for finding in advice.findings}


def test_shaft_in_a_cradle_sends_the_wheel_back() -> None:
    """Plain geometry: a shaft of radius 40 mm in a groove 0.8 mm larger that is slid 0.1 mm toward B (+)."""
    radius, larger, slid, face = 40.0, 0.8, 0.1, 62.0

    def gap(degrees: float) -> float:
        x, y = radius * math.sin(math.radians(degrees)), -radius * math.cos(math.radians(degrees))
        return radius + larger - math.hypot(x - slid, y - larger)

    touches = min((step / 10 for step in range(-450, 451)), key=gap)
    along = 0.5 + radius * math.sin(math.radians(touches)) / face
    assert along == pytest.approx(0.42, abs=0.005)
    assert advice_for(along, along).move == "toward-A"


@pytest.mark.parametrize(
    ("toward_a", "move", "finding"),
    [
        ((20, 16), "toward-A", None),
        ((-20, -16), "toward-B", None),
        ((20, -18), "not-by-shim", "crossed"),
        ((30, 2), "toward-A", "crossed-early"),
    ],
)
def test_worked_cases(toward_a: tuple[int, int], move: str, finding: str | None) -> None:
    found = advice_for(0.5 - toward_a[0] / 100, 0.5 - toward_a[1] / 100)
    assert found.move == move
    assert codes(found) & {"crossed", "mixed", "crossed-early"} == ({finding} if finding else set())


def test_crossed_gets_no_shim() -> None:
    found = advice_for(0.30, 0.68, rule=ShimRule(End.A, End.A))
    assert found.shims.change == "none"
    (crossed,) = found.findings
    assert (crossed.code, crossed["left_end"], crossed["right_end"]) == ("crossed", "A", "B")


@pytest.mark.parametrize("shift", [-0.02, -0.01, 0.01, 0.02])
@pytest.mark.parametrize("doubt", [0.0, 0.01, 0.05, 0.2])
def test_two_percent_is_never_worth_a_move(shift: float, doubt: float) -> None:
    assert advice_for(0.5 + shift, 0.5 + shift, doubt).move in {"stay", "cannot-say"}


@pytest.mark.parametrize(("shift", "move"), [(0.07, "toward-B"), (-0.07, "toward-A")])
def test_seven_percent_read_within_five_gets_a_direction(shift: float, move: str) -> None:
    assert advice_for(0.5 + shift, 0.5 + shift, 0.05).move == move


def test_small_but_sure_shift_with_a_wide_doubt_is_not_called_less_than_the_doubt() -> None:
    found = advice_for(0.535, 0.535, doubt=0.045)
    assert found.move == "cannot-say"
    assert found.because.code == "small-shift"


def test_a_pattern_that_gives_a_direction_is_mixed_and_never_called_crossed() -> None:
    found = advice_for(0.36, 0.76)
    assert (found.move, codes(found)) == ("toward-B", {"mixed"})


def test_a_doubtful_centre_is_not_said_to_lie_at_an_end() -> None:
    found = advice_for(0.5, 0.5, doubt=0.2)
    assert found.move == "cannot-say"
    assert found.because.code == "centred-unsure"
