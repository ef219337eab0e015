"""What shims did to the pattern, and the next step: worked examples, every rule, and swapped ends."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from patternscan.frame import End
from patternscan.judging.advice import ShimChange, ShimRule, advise
from patternscan.judging.comparison import Comparison, Target
from patternscan.judging.trials.bench import Bench
from patternscan.judging.trials.next_step import Proposal, StepKind, propose_step
from patternscan.judging.trials.response import find_expected_sign, learn_response
from patternscan.judging.trials.trial import Trial
from patternscan.measuring.interval import Interval
from patternscan.reasons import reason

TOWARD_A, TOWARD_B = -1, 1


def trials(*readings: tuple[float, float], doubt: float = 0.02) -> list[Trial]:
    return [Trial(shim_mm, Interval.around(shared, doubt)) for shim_mm, shared in readings]


def exactly(wanted_mm: float) -> float:
    return wanted_mm


EXACT = Bench(nearest=exactly)
"""Shims of any thickness."""


def proposed(
    *readings: tuple[float, float], sign: int | None = TOWARD_A, doubt: float = 0.02, bench: Bench = EXACT
) -> Proposal:
    return propose_step(trials(*readings, doubt=doubt), sign, bench)


def test_half_of_the_secant_while_on_one_side() -> None:
    """Own arithmetic: +18 % at 0.00 and +6 % at 0.10 mm point to 0.15 mm; half of the way from 0.10 ends at 0.125."""
    proposal = proposed((0.00, 0.18), (0.10, 0.06))
    assert proposal.kind is StepKind.HALF_STEP
    assert proposal.step_mm == pytest.approx(0.025)
    assert proposal.interval is not None
    assert 0 <= proposal.interval.low < 0.025 < proposal.interval.high <= 0.1


def test_interpolated_once_the_centre_is_enclosed() -> None:
    """Own arithmetic: +18 % at 0.00 and -6 % at 0.10 mm put the centre at 0.075 mm, so 0.025 mm has to go again."""
    proposal = proposed((0.00, 0.18), (0.10, -0.06))
    assert proposal.kind is StepKind.BETWEEN
    assert proposal.step_mm == pytest.approx(-0.025)
    assert proposal.interval is not None
    assert proposal.interval.holds(-0.025)
    assert proposal.because == reason("between", step_mm=proposal.step_mm, thin_mm=0.0, thick_mm=0.1)


def test_the_nearest_on_either_side_are_used() -> None:
    proposal = proposed((0.00, 0.30), (0.20, -0.20), (0.05, 0.12), (0.15, -0.06))
    assert proposal.step_mm == pytest.approx(0.05 + 0.12 / 1.8 - 0.15)  # own arithmetic: 0.18 of face over 0.10 mm


def test_never_more_than_three_times_the_largest_change_and_half_a_millimetre() -> None:
    proposal = proposed((0.00, 0.40), (0.05, 0.35))
    assert proposal.step_mm == pytest.approx(0.15)  # the line points to another 0.35 mm, half of that is 0.175
    assert proposal.because == reason("as-capped", step_mm=proposal.step_mm)
    assert proposed((0.00, 0.45), (0.2, 0.38), (0.21, 0.38)).step_mm == 0.5  # three times 0.2 mm would be more


def test_an_effect_within_its_uncertainty_on_a_large_shift_means_further() -> None:
    """Own arithmetic: 40 % to 39 % by 0.05 mm, at most 1 + 2 x root of 2 = 3.83 %: 0.51 mm to go, more than 0.15."""
    proposal = proposed((0.00, 0.40), (0.05, 0.39))
    assert proposal.kind is StepKind.FURTHER
    assert proposal.step_mm == pytest.approx(0.15)
    assert proposal.because == reason("hardly-moved", step_mm=proposal.step_mm, from_mm=0.0, to_mm=0.05)
    near = proposed((0.00, 0.10), (0.05, 0.09))
    assert near.step_mm == pytest.approx(0.05 * 9 / (1 + 2 * 2**0.5))  # no further than the middle, whatever the effect


def test_steps_are_those_that_the_shims_on_hand_make() -> None:
    tenths = Bench(nearest=lambda wanted_mm: round(wanted_mm, 1))
    assert proposed((0.0, 0.12), bench=tenths).step_mm == 0.1  # a trial has to change something
    assert proposed((0.0, 0.40), (0.1, 0.30), bench=tenths).step_mm == pytest.approx(0.1)  # 0.15 is wanted
    assert proposed((0.0, 0.40), (0.3, 0.10), bench=tenths).step_mm == pytest.approx(0.1)  # half of 0.1, so all of it


def test_a_wheel_that_is_nearer_than_the_thinnest_step_is_left() -> None:
    """By 0.1 mm it moves 30 %, so from 6 % off the thinnest step would bring it to 24 % beyond."""
    proposal = proposed((0.0, 0.36), (0.1, 0.06), bench=Bench(nearest=lambda wanted_mm: round(wanted_mm, 1)))
    assert proposal.kind is StepKind.NEAR_ENOUGH
    assert proposal.ends
    assert not proposal.stop
    assert proposal.because["thinnest_mm"] == 0.1
    assert proposal.because["share"] == pytest.approx(0.30)


def thick(step_mm: float) -> Bench:
    """Shims of one thickness alone."""
    return Bench(nearest=lambda wanted_mm: step_mm * round(wanted_mm / step_mm))


def test_a_wheel_that_thinner_shims_would_bring_nearer_is_not_left() -> None:
    """By 0.2 mm from 30 % to 10 % off: half of what is left is 0.05 mm. From 20 % to 22 % beyond: the right pack lies
    0.2 x 22 / 42 mm = 0.105 mm below, and back to 0.2 mm less would be as far off as before."""
    same_side = proposed((0.0, 0.30), (0.2, 0.10), bench=thick(0.2))
    assert same_side.because.code == "thinner-shims"
    assert same_side.step_mm == pytest.approx(0.05)
    assert same_side.because["thinnest_mm"] == 0.2
    assert same_side.because["share"] == pytest.approx(0.20)
    beyond = proposed((0.0, 0.20), (0.2, -0.22), bench=thick(0.2))
    assert beyond.because.code == "thinner-shims"
    assert beyond.step_mm == pytest.approx(-0.1)
    assert not same_side.ends
    assert not beyond.ends


def test_with_shims_too_thick_the_pack_that_lay_near_enough_is_gone_back_to() -> None:
    back = proposed((0.0, 0.05), (0.2, -0.35), bench=thick(0.2))
    assert (back.because.code, back.step_mm) == ("to-nearest-pack", -0.2)


@pytest.mark.parametrize("sign", [TOWARD_A, None])
@pytest.mark.parametrize("bench", [None, thick(0.02), thick(0.2)], ids=["any", "thin", "thick"])
def test_a_pattern_that_jumps_to_the_other_side_stops_the_shimming(bench: Bench | None, sign: int | None) -> None:
    """By 0.02 mm from 28 % off to 26 % beyond: the right pack would lie 0.0096 mm below, thinner than any shim made."""
    proposal = propose_step(trials((0.0, 0.28), (0.02, -0.26)), sign, bench)
    assert proposal.kind is StepKind.STOP_TOO_FAR
    assert proposal.stop
    assert proposal.because == reason("moved-too-far", from_mm=0.0, to_mm=0.02, share=0.28 + 0.26)


def test_after_a_try_the_wrong_way_the_pack_that_lay_nearer_is_gone_on_from() -> None:
    """Own arithmetic: +18 % as found, +30 % with 0.05 mm more: the line meets the centre 0.075 mm below as found, half
    of that is 0.0375 mm, so 0.0875 mm have to go. Merely putting the 0.05 mm back would try the same pack twice."""
    proposal = proposed((0.00, 0.18), (0.05, 0.30), sign=None)
    assert proposal.kind is StepKind.HALF_STEP
    assert proposal.step_mm == pytest.approx(-0.0875)
    because = proposal.because
    assert because.code == "back-half-way"
    assert (because["back_mm"], because["beyond_mm"]) == pytest.approx((-0.05, -0.0375))


def test_a_warning_tells_the_shims_in_the_order_of_the_job() -> None:
    proposal = proposed((0.00, 0.18), (-0.05, 0.08))
    assert proposal.kind is StepKind.STOP_WRONG_WAY
    wrong = proposal.because.caution
    assert wrong is not None
    assert (wrong.code, wrong["from_mm"], wrong["to_mm"], wrong["end"]) == ("trial-against-rule", 0.0, -0.05, "A")
    assert wrong["toward"] == "A"  # fewer shims carried the pattern to A, so the wheel to B
    assert wrong["share"] == pytest.approx(0.1)


def test_a_trial_against_the_rule_stops() -> None:
    proposal = proposed((0.00, 0.18), (0.10, 0.26))
    assert proposal.kind is StepKind.STOP_WRONG_WAY
    assert proposal.stop
    assert proposal.step_mm is None
    response = learn_response(trials((0.00, 0.18), (0.10, 0.26)), TOWARD_A)
    assert response is not None
    assert response.wrong_way is not None
    assert (response.wrong_way.code, response.wrong_way["end"]) == ("trial-against-rule", "B")
    assert proposal.because == reason("wrong-way", response.wrong_way)
    assert response.rule(End.A) is None


def test_a_trial_against_the_rule_within_its_doubt_does_not_stop() -> None:
    assert proposed((0.00, 0.18), (0.10, 0.20)).kind is StepKind.FURTHER


def test_a_trial_against_an_earlier_one_stops_without_any_rule() -> None:
    proposal = proposed((0.00, 0.30), (0.10, 0.20), (0.15, 0.28), sign=None)
    assert proposal.kind is StepKind.STOP_WRONG_WAY
    assert proposal.because.caution is not None
    assert proposal.because.caution.code == "trial-against-trial"


def test_the_latest_clear_step_decides() -> None:
    """One odd reading early on, made good by a clear step the right way, does not hold the job up."""
    assert proposed((0.00, 0.20), (0.05, 0.30), (0.15, 0.12)).kind is StepKind.HALF_STEP
    assert proposed((0.00, 0.30), (0.10, -0.20), (0.15, -0.08)).kind is StepKind.STOP_WRONG_WAY


@pytest.mark.parametrize(("after", "sign"), [(0.08, TOWARD_A), (0.28, TOWARD_B)])
def test_the_sign_is_learned_when_the_rule_is_not_known(after: float, sign: int) -> None:
    readings = trials((0.00, 0.18), (0.10, after))
    response = learn_response(readings)
    assert response is not None
    assert (response.sign, response.wrong_way) == (sign, None)
    learned = response.rule(End.B)
    assert learned is not None
    assert learned.carrier is End.B
    assert find_expected_sign(learned) == sign
    step = propose_step(readings).step_mm
    assert step is not None
    assert step * sign * after < 0  # it brings the pattern back


def test_the_effect_with_its_interval() -> None:
    response = learn_response(trials((0.00, 0.18), (0.10, 0.06)), TOWARD_A)
    assert response is not None
    assert response.effect_per_mm.value == pytest.approx(-1.2)
    assert response.effect_per_mm.half_width == pytest.approx(0.2 * 2**0.5)
    assert learn_response(trials((0.00, 0.18))) is None
    assert learn_response(trials((0.00, 0.18), (0.00, 0.14))) is None
    assert learn_response([]) is None


@pytest.mark.parametrize(("shift", "step_mm"), [(0.14, 0.05), (0.18, 0.10), (0.30, 0.15)])
def test_the_first_step_goes_by_the_shift(shift: float, step_mm: float) -> None:
    proposal = proposed((0.00, shift))
    assert (proposal.kind, proposal.step_mm, proposal.interval) == (StepKind.FIRST_STEP, step_mm, None)
    assert proposal.because == reason("by-shift", step_mm=step_mm)
    assert proposed((0.0, -shift)).step_mm == -step_mm


@pytest.mark.parametrize(("shift", "face_mm", "step_mm"), [(0.2, 40.0, 0.12), (0.1, 20.0, 0.05), (0.4, 60.0, 0.25)])
def test_the_first_step_goes_by_the_face_width_where_it_is_known(shift: float, face_mm: float, step_mm: float) -> None:
    """0.015 mm of shims for a mm of shift, between 0.05 and 0.25 mm: 0.2 x 40 x 0.015 = 0.12."""
    proposal = proposed((0.00, shift), bench=Bench(face_width_mm=face_mm, nearest=exactly))
    assert proposal.step_mm == pytest.approx(step_mm)
    assert proposal.because.code == "by-face-width"


def test_what_the_gear_data_bear_out_comes_first() -> None:
    bench = Bench(0.12, 40.0)
    proposal = proposed((0.0, 0.18), bench=bench)
    assert (proposal.kind, proposal.step_mm) == (StepKind.FIRST_STEP, 0.12)
    assert proposal.because == reason("by-gear-data", step_mm=0.12)
    assert proposed((0.0, -0.18), bench=bench).step_mm == -0.12
    assert proposed((0.0, 0.18), sign=None, bench=bench).step_mm is None
    second = ((0.0, 0.18), (0.12, 0.10))
    assert proposed(*second, bench=bench) == proposed(*second, bench=Bench())


def test_without_a_shim_rule_the_first_step_is_a_trial_either_way() -> None:
    proposal = proposed((0.00, 0.30), sign=None)
    assert (proposal.kind, proposal.step_mm) == (StepKind.FIRST_STEP, None)
    assert proposal.because == reason("either-way", by_mm=0.10)


def test_without_a_shim_rule_the_way_that_brought_nothing_is_left_for_the_other() -> None:
    proposal = proposed((0.00, 0.40), (0.1, 0.41), sign=None)
    assert proposal.kind is StepKind.FURTHER
    assert proposal.step_mm == pytest.approx(-0.3)
    proposal = proposed((0.00, 0.40), (0.1, 0.39), (0.4, 0.40), sign=None)
    assert proposal.kind is StepKind.FURTHER
    assert proposal.step_mm == pytest.approx(-0.8)  # as far beyond as found


@pytest.mark.parametrize("carrier", End)
@pytest.mark.parametrize("toward", End)
@pytest.mark.parametrize("shift", [0.18, -0.18])
def test_the_first_step_agrees_with_the_advice(carrier: End, toward: End, shift: float) -> None:
    """The home of the sign rule is the advice; US Army TM 5-3895-372-34, paragraph 6-10, has the same direction."""
    rule, shared = ShimRule(carrier, toward), Interval.around(shift, 0.02)
    advice = advise(Comparison(None, None, Target(), shared, None), [], rule)
    step = propose_step([Trial(0.0, shared)], find_expected_sign(rule)).step_mm
    assert step is not None
    assert (step > 0) is (advice.shims.change is ShimChange.ADD)


def test_the_same_pack_blued_again_gives_no_number_from_nothing() -> None:
    again = proposed((0.00, 0.18), (0.00, 0.14))
    assert again.kind is StepKind.FIRST_STEP
    assert proposed((0.00, 0.18), (0.10, 0.07), (0.10, 0.05)).step_mm == pytest.approx(0.025)


def test_in_its_place_it_stays() -> None:
    assert proposed((0.00, 0.18), (0.10, 0.01)).kind is StepKind.LEAVE
    assert proposed((0.00, 0.01)).kind is StepKind.LEAVE


def test_within_doubt_there_is_no_number() -> None:
    assert proposed((0.00, 0.05), doubt=0.08).kind is StepKind.NO_NUMBER
    assert propose_step([]).kind is StepKind.NO_NUMBER


def test_readings_that_contradict_each_other_give_no_number() -> None:
    """The first two put the right pack at 0.0375 mm, but the last lies below as found and asks for still less."""
    proposal = proposed((0.00, 0.18), (0.05, -0.06), (-0.10, -0.08))
    assert proposal.kind is StepKind.NO_NUMBER
    assert proposal.because == reason("trials-contradict")


def test_between_the_two_packs_that_differ_least_lies_the_right_one() -> None:
    """Far off the pattern hardly moves: 35 to 36 % off at 0, 0.175 and 0.375 mm, 27 % beyond at 0.675 mm. Own
    arithmetic: the line from 0.375 to 0.675 mm meets the centre at 0.545; from 0 it would at 0.38, as if it were there.
    """
    proposal = proposed((0.0, 0.353), (0.175, 0.361), (0.675, -0.270), (0.375, 0.356))
    assert proposal.kind is StepKind.BETWEEN
    assert proposal.step_mm == pytest.approx(0.3 * 0.356 / 0.626)


def test_no_gain_is_shown_by_enough_of_shims_only() -> None:
    stuck = ((0.00, 0.15), (0.05, 0.14), (0.15, 0.16))
    assert proposed(*stuck).kind is StepKind.FURTHER
    proposal = proposed(*stuck, (0.3, 0.15))
    assert proposal.kind is StepKind.STOP_NO_GAIN
    assert proposal.stop
    assert proposal.because == reason("no-gain", changed_mm=0.3)


def test_a_gain_a_pattern_that_runs_off_or_a_middle_enclosed_is_no_reason_to_stop() -> None:
    assert not proposed((0.00, 0.20), (0.10, 0.19), (0.35, 0.15)).stop
    assert not proposed((0.00, 0.15), (0.30, -0.15)).stop
    running_off = [Trial(shim_mm, Interval.around(0.4, 0.02), runs_off=True) for shim_mm in (0.0, 0.1, 0.4)]
    assert propose_step(running_off, TOWARD_A).kind is StepKind.FURTHER
    far = [*running_off, Trial(0.7, Interval.around(0.4, 0.02), runs_off=True)]
    assert propose_step(far, TOWARD_A).kind is StepKind.STOP_NO_GAIN


def test_without_a_shim_rule_both_ways_are_tried_before_a_stop() -> None:
    one_way = ((0.00, 0.15), (0.1, 0.15), (0.4, 0.15))
    assert proposed(*one_way, sign=None).kind is StepKind.FURTHER
    assert proposed(*one_way, (-0.3, 0.15), sign=None).kind is StepKind.STOP_NO_GAIN


OWN_SIMULATION = {-0.2: 25.4, -0.1: 16.6, -0.05: 11.4, 0.0: 0.0, 0.05: -11.4, 0.1: -17.2, 0.2: -27.0, 0.4: -33.6}
"""Own simulation (module 8, 2 starts, 53 teeth, hob 2 % oversize): wheel toward A in mm, shared shift in percent."""


def simulated(shim_mm: float, start_mm: float) -> float:
    """Shared shift with shims that push the wheel toward A, from a start off centre; straight between the points."""
    place = start_mm + shim_mm
    for (left, low), (right, high) in pairwise(sorted(OWN_SIMULATION.items())):
        if left <= place <= right:
            return (low + (high - low) * (place - left) / (right - left)) / 100
    raise AssertionError(place)


@pytest.mark.parametrize(("start", "first"), [(-0.2, 0.1), (-0.12, 0.05), (0.15, -0.05), (0.3, -0.1)])
def test_a_job_comes_home(start: float, first: float) -> None:
    done = trials((0.0, simulated(0.0, start)), (first, simulated(first, start)), doubt=0.01)
    for _ in range(8):
        proposal = propose_step(done, TOWARD_A, EXACT)
        if proposal.step_mm is None:
            break
        pack = done[-1].shim_mm + proposal.step_mm
        done += trials((pack, simulated(pack, start)), doubt=0.01)
    assert proposal.kind is StepKind.LEAVE
    assert abs(done[-1].shared.value) < 0.06
    assert all(abs(trial.shared.value) <= abs(done[0].shared.value) for trial in done)


readings = st.lists(
    st.tuples(st.integers(-6, 6).map(lambda step: step * 0.05), st.integers(-40, 40).map(lambda share: share / 100)),
    max_size=5,
)


@given(readings, st.sampled_from([-1, 1, None]), st.floats(0.0, 0.1))
@settings(deadline=None, max_examples=300)
def test_swapped_ends_flip_nothing_but_signs(found: list[tuple[float, float]], sign: int | None, doubt: float) -> None:
    """Name the ends the other way round: the steps stay, every direction along the face turns."""
    mirrored = [(shim_mm, -shared) for shim_mm, shared in found]
    one, other = trials(*found, doubt=doubt), trials(*mirrored, doubt=doubt)
    turned = None if sign is None else -sign
    assert propose_step(one, sign).step_mm == pytest.approx(propose_step(other, turned).step_mm, abs=1e-9)
    assert propose_step(one, sign).kind is propose_step(other, turned).kind
    learned, flipped = learn_response(one, sign), learn_response(other, turned)
    if learned is not None:
        assert flipped is not None
        assert learned.effect_per_mm.value == pytest.approx(-flipped.effect_per_mm.value)
        assert learned.effect_per_mm.low == pytest.approx(-flipped.effect_per_mm.high)
        assert learned.sign == (None if flipped.sign is None else -flipped.sign)


@given(readings, st.sampled_from([-1, 1, None]), st.floats(0.0, 0.1))
@settings(deadline=None, max_examples=300)
def test_shims_on_the_other_side_flip_the_step(
    found: list[tuple[float, float]], sign: int | None, doubt: float
) -> None:
    """Count the shims of the other carrier instead: the step turns, and so does the effect."""
    one = trials(*found, doubt=doubt)
    other = trials(*((-shim_mm, shared) for shim_mm, shared in found), doubt=doubt)
    step = propose_step(one, sign).step_mm
    opposite = propose_step(other, None if sign is None else -sign).step_mm
    assert (step is None) is (opposite is None)
    if step is not None and opposite is not None:
        assert step == pytest.approx(-opposite, abs=1e-9)


@given(readings, st.sampled_from([-1, 1, None]), st.floats(0.0, 0.1))
@example([(0.0, 0.13), (0.05, 0.04)], -1, 0.0)
@settings(deadline=None, max_examples=300)
def test_every_step_goes_toward_the_centre_and_keeps_its_bounds(
    found: list[tuple[float, float]], sign: int | None, doubt: float
) -> None:
    done = trials(*found, doubt=doubt)
    proposal, response = propose_step(done, sign), learn_response(done, sign)
    if proposal.step_mm is None:
        assert proposal.kind not in (StepKind.BETWEEN, StepKind.HALF_STEP)
        return
    assert proposal.interval is None or proposal.interval.widened(0.0126).holds(proposal.step_mm)
    if proposal.kind in (StepKind.HALF_STEP, StepKind.FURTHER):
        largest = max(abs(after.shim_mm - before.shim_mm) for before, after in pairwise(done))
        tried = [abs(done[-1].shim_mm + proposal.step_mm - one.shim_mm) for one in done]
        assert min(tried) <= min(3 * largest, 0.5) + 0.006  # beyond what was tried, to a hundredth
    if proposal.kind is StepKind.BETWEEN:
        packs = [each.shim_mm for each in done]
        assert min(packs) - 1e-9 <= done[-1].shim_mm + proposal.step_mm <= max(packs) + 1e-9
    if response is not None and response.sign is not None and sign is not None:
        assert response.sign == sign


exact_mm = st.integers(-6, 6).map(lambda step: step / 16)
"""Sums and differences of sixteenths have no rounding, so none of them lies on the wrong side of a limit by it."""
shares = st.integers(-40, 40).map(lambda share: share / 100)


@given(st.lists(st.tuples(exact_mm, shares), max_size=5), st.sampled_from([-1, 1, None]), st.floats(0.0, 0.1), exact_mm)
@example([(5 / 16, 0.2), (7 / 16, 0.2), (3 / 16, 0.2)], None, 0.02, 21 / 16)
@settings(deadline=None, max_examples=100)
def test_it_matters_not_what_the_first_pack_is_counted_from(
    found: list[tuple[float, float]], sign: int | None, doubt: float, by_mm: float
) -> None:
    """A first trial may come after a change of shims; what was changed since is all that counts."""
    moved = [(shim_mm + by_mm, shared) for shim_mm, shared in found]
    one, other = (propose_step(trials(*each, doubt=doubt), sign, EXACT) for each in (found, moved))
    assert one.kind is other.kind
    assert one.step_mm == pytest.approx(other.step_mm, abs=1e-9)


@pytest.mark.parametrize("from_mm", [0.0, 0.4, -0.9, 1.9])
def test_a_limit_that_the_shims_just_meet_is_met_however_they_are_counted(from_mm: float) -> None:
    """0.4 + 0.3 - 0.4 falls short of 0.3 by rounding."""
    tried = [(from_mm + step, 0.2) for step in (0.0, 0.1, 0.2, 0.3)]
    assert proposed(*tried).kind is StepKind.STOP_NO_GAIN
