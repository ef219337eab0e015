"""The sign rule, one landmark test per direction, and when the tool must not say a direction."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.cautions import caution
from patternscan.frame import End, Flank
from patternscan.judging.advice import UNSURE, Advice, Move, ShimChange, ShimRule, advise, propose_amount
from patternscan.judging.comparison import PooledFlank, Target, compare_flanks
from patternscan.judging.estimate import Estimate
from patternscan.measuring.interval import Interval
from patternscan.reasons import finding, reason

POOR, MILD = caution("too-blurred"), caution("blurred")


def flank(side: Flank, along: float, doubt: float = 0.02, **other: float) -> PooledFlank:
    coverage = other.get("coverage", 0.3)
    return PooledFlank(
        flank=side,
        teeth=2,
        along=Interval.around(along, doubt),
        up=Interval.around(other.get("up", 0.5), 0.05),
        coverage=Interval.around(coverage, 0.03),
        length=Interval.around(0.4, 0.1),
        height=Interval.around(other.get("height", 0.8), 0.1),
        spread=other.get("spread", 0.01),
    )


def advice(left: float, right: float, doubt: float = 0.02, rule: ShimRule | None = None) -> Advice:
    return advise(compare_flanks(flank(Flank.LEFT, left, doubt), flank(Flank.RIGHT, right, doubt), Target()), [], rule)


def codes(left: PooledFlank, right: PooledFlank) -> set[str]:
    return {one.code for one in advise(compare_flanks(left, right, Target()), [], None).findings}


# US Army TM 5-3895-372-34, paragraph 6-10, in own words: when the contact lies at one side, shift that side away from
# the centre by shims. The side that carries the contact moves outward: the wheel moves toward the contact.


def test_pattern_toward_end_a_on_both_flanks_moves_the_wheel_toward_a() -> None:
    said = advice(0.30, 0.34)
    assert said.move is Move.TOWARD_A
    assert (said.because.code, said.because["end"]) == ("toward", "A")
    assert said.because["share"] == pytest.approx(0.18)


def test_pattern_toward_end_b_on_both_flanks_moves_the_wheel_toward_b() -> None:
    said = advice(0.70, 0.66)
    assert said.move is Move.TOWARD_B
    assert (said.because.code, said.because["end"]) == ("toward", "B")
    assert said.because["share"] == pytest.approx(0.18)


@pytest.mark.parametrize("doubt", [0.02, 0.12])
def test_flanks_that_run_off_opposite_ends_are_never_in_their_place(doubt: float) -> None:
    """Nor are they too close to call, however sure the reading is: more photos show no more."""
    said = advice(0.10, 0.92, doubt)
    assert (said.move, said.shims.change) == (Move.CANNOT_SAY, ShimChange.UNKNOWN)
    assert said.because == reason("crossed-early", left_end="A", right_end="B")


def test_flanks_that_pull_apart_on_the_face_may_be_too_close_to_call() -> None:
    assert advice(0.34, 0.74, 0.12).because.code == "within-uncertainty"


def test_a_crossing_that_may_hide_a_large_shift_is_no_answer() -> None:
    assert advice(0.34, 0.74, 0.12).move is Move.CANNOT_SAY


@pytest.mark.parametrize(
    ("left", "right", "code"),
    [(0.70, 0.40, "mixed"), (0.78, 0.46, "crossed-early"), (0.88, 0.30, "crossed-early"), (0.62, 0.38, "crossed")],
)
def test_a_crossing_counts_only_near_the_middle(left: float, right: float, code: str) -> None:
    assert code in {one.code for one in advice(left, right).findings}


def test_a_poor_photo_forbids_that_answer_too() -> None:
    crossed = compare_flanks(flank(Flank.LEFT, 0.30), flank(Flank.RIGHT, 0.68), Target())
    assert advise(crossed, [POOR], None).move is Move.CANNOT_SAY


def test_centred_patterns_leave_the_wheel() -> None:
    assert advice(0.51, 0.50).move is Move.STAY


def test_crossed_patterns_are_nothing_for_a_shim() -> None:
    said = advice(0.30, 0.68)
    assert (said.move, said.because.code, said.shims.change) == (Move.NOT_BY_SHIM, "crossed", ShimChange.NONE)
    (crossed,) = said.findings
    assert (crossed.code, crossed["left_end"], crossed["right_end"]) == ("crossed", "A", "B")
    assert crossed["share"] == pytest.approx(0.19)


def test_mixed_patterns_give_the_direction_and_say_what_a_shim_cannot_cure() -> None:
    said = advice(0.30, 0.52)
    assert said.move is Move.TOWARD_A
    assert [one.code for one in said.findings] == ["mixed"]


def test_a_shift_within_the_doubt_is_not_said() -> None:
    said = advice(0.42, 0.44, doubt=0.2)
    assert said.move is Move.CANNOT_SAY
    assert said.because.code == "within-uncertainty"


@pytest.mark.parametrize("lacking", [Flank.LEFT, Flank.RIGHT])
def test_one_flank_alone_gives_no_direction(lacking: Flank) -> None:
    left = None if lacking is Flank.LEFT else flank(Flank.LEFT, 0.2)
    right = None if lacking is Flank.RIGHT else flank(Flank.RIGHT, 0.2)
    said = advise(compare_flanks(left, right, Target()), [], None)
    assert said.move is Move.CANNOT_SAY
    assert said.because == reason("one-flank", lacking=lacking.value)


def test_a_poor_photo_gives_no_direction() -> None:
    comparison = compare_flanks(flank(Flank.LEFT, 0.2), flank(Flank.RIGHT, 0.2), Target())
    said = advise(comparison, [MILD, POOR], None)
    assert (said.move, said.because) == (Move.CANNOT_SAY, reason("grave-caution", POOR))
    assert advise(comparison, [MILD], None).move is Move.TOWARD_A


def test_a_doubtful_marking_is_asked_about_before_a_poor_photo() -> None:
    comparison = compare_flanks(flank(Flank.LEFT, 0.2), flank(Flank.RIGHT, 0.2), Target())
    doubtful = caution("marking-doubtful", told="rub-off", seen="transfer")
    assert advise(comparison, [POOR, doubtful], None).because == reason("grave-caution", doubtful)


@pytest.mark.parametrize(
    ("rule", "left", "change"),
    [
        (ShimRule(End.A, End.B), 0.7, ShimChange.ADD),
        (ShimRule(End.A, End.B), 0.3, ShimChange.REMOVE),
        (ShimRule(End.A, End.A), 0.3, ShimChange.ADD),
        (ShimRule(End.B, End.A), 0.7, ShimChange.REMOVE),
    ],
)
def test_shims_follow_what_the_sheet_says(rule: ShimRule, left: float, change: ShimChange) -> None:
    said = advice(left, left, rule=rule)
    assert said.shims.carrier is rule.carrier
    assert said.shims.change is change
    assert said.shims.amount_mm is None


def test_without_a_sheet_nothing_is_said_of_shims() -> None:
    assert advice(0.3, 0.3).shims.change is ShimChange.UNKNOWN
    assert advice(0.5, 0.5).shims.change is ShimChange.NONE


def test_findings() -> None:
    left = flank(Flank.LEFT, 0.5)
    assert codes(left, flank(Flank.RIGHT, 0.5)) == set()
    assert codes(flank(Flank.LEFT, 0.10), flank(Flank.RIGHT, 0.12)) == {"runs-out"}
    assert codes(left, flank(Flank.RIGHT, 0.5, up=0.93, height=0.12)) == {"tip-line"}
    assert codes(left, flank(Flank.RIGHT, 0.5, up=0.08, height=0.12)) == {"root-line"}
    assert codes(left, flank(Flank.RIGHT, 0.5, spread=0.2)) == {"teeth-disagree"}
    assert codes(left, flank(Flank.RIGHT, 0.5, coverage=0.85)) == {"too-much-marked"}


def test_running_out_names_the_end() -> None:
    comparison = compare_flanks(flank(Flank.LEFT, 0.9), flank(Flank.RIGHT, 0.5), Target())
    told = [one for one in advise(comparison, [], None).findings if one.code == "runs-out"]
    assert told == [finding("runs-out", flank="left", end="B")]


OPPOSITE = {
    Move.TOWARD_A: Move.TOWARD_B,
    Move.TOWARD_B: Move.TOWARD_A,
    Move.STAY: Move.STAY,
    Move.NOT_BY_SHIM: Move.NOT_BY_SHIM,
}
places = st.floats(0.05, 0.95)


@settings(deadline=None, max_examples=80)
@given(places, places, st.floats(0.0, 0.3))
def test_no_move_when_the_doubt_straddles_and_swapped_ends_flip_it(left: float, right: float, doubt: float) -> None:
    said, turned = advice(left, right, doubt), advice(1 - left, 1 - right, doubt)
    shared = compare_flanks(flank(Flank.LEFT, left, doubt), flank(Flank.RIGHT, right, doubt), Target()).shared
    assert shared is not None
    if abs(abs(shared.value) - 0.04) > 1e-9 and min(abs(shared.low), abs(shared.high)) > 1e-9:
        assert turned.move is OPPOSITE.get(said.move, Move.CANNOT_SAY) or {said.move, turned.move} <= {
            Move.STAY,
            Move.CANNOT_SAY,
        }
    if shared.low < 0 < shared.high or abs(shared.value) < 0.039:
        assert said.move in (Move.STAY, Move.CANNOT_SAY, Move.NOT_BY_SHIM)


def estimate(value: float, low: float, high: float) -> Estimate:
    """An estimate of the wheel's offset toward A in mm; the rest does not matter here."""
    other = Interval.around(0.04, 0.01)
    return Estimate(Interval(value, low, high), False, other, None, other, other)


def amount(left: float, right: float, guess: Estimate, target: Target | None = None) -> float | None:
    """The step proposed for two places along the face; it must never touch the direction."""
    pair = compare_flanks(flank(Flank.LEFT, left), flank(Flank.RIGHT, right), target or Target())
    before = advise(pair, [], ShimRule(End.A, End.B))
    after = propose_amount(before, guess, pair)
    assert (after.move, after.because, after.shims.change) == (before.move, before.because, before.shims.change)
    return after.shims.amount_mm


def test_six_tenths_of_the_offset_are_proposed_and_never_more_than_the_least_that_fits() -> None:
    assert amount(0.70, 0.66, estimate(0.20, 0.16, 0.30)) == 0.12
    assert amount(0.70, 0.66, estimate(0.20, 0.07, 0.21)) == 0.07
    assert amount(0.30, 0.34, estimate(-0.20, -0.30, -0.16)) == 0.12


@pytest.mark.parametrize(
    "guess",
    [
        estimate(0.20, 0.05, 0.40),  # reaches over more than three times
        estimate(0.20, -0.01, 0.40),  # may be nothing
        estimate(-0.20, -0.30, -0.12),  # against the pattern
        estimate(0.03, 0.02, 0.04),  # the least is less than the thinnest shim
    ],
)
def test_no_amount_is_proposed_when_the_estimate_does_not_bear_it_out(guess: Estimate) -> None:
    assert amount(0.70, 0.66, guess) is None


def test_no_step_is_larger_than_half_a_millimetre() -> None:
    assert amount(0.90, 0.85, estimate(2.0, 1.5, 2.5)) == 0.5


def test_no_amount_is_proposed_when_nobody_knows_what_a_shim_does() -> None:
    pair = compare_flanks(flank(Flank.LEFT, 0.70), flank(Flank.RIGHT, 0.66), Target())
    assert propose_amount(advise(pair, [], None), estimate(0.20, 0.12, 0.30), pair).shims.amount_mm is None


def test_no_amount_is_proposed_for_staying_or_for_a_target_off_the_middle() -> None:
    assert amount(0.50, 0.50, estimate(0.20, 0.12, 0.30)) is None
    assert amount(0.70, 0.66, estimate(0.20, 0.12, 0.30), Target(0.55, 0.55)) is None
    assert amount(0.70, 0.66, estimate(0.20, 0.12, 0.30), Target(0.45, 0.55)) == 0.12


def test_a_wide_interval_that_excludes_zero_gives_the_direction_with_little_certainty() -> None:
    hidden = caution("much-covered", Flank.LEFT, "left.jpg", share=0.3)
    shifted = compare_flanks(flank(Flank.LEFT, 0.20, 0.12), flank(Flank.RIGHT, 0.24, 0.12), Target())
    said = advise(shifted, [MILD, hidden], None)
    assert (said.move, said.because.code, said.because.caution) == (Move.TOWARD_A, "toward-unsure", hidden)
    assert advise(shifted, [MILD], None).because.code == "toward"


def test_a_dark_photo_silences_nothing_that_its_interval_bears_out() -> None:
    dark = caution("far-too-dark", Flank.LEFT, "left.jpg")
    assert (dark.grave, dark.widens) == (False, True)
    assert dark.code in UNSURE
