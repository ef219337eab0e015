"""Before and after a move."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.cautions import caution
from patternscan.errors import InconsistentInputs
from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.comparison import Target
from patternscan.judging.states.change import compare_states
from patternscan.judging.states.judged_state import FlankState, GoneEntry, Identity, JudgedState, ToldCaution
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.interval import Interval
from patternscan.reasons import reason


def flank_state(along: float = 0.5, doubt: float = 0.02) -> FlankState:
    up, coverage, extent = Interval.around(0.5, 0.05), Interval.around(0.3, 0.03), Interval.around(0.6, 0.1)
    return FlankState(Interval.around(along, doubt), up, coverage, extent, extent)


BOTH_SEEN = JudgedState(
    shared=Interval.around(0.0, 0.02),
    opposed=Interval.around(0.0, 0.02),
    left=flank_state(),
    right=flank_state(),
    marking=Marking.TRANSFER,
    compounds=frozenset({Compound.BLUE}),
)


def state(shared: float | None, doubt: float = 0.02) -> JudgedState:
    """Both flanks off by the same, or only numbers of the flanks."""
    if shared is None:
        return replace(BOTH_SEEN, shared=None, opposed=None)
    flank = flank_state(0.5 + shared, doubt)
    return replace(BOTH_SEEN, shared=Interval.around(shared, doubt), left=flank, right=flank)


def codes(before: JudgedState, after: JudgedState) -> set[str]:
    return {one.code for one in compare_states(before, after).cautions}


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
    because = change.because
    assert because.code == "nearer"
    assert (because["size"], because["before"], because["after"]) == pytest.approx((0.12, 0.18, 0.06))
    assert (because["least"], because["most"]) == pytest.approx((0.12 - 0.02 * 2**0.5, 0.12 + 0.02 * 2**0.5))


def test_no_difference_is_not_called_a_way() -> None:
    because = compare_states(state(0.10), state(0.09)).because
    assert (because.code, because["before"], because["after"]) == ("no-difference", 0.10, 0.09)


def test_a_worse_place_asks_to_check_the_end_mark() -> None:
    # Wrong-sign trial: the common part grows after the move -> stop, re-check the end mark (common practice).
    assert "wrong-way" in codes(state(0.06), state(0.18))


def test_passing_the_centre_is_said() -> None:
    assert compare_states(state(0.18), state(-0.06)).because.code == "nearer-beyond"
    assert compare_states(state(0.18), state(-0.01)).because.code == "nearer"  # may still be on this side


def test_by_how_much_nearer_goes_by_distance_on_either_side() -> None:
    # 26 % off one way, then 20 % the other way: 6 % nearer, though the pattern went 46 %.
    change = compare_states(state(0.26), state(-0.20))
    assert change.nearer is not None
    assert change.shared is not None
    assert change.nearer.value == pytest.approx(0.06)
    assert change.nearer.half_width == pytest.approx(math.hypot(0.02, 0.02))
    assert change.shared.change.value == pytest.approx(-0.46)


def test_a_doubt_that_is_longer_on_one_side_counts_on_that_side() -> None:
    # Opposed shifts of a pair of photos: the change of 3.75 points has a doubt of 4.1 downward and 2.5 upward.
    before = replace(state(0.1), opposed=Interval(-0.114, -0.1323, -0.0763))
    after = replace(state(0.1), opposed=Interval(-0.0765, -0.0926, -0.0597))
    change = compare_states(before, after)
    assert change.opposed is not None
    assert not change.opposed.seen
    assert change.opposed_verdict is Verdict.NO_DIFFERENCE


def test_what_may_lie_far_off_on_the_other_side_may_have_been_as_far_off() -> None:
    before = replace(state(0.1), shared=Interval(0.02, -0.15, 0.06))
    assert compare_states(before, state(0.1)).verdict is Verdict.NO_DIFFERENCE


def test_one_flank_is_not_comparable() -> None:
    change = compare_states(state(None), state(0.1))
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert not change.position_comparable
    assert change.nearer is None
    assert change.because == reason("visit-one-flank", when="before")


@pytest.mark.parametrize("answer", [4, None])
def test_nothing_is_compared_with_a_pattern_that_counts_no_more_in_its_job(answer: int | None) -> None:
    asking = replace(state(0.18), asked=(ToldCaution("bare-to-end", "It is bare.", "Was it painted?"),))
    assert compare_states(asking, state(0.06)).verdict is Verdict.BETTER
    gone = replace(asking, gone=GoneEntry(2, answer))
    change = compare_states(gone, state(0.06))
    assert change.verdict is change.opposed_verdict is Verdict.NOT_COMPARABLE
    assert change.because == reason("visit-gone", when="before", entry=2, answer=answer)
    assert "visit-asked" not in codes(gone, state(0.06))
    later = compare_states(state(0.06), replace(state(0.18), gone=GoneEntry(3, answer)))
    assert later.because == reason("visit-gone", when="after", entry=3, answer=answer)
    assert "wrong-way" not in {one.code for one in later.cautions}


def test_nothing_is_compared_with_one_that_was_held_against_a_pattern_that_counts_no_more() -> None:
    held = replace(state(0.18), reference_gone=GoneEntry(1, 4))
    change = compare_states(held, state(0.06))
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert change.because == reason("visit-reference-gone", when="before", entry=1, answer=4)


def test_the_flank_that_both_results_have_is_compared_without_the_other() -> None:
    before = replace(state(None), left=None, right=flank_state(0.7))
    change = compare_states(before, replace(state(0.1), right=flank_state(0.55)))
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert change.left is None
    assert change.right is not None
    assert change.right.verdict is Verdict.BETTER


def test_coverage_never_decides_and_is_comparable_only_for_the_same_compound() -> None:
    change = compare_states(state(0.18), replace(state(0.06), compounds=frozenset({Compound.RED})))
    assert change.verdict is Verdict.BETTER
    assert change.position_comparable
    assert not change.coverage_comparable
    assert not compare_states(state(0.18), replace(state(0.06), marking=Marking.RUB_OFF)).coverage_comparable


@pytest.mark.parametrize(
    ("before", "after", "comparable", "cautioned"),
    [
        (None, None, True, True),  # nobody noted it: the numbers stand, with a caution
        ("thin, brushed", "Thin,  brushed", True, False),
        ("thin", "thick", False, False),
        ("thin", None, False, True),
        (None, "thin", False, True),
    ],
)
def test_how_much_was_touched_is_compared_only_between_equal_films(
    before: str | None, after: str | None, comparable: bool, cautioned: bool
) -> None:
    states = replace(state(0.18), film=before), replace(state(0.06), film=after)
    change = compare_states(*states)
    assert change.coverage_comparable is comparable
    assert any("film" in one.code for one in change.why) is not comparable
    assert ("film-unknown" in codes(*states)) is cautioned
    assert change.verdict is Verdict.BETTER


def test_results_in_the_wrong_order_are_doubted() -> None:
    early, soon, late = (
        replace(state(0.1), made_at=datetime(2026, 11, 1, *time, tzinfo=UTC)) for time in ((9, 0), (9, 20), (13, 0))
    )
    assert "visits-exchanged" in codes(late, early)
    assert "visits-exchanged" not in codes(soon, early), "both may have been judged at one sitting, in any order"
    assert "visits-exchanged" not in codes(early, late)
    assert "visits-exchanged" not in codes(late, replace(early, made_at=None))
    worse = compare_states(late, replace(early, shared=Interval.around(0.4, 0.02)))
    assert [one.code for one in worse.cautions][:2] == ["visits-exchanged", "wrong-way"], "exchanged, it is better"


def test_different_machines_are_refused() -> None:
    before, after = (replace(state(0.1), identity=Identity(name)) for name in ("quarry winch", "goods lift"))
    with pytest.raises(InconsistentInputs):
        compare_states(before, after)


def test_different_targets_are_refused_with_both_causes() -> None:
    with pytest.raises(InconsistentInputs, match="different targets") as refused:
        compare_states(state(0.1), replace(state(0.1), target=Target(0.6, 0.4)))
    assert "Either the [target]" in refused.value.remedy
    assert "another reference" in refused.value.remedy


def test_each_flank_has_its_own_verdict_and_its_numbers_the_doubt_of_both_sides() -> None:
    # Doubts of 3 and 4 points of the face together make 5 (3-4-5 triangle).
    before = replace(state(0.1), left=flank_state(0.70, 0.03), right=flank_state(0.52, 0.03))
    after = replace(state(0.1), left=flank_state(0.55, 0.04), right=flank_state(0.30, 0.04))
    change = compare_states(before, after)
    assert change.left is not None
    assert change.right is not None
    assert (change.left.verdict, change.right.verdict) == (Verdict.BETTER, Verdict.WORSE)
    assert change.left.along.change.value == pytest.approx(-0.15)
    assert change.left.along.change.half_width == pytest.approx(0.05)
    assert change.left.along.seen
    assert change.left.length is not None
    assert not change.left.length.seen
    assert change.left.length.change.half_width == pytest.approx(math.hypot(0.1, 0.1))


def test_flanks_are_judged_against_their_own_target() -> None:
    target = Target(0.7, 0.3)
    before, after = (
        replace(state(0.1), target=target, left=flank_state(left), right=flank_state(0.3)) for left in (0.5, 0.7)
    )
    change = compare_states(before, after)
    assert change.left is not None
    assert change.right is not None
    assert (change.left.verdict, change.right.verdict) == (Verdict.BETTER, Verdict.NO_DIFFERENCE)


def test_the_pull_apart_of_the_flanks_has_its_verdict() -> None:
    before, after = (replace(state(0.1), opposed=Interval.around(apart, 0.02)) for apart in (-0.2, 0.05))
    assert compare_states(before, after).opposed_verdict is Verdict.BETTER
    assert compare_states(after, before).opposed_verdict is Verdict.WORSE


def turned(before: JudgedState) -> JudgedState:
    """The same patterns with the letter A painted on the other end: the flanks change names, along counts from B."""
    assert before.left is not None
    assert before.right is not None
    assert before.shared is not None
    left, right = (
        replace(flank, along=Interval.around(1 - flank.along.value, flank.along.half_width))
        for flank in (before.right, before.left)
    )
    return replace(before, left=left, right=right, shared=Interval.around(-before.shared.value, 0.02))


def test_exchanged_ends_are_a_doubt_and_no_proof() -> None:
    before = replace(state(0.2), left=flank_state(0.75), right=flank_state(0.65))
    assert "ends-exchanged" in codes(before, turned(before))
    centred = replace(state(0.01), left=flank_state(0.51), right=flank_state(0.51))
    assert "ends-exchanged" not in codes(centred, turned(centred))


def test_a_real_move_through_the_middle_is_no_exchange() -> None:
    before = replace(state(0.2), left=flank_state(0.75), right=flank_state(0.65))
    after = replace(state(-0.1), left=flank_state(0.45), right=flank_state(0.35))
    change = compare_states(before, after)
    assert change.verdict is Verdict.BETTER
    assert "ends-exchanged" not in codes(before, after)


def test_a_photo_used_twice_is_refused() -> None:
    before, after = (
        replace(state(shared), identity=Identity(left_photos=frozenset(photos)))
        for shared, photos in ((0.1, {"a", "b"}), (0.1, {"b", "c"}))
    )
    with pytest.raises(InconsistentInputs, match="same photo was used for before and after"):
        compare_states(before, after)
    compare_states(before, replace(after, identity=Identity(left_photos=frozenset({"c"}))))


def test_a_pattern_that_runs_out_may_have_moved_further() -> None:
    before = replace(state(0.2), right=flank_state(0.9))
    told = [one for one in compare_states(before, state(0.1)).cautions if one.code == "runs-out"]
    assert told == [caution("runs-out", Flank.RIGHT, when="before")]
    assert "runs-out" not in codes(state(0.2), state(0.1))


@settings(deadline=None, max_examples=50)
@given(st.floats(0.0, 0.4), st.floats(0.0, 0.4), st.tuples(*[st.floats(0.001, 0.1)] * 4))
def test_on_one_side_of_the_target_verdict_and_interval_of_the_change_agree(
    before: float, after: float, doubts: tuple[float, float, float, float]
) -> None:
    first = Interval(before + 0.2, before + 0.2 - doubts[0], before + 0.2 + doubts[1])
    second = Interval(after + 0.2, after + 0.2 - doubts[2], after + 0.2 + doubts[3])
    change = compare_states(replace(state(0.1), shared=first), replace(state(0.1), shared=second))
    assert change.shared is not None
    assert (change.verdict is Verdict.NO_DIFFERENCE) is not change.shared.seen


def test_a_photo_that_could_not_be_read_is_told_with_its_reason() -> None:
    dark = ToldCaution("photo-declined", "Right flank, right.jpg: It is dark.", "Light it.")
    change = compare_states(state(0.1), replace(state(None), right=None, declined=(dark,)))
    assert caution("visit-photo-declined", when="after", found=dark.message, remedy=dark.remedy) in change.cautions


def test_what_a_proof_did_is_told_once_for_both_visits_and_apart_where_it_differs() -> None:
    wider, few = (ToldCaution(code, f"It says {code}.", "Look.") for code in ("proof-widened", "proof-few"))
    change = compare_states(replace(state(0.1), proven=(wider, few)), replace(state(0.05), proven=(wider,)))
    told = [one for one in change.cautions if one.code == "visit-proof"]
    visits = (("before and after", wider), ("before", few))
    assert told == [caution("visit-proof", when=when, found=one.message, remedy=one.remedy) for when, one in visits]


def test_what_only_a_person_can_tell_of_a_visit_is_asked_first_and_once() -> None:
    """The numbers cannot hold it: what was never painted counts as contact."""
    bare, apart = (
        ToldCaution("bare-to-end", "It is bare.", "Painted?"),
        ToldCaution("taken-apart", "Apart.", "Changed?"),
    )
    change = compare_states(replace(state(0.1), asked=(apart,)), replace(state(0.05), asked=(bare, apart)))
    visits = (("before and after", apart), ("after", bare))
    assert change.verdict is Verdict.BETTER
    assert change.cautions[:2] == tuple(
        caution("visit-asked", when=when, found=one.message, remedy=one.remedy) for when, one in visits
    )


def test_what_may_turn_a_verdict_is_told_before_what_is_about_the_size() -> None:
    """The terminal and the first screen have room for two."""
    dark = ToldCaution("photo-declined", "Right flank, right.jpg: It is dark.", "Light it.")
    worse = compare_states(state(0.05), replace(state(0.2), declined=(dark,)))
    assert [one.code for one in worse.cautions] == [
        "wrong-way", "visit-photo-declined", "machine-untold", "film-unknown"
    ]  # fmt: skip


def test_a_visit_with_a_grave_caution_is_not_compared_and_the_caution_quoted() -> None:
    dark = ToldCaution("far-too-dark", "Right flank, right.jpg: It is black.", "Light it.")
    change = compare_states(state(0.1), replace(state(0.05), grave_cautions=(dark,)))
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert change.because == reason("visit-too-poor", when="after", found=dark.message, cure=dark.remedy)


SHIFTS = st.floats(-0.4, 0.4)
OPPOSITE = {
    Verdict.BETTER: Verdict.WORSE,
    Verdict.WORSE: Verdict.BETTER,
    Verdict.NO_DIFFERENCE: Verdict.NO_DIFFERENCE,
}


@settings(deadline=None, max_examples=50)
@given(SHIFTS, SHIFTS, st.floats(0.005, 0.1))
def test_time_turned_back_turns_the_verdict_and_the_change_round(before: float, after: float, doubt: float) -> None:
    there, back = (compare_states(*states) for states in permutations((state(before, doubt), state(after, doubt))))
    assert there.verdict is OPPOSITE[back.verdict]
    assert there.shared is not None
    assert back.shared is not None
    assert there.shared.change.value == pytest.approx(-back.shared.change.value)
    assert there.shared.change.low == pytest.approx(-back.shared.change.high)


@settings(deadline=None, max_examples=50)
@given(SHIFTS, SHIFTS)
def test_the_ends_may_be_named_either_way_as_long_as_it_is_the_same_way(before: float, after: float) -> None:
    named = compare_states(state(before), state(after))
    other = compare_states(state(-before), state(-after))
    assert named.verdict is other.verdict


NAMED = Identity(machine="Barn hoist")


@pytest.mark.parametrize(
    ("after", "reason_code"),
    [({"marking": Marking.RUB_OFF}, "places-by-marking"), ({"identity": Identity(slenderness=3.1)}, "teeth-unlike")],
)
def test_what_may_be_two_machines_gets_no_verdict(after: dict[str, object], reason_code: str) -> None:
    before = replace(state(0.05), marking=Marking.TRANSFER, identity=Identity(slenderness=3.6))
    change = compare_states(before, replace(state(0.20), **({"marking": Marking.TRANSFER} | after)))  # type: ignore[arg-type]
    assert change.verdict is Verdict.NOT_COMPARABLE
    assert change.because.code == reason_code


@pytest.mark.parametrize(("after_teeth", "verdict"), [(3.43, Verdict.BETTER), (3.27, Verdict.NOT_COMPARABLE)])
def test_teeth_that_differ_no_more_than_two_outlines_of_one_wheel_are_compared(
    after_teeth: float, verdict: Verdict
) -> None:
    """Teeth of one machine differ by up to 0.17, those of two mostly by more (tests/benchmarks/two_wheels.py)."""
    before, after = (
        replace(state(shared), identity=Identity(slenderness=told))
        for shared, told in ((0.2, 3.6), (0.05, after_teeth))
    )
    assert compare_states(before, after).verdict is verdict


def test_ways_of_marking_are_compared_on_one_machine_and_said() -> None:
    before = replace(state(0.20), marking=Marking.TRANSFER, identity=NAMED)
    change = compare_states(before, replace(state(0.05), marking=Marking.RUB_OFF, identity=NAMED))
    assert change.verdict is Verdict.BETTER
    assert "markings-compared" in {one.code for one in change.cautions}
    assert "machine-untold" not in {one.code for one in change.cautions}


def test_that_nothing_names_the_machine_is_said() -> None:
    assert "machine-untold" in codes(state(0.05), state(0.20))
