"""What counts now: known logs, and that a reading once invalid stays so until it is taken again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.judging.advice import Move
from patternscan.judging.comparison import Target
from patternscan.judging.trials.trial import Trial
from patternscan.measuring.interval import Interval
from patternscan.setting.log.events import (
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    Event,
    LostMotion,
    Note,
    Replaced,
    ShimChange,
    ShimsFound,
    SignOff,
    Struck,
)
from patternscan.setting.log.words import (
    Occasion,
    Part,
    ShimPlace,
)
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.state.checks import SIDE_PLACES, Check, check_read, find_invalidation
from patternscan.setting.state.job_state import JobState, job_state
from patternscan.setting.state.packs import Marks, Pack
from tests.setting.job_entries import (
    BACKLASH,
    BLANK,
    CENTRED,
    FOUND,
    HEAVY_AT_B,
    READ,
    SHEET,
    WORM_PLAY,
    blued,
    events,
    log,
    sheets,
    side_move,
)

ALL_READ = (*READ, CENTRED, BACKLASH)
MESH = {Check.PATTERN, Check.BACKLASH}


def state_after(*happened: Event, sheet: Sheet = SHEET) -> JobState:
    return job_state(log(*happened), sheet)


def invalid_after(*happened: Event) -> set[Check]:
    """Checks whose reading no longer count when this happens after everything was read."""
    state = state_after(*ALL_READ, *happened)
    return {check for check in Check if not state.counts(check)}


def test_after_everything_was_read_everything_counts() -> None:
    assert invalid_after() == set()
    assert invalid_after(Note("Oil drained."), ShimsFound(ShimPlace.WORM, 0.3, 0.3)) == set()


@pytest.mark.parametrize(
    ("happened", "invalid"),
    [
        (side_move(0.1), MESH),
        ((ShimChange(ShimPlace.CARRIER_A, 0.1, 0.1),), MESH | {Check.WHEEL_END_PLAY}),
        ((ShimChange(ShimPlace.WORM, 0.05, 0.05),), MESH | {Check.WORM_END_PLAY}),
        ((ShimChange(ShimPlace.OUTBOARD, 0.05, 0.05),), MESH | {Check.ALIGNMENT}),
        ((EccentricChange(1, 1),), MESH | {Check.ALIGNMENT}),
        ((Replaced(Part.WORM),), MESH | {Check.WORM_END_PLAY}),
        ((Replaced(Part.WORM_BEARINGS),), MESH | {Check.WORM_END_PLAY}),
        ((Replaced(Part.WHEEL),), MESH | {Check.WHEEL_END_PLAY, Check.ALIGNMENT}),
        ((Replaced(Part.WHEEL_BEARINGS),), MESH | {Check.WHEEL_END_PLAY, Check.ALIGNMENT}),
        ((Closed(),), MESH),
    ],
)
def test_what_each_event_invalidates(happened: tuple[Event, ...], invalid: set[Check]) -> None:
    """Common practice: end plays, then pattern, then backlash, then the pattern again."""
    assert invalid_after(*happened) == invalid


def test_an_invalid_reading_names_the_entry_and_what_it_did() -> None:
    current = state_after(*ALL_READ, Note("Lunch."), EccentricChange(1, 1), Closed()).current_readings[Check.PATTERN]
    assert current.invalidated_by is not None
    assert current.invalidated_by.event == EccentricChange(1, 1)
    assert current.invalidation == "carriers-turned"


def test_only_what_is_read_again_counts_again() -> None:
    state = state_after(*ALL_READ, *side_move(0.1), CENTRED)
    assert state.counts(Check.PATTERN)
    assert not state.counts(Check.BACKLASH)


def test_the_wheel_end_play_blames_the_change_that_upset_the_total() -> None:
    state = state_after(*ALL_READ, *side_move(0.1), ShimChange(ShimPlace.CARRIER_B, 0.05, 0.05))
    current = state.current_readings[Check.WHEEL_END_PLAY]
    assert current.invalidated_by is not None
    assert current.invalidated_by.number == len(ALL_READ) + 3


def test_an_uneven_exchange_of_side_shims_invalidates_the_wheel_end_play() -> None:
    changes = ShimChange(ShimPlace.CARRIER_A, 0.1, 0.1), ShimChange(ShimPlace.CARRIER_B, -0.1, -0.05)
    assert Check.WHEEL_END_PLAY in invalid_after(*changes)


def test_shims_are_what_was_found_and_what_was_added() -> None:
    state = state_after(*FOUND, *side_move(0.1), ShimChange(ShimPlace.CARRIER_A, 0.0, 0.05))
    assert state.shims[ShimPlace.CARRIER_A] == Pack(0.70, 0.75)
    assert state.shims[ShimPlace.CARRIER_B] == Pack(0.30, 0.30)
    assert not Pack(0.70, 0.75).alike


def test_shims_nobody_measured_are_not_known() -> None:
    state = state_after(*side_move(0.1))
    assert set(state.shims.values()) == {None}
    assert state.added[ShimPlace.CARRIER_A] == Pack(0.1, 0.1)


def test_shims_measured_again_count_from_then_on() -> None:
    measured = ShimsFound(ShimPlace.WORM, 0.5, 0.5)
    state = state_after(*FOUND, ShimChange(ShimPlace.WORM, 0.1, 0.1), measured)
    assert state.shims[ShimPlace.WORM] == Pack(0.5, 0.5)
    assert state.found[ShimPlace.WORM] == ShimsFound(ShimPlace.WORM, 0.30, 0.30)


def test_marks_are_what_was_found_and_what_was_turned() -> None:
    assert state_after(EccentricsFound(5, 5), EccentricChange(1, -2)).marks == Marks(1, -2, 6, 3)


def test_past_the_last_hole_comes_the_first() -> None:
    """The sheet gives 24 holes round the circle."""
    assert state_after(EccentricsFound(24, 1), EccentricChange(1, -1)).marks == Marks(1, -1, 1, 24, found_alike=False)


def test_marks_nobody_noted_are_alike_when_turned_alike() -> None:
    assert state_after(EccentricChange(1, 1)).marks.turned_alike
    assert not state_after(EccentricChange(1, 0)).marks.turned_alike


def test_marks_found_unlike_are_so_until_they_are_put_alike() -> None:
    assert not state_after(EccentricsFound(3, 4), EccentricChange(1, 1)).marks.found_alike
    assert state_after(EccentricsFound(3, 4), EccentricChange(1, 0)).marks.put_alike


def test_numbers_that_rise_the_same_before_either_end_run_apart() -> None:
    """Of two like carriers that face opposite ways, one turns clockwise as seen from the other's end when its numbers
    rise anticlockwise."""
    assert SHEET.eccentrics is not None
    facing = replace(SHEET, eccentrics=replace(SHEET.eccentrics, clockwise=True, clockwise_b=True))
    state = job_state(log(EccentricsFound(5, 7), EccentricChange(1, -1)), facing)
    assert state.marks.turned_alike
    assert state.marks.found_alike
    assert not job_state(log(EccentricChange(1, 1)), facing).marks.turned_alike


def test_a_pack_measured_again_moves_the_trials_that_it_lay_under() -> None:
    """0.60 mm found, 0.10 mm added, one trial, then 0.74 mm measured: the trial was made 0.14 mm above the first."""
    state = state_after(
        ShimsFound(ShimPlace.CARRIER_A, 0.60, 0.60),
        HEAVY_AT_B,
        ShimChange(ShimPlace.CARRIER_A, 0.10, 0.10),
        CENTRED,
        ShimsFound(ShimPlace.CARRIER_A, 0.74, 0.74),
        ShimChange(ShimPlace.CARRIER_A, -0.02, -0.02),
        CENTRED,
    )
    assert [trial.added_mm for trial in state.trials] == pytest.approx([0.0, 0.14, 0.12])


def test_a_pack_first_measured_after_a_change_tells_what_lay_there_before() -> None:
    state = state_after(
        HEAVY_AT_B, ShimChange(ShimPlace.CARRIER_A, 0.10, 0.10), ShimsFound(ShimPlace.CARRIER_A, 0.7, 0.7), CENTRED
    )
    assert [trial.added_mm for trial in state.trials] == pytest.approx([0.0, 0.10])


def test_backlash_is_brought_to_the_pitch_radius() -> None:
    """j = ME r / M (operating manuals of lift machines, 2012, page 37), here r / M = 212 / 424."""
    readings = state_after(BACKLASH).current_readings[Check.BACKLASH].readings_mm
    assert readings == pytest.approx((0.30, 0.31, 0.29, 0.30))


def test_lost_motion_at_the_worm_becomes_backlash() -> None:
    """10 degrees at a worm of module 8 with 2 starts: 10 x pi / 180 x 8 mm = 1.396 mm (worked by hand)."""
    readings = state_after(LostMotion((10.0,))).current_readings[Check.BACKLASH].readings_mm
    assert readings == pytest.approx((1.396,), abs=5e-4)


@pytest.mark.parametrize("event", [BACKLASH, LostMotion((10.0,)), Backlash((0.5,), 0.0)])
def test_backlash_without_gear_data_stands_but_has_no_number(event: Event) -> None:
    current = state_after(event, sheet=BLANK).current_readings[Check.BACKLASH]
    assert current.counts
    assert current.readings_mm == ()


def test_struck_entries_do_not_count() -> None:
    state = state_after(*READ, HEAVY_AT_B, Struck(len(READ) + 1, "wrong wheel"))
    assert state.current_readings[Check.PATTERN].entry is None
    assert state.trials == ()


def test_striking_a_change_brings_the_reading_back() -> None:
    state = state_after(*ALL_READ, Closed(), Struck(len(ALL_READ) + 1, "not yet"))
    assert state.counts(Check.PATTERN)


def test_a_struck_strike_does_not_count() -> None:
    state = state_after(WORM_PLAY, Struck(1, "a slip"), Struck(2, "no, it was right"))
    assert state.counts(Check.WORM_END_PLAY)


def test_trials_carry_what_was_added_under_the_carrier_of_the_sheet() -> None:
    state = state_after(*READ, HEAVY_AT_B, *side_move(0.1), blued(0.06, Move.TOWARD_B))
    assert state.learning_trials == (Trial(0.0, Interval.around(0.18, 0.02)), Trial(0.1, Interval.around(0.06, 0.02)))


@pytest.mark.parametrize("between", [EccentricChange(1, 1), Replaced(Part.WHEEL), Replaced(Part.WHEEL_BEARINGS)])
def test_trials_of_another_setting_teach_nothing(between: Event) -> None:
    state = state_after(*READ, HEAVY_AT_B, between, *side_move(0.1), blued(0.06, Move.TOWARD_B))
    assert len(state.trials) == 2
    assert state.learning_trials == (Trial(0.1, Interval.around(0.06, 0.02)),)


def test_trials_against_another_target_teach_nothing() -> None:
    state = state_after(HEAVY_AT_B, blued(0.06, Move.TOWARD_B, target=Target(0.6, 0.4)))
    assert len(state.learning_trials) == 1


@pytest.mark.parametrize("poor", [blued(0.18, Move.CANNOT_SAY, grave=("Too dark.",)), blued(None, Move.CANNOT_SAY)])
def test_poor_trials_teach_nothing(poor: Event) -> None:
    assert state_after(poor).learning_trials == ()


def test_without_a_carrier_on_the_sheet_nothing_is_learned() -> None:
    assert state_after(HEAVY_AT_B, sheet=BLANK).learning_trials == ()


def test_patterns_of_the_old_wheel_and_of_the_maker_are_no_trials() -> None:
    maker = blued(0.0, Move.STAY, occasion=Occasion.MAKER)
    state = state_after(*FOUND, maker)
    assert state.as_found is not None
    assert state.maker is not None
    assert state.maker.number == len(FOUND) + 1
    assert state.trials == ()
    assert state.current_readings[Check.PATTERN].entry is None


def test_sign_off_and_closing_end_with_the_next_change() -> None:
    done = (*ALL_READ, Closed(), CENTRED, BACKLASH, SignOff("R. Moss"))
    state = state_after(*done, Note("Handed over."), CENTRED)
    assert state.signed_off is not None
    assert state.signed_off.event == SignOff("R. Moss")
    assert state.closed is not None
    reopened = state_after(*done, EccentricChange(1, 1))
    assert reopened.signed_off is None
    assert reopened.closed is None


def test_nothing_invalidates_a_reading_after_which_nothing_happened() -> None:
    assert all(find_invalidation(check, ()) is None for check in Check)


@settings(deadline=None, max_examples=60)
@given(st.lists(events, max_size=14), events, sheets)
def test_no_event_but_a_new_reading_makes_an_invalid_one_count(
    happened: Sequence[Event], then: Event, sheet: Sheet
) -> None:
    """But for two: striking an entry undoes it, and side shims put back on the other side restore the total."""
    before, after = state_after(*happened, sheet=sheet), state_after(*happened, then, sheet=sheet)
    side = isinstance(then, ShimChange) and then.place in SIDE_PLACES
    for check in Check:
        restored = check_read(then) is check or isinstance(then, Struck)
        if not (restored or (side and check is Check.WHEEL_END_PLAY)):
            assert before.counts(check) or not after.counts(check)
