"""What a job asks for in sentences: each rule's own, with its reason."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan import setting
from patternscan.frame import End
from patternscan.judging.advice import Move, ShimRule
from patternscan.reporting.text.job.actions import REASONS, action_sentence
from patternscan.reporting.text.job.points import POINTS
from patternscan.reporting.text.job.words import INVALIDATED
from patternscan.setting.log.events import (
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    EndPlay,
    Event,
    Replaced,
    ShimChange,
    ShimsFound,
    SignOff,
    Struck,
)
from patternscan.setting.log.words import (
    Occasion,
    Part,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.sheet import Sheet, SideShims
from patternscan.setting.machine.stock import parse_stock
from patternscan.setting.state.checks import INVALIDATIONS
from tests.setting.job_entries import (
    BLANK,
    CENTRED,
    FOUND,
    HEAVY_AT_A,
    HEAVY_AT_B,
    IN_LINE,
    READ,
    SHEET,
    WHEEL_PLAY,
    blued,
    events,
    sheets,
    side_move,
)
from tests.setting.rule_jobs import (
    APPLIES,
    CHECKED,
    CROSSED,
    NEAR_B,
    ON_FILM,
    READY,
    actions_after,
    carriers,
    codes_after,
    first_after,
    holding,
)


def words_of(code: str, *happened: Event, sheet: Sheet = SHEET) -> str:
    return next(action_sentence(one) for one in actions_after(*happened, sheet=sheet) if one.code == code)


@pytest.mark.parametrize("code", APPLIES)
def test_every_rule_gives_one_sentence_as_its_reason(code: str) -> None:
    assert re.fullmatch(r"[A-Z][^.]*\.", REASONS[code]), code


def test_the_carrier_of_the_sheet_must_be_among_the_shims_found() -> None:
    words = words_of("before-strip-down", ShimsFound(ShimPlace.WORM, 0.3, 0.3))
    assert "it is gone once it is apart: Measure and note the shims under the carrier at end A too." in words


def test_what_was_not_noted_in_time_is_named() -> None:
    words = words_of("not-noted", FOUND[0], Replaced(Part.WHEEL))
    assert "the carrier" not in words
    assert "the marks of the eccentric carriers stood; the pattern of the old wheel" in words


def test_unlike_marks_are_named_by_end() -> None:
    assert "hole 5 (end A) and hole 6 (end B)" in words_of("eccentrics-found-unlike", EccentricsFound(5, 6))
    assert "1 hole (end A) and 0 holes (end B)" in words_of("eccentrics-unlike", EccentricChange(1, 0))


def test_unlike_bolts_say_which_carry_more() -> None:
    words = words_of("bolts-unlike", ShimsFound(ShimPlace.CARRIER_B, 0.4, 0.5))
    assert "carrier at end B the lower bolts carry 0.10 mm (0.004 in) more than the upper ones" in words


def test_a_pack_thicker_than_the_carrier_takes() -> None:
    words = words_of("impossible-shims", *FOUND, ShimChange(ShimPlace.CARRIER_A, 2.6, 2.6))
    assert "3.20 mm (0.126 in) of shims, more than the 3.00 mm (0.118 in) that it takes" in words


def test_a_reading_beyond_its_limit_names_both_in_mm_and_inch() -> None:
    words = words_of("worm-end-play-beyond", *FOUND, EndPlay(Shaft.WORM, 0.3))
    assert words.startswith(
        "The end play of the worm is 0.30 mm (0.012 in), more than the maker's most, 0.13 mm (0.005 in)."
    )
    less = words_of("worm-end-play-beyond", *FOUND, EndPlay(Shaft.WORM, 0.0))
    assert "0.00 mm (0.000 in), less than the maker's least, 0.08 mm (0.003 in)" in less


def test_a_reading_just_beyond_says_so() -> None:
    assert "just more than" in words_of("worm-end-play-beyond", *FOUND, EndPlay(Shaft.WORM, 0.133))


def test_missing_limits_are_named() -> None:
    limits = replace(SHEET.limits, backlash=None)
    words = words_of("limits-missing", sheet=replace(SHEET, limits=limits))
    assert words.startswith("The maker's limit for backlash is not on the sheet")
    assert "end play of the worm, end play of the wheel shaft and backlash are not" in words_of(
        "limits-missing", sheet=BLANK
    )


def test_a_void_reading_names_reason_and_entry() -> None:
    change = (*READY, EccentricChange(1, 1))
    words = words_of("backlash-void", *change)
    assert words == (
        "Read the backlash again at 4 places round the wheel: "
        f"the eccentric carriers were turned, so the shaft has moved (entry {len(change)})."
    )


def test_half_an_exchange_of_side_shims_asks_for_the_other_half() -> None:
    words = words_of("wheel-end-play-void", *READ, side_move(0.1)[0])
    assert f"(entry {len(READ) + 1}). If as much went to the other side, log that too. If the carrier at end A" in words
    assert words.endswith('write holds_shaft = "alone" under [shims] on the sheet.')
    both = words_of("wheel-end-play-void", *READ, side_move(0.1)[0], sheet=holding(alone=False))
    assert both.endswith("log that too.")
    assert "other side" not in words_of("wheel-end-play-void", *READ, Replaced(Part.WHEEL))


@pytest.mark.parametrize("alone", [True, False, None])
def test_shims_of_a_carrier_that_alone_holds_the_shaft_leave_the_end_play(alone: bool | None) -> None:
    """Common practice: a single locating carrier takes shaft and wheel along; between two the shaft would float."""
    here, there = side_move(0.1)
    assert ("wheel-end-play-void" in codes_after(*READ, here, sheet=holding(alone))) is (alone is not True)
    assert "wheel-end-play-void" in codes_after(*READ, there, sheet=holding(alone))
    words = words_of("shim-step", *READ, HEAVY_AT_B, sheet=holding(alone))
    assert ("so that the end play stays" in words) is (alone is not True)


def test_shims_of_the_other_carrier_alone_begin_a_new_series() -> None:
    """What moved the pattern then was not the shims under the carrier of the sheet, so nothing is learned from it."""
    alone, same_way = side_move(0.1)[1], (side_move(0.1)[0], ShimChange(ShimPlace.CARRIER_B, 0.1, 0.1))
    for change in ((alone,), same_way, (ShimChange(ShimPlace.OUTBOARD, 0.1, 0.1), IN_LINE, *side_move(0.1))):
        words = words_of("shim-step", *READ, HEAVY_AT_B, *change, WHEEL_PLAY, NEAR_B)
        assert "as a first step" in words


def test_the_effect_of_a_shim_is_told_with_its_doubt() -> None:
    """From 18 % by 0.05 mm to 9 %, each within 2 %: 18 % for 0.1 mm, within 2 x 2 % x root of 2 = 5.7 % (by hand)."""
    happened = (*READ, HEAVY_AT_B, *side_move(0.05), NEAR_B)
    words = words_of("shim-effect", *happened)
    assert words == (
        "By the trials, 0.10 mm (0.004 in) more under the carrier at end A moves the pattern 18 % of the face width "
        "(12 to 24 %) toward end A."
    )


@pytest.mark.parametrize(("after", "toward"), [(0.09, "B"), (0.27, "A")])
def test_a_rule_that_the_sheet_lacks_is_told_once_the_trials_show_it(after: float, toward: str) -> None:
    """The wheel moves against its pattern: one that goes to A by more shims tells of a wheel that goes to B."""
    sheet = replace(SHEET, shims=replace(SHEET.shims, rule=None))
    words = words_of("shim-effect", *READ, HEAVY_AT_B, *side_move(0.05), blued(after, Move.TOWARD_B), sheet=sheet)
    assert words.endswith(
        f'So it moves the wheel toward end {toward}: write adding_moves_wheel = "toward-{toward}" on the sheet.'
    )


def test_a_trial_either_way_names_the_carrier_and_the_other_one() -> None:
    sheet = replace(SHEET, shims=replace(SHEET.shims, rule=None))
    words = words_of("shim-step", *READ, HEAVY_AT_B, sheet=sheet)
    assert "Under the carrier at end A, at the upper and the lower bolts alike, change the shims by 0.10 mm" in words
    assert words.endswith(
        "Change those under the carrier at end B by as much the other way, so that the end play stays."
    )


def test_a_wheel_nearer_than_the_thinnest_step_is_left() -> None:
    happened, sheet = APPLIES["near-enough"]
    assert words_of("near-enough", *happened, sheet=sheet) == (
        "The thinnest change that can be made with the shims on hand, 0.10 mm (0.004 in), moves the pattern by 13 % of "
        "the face width: leave it."
    )


def test_the_other_carrier_may_not_have_enough() -> None:
    bare = (FOUND[0], ShimsFound(ShimPlace.CARRIER_B, 0.02, 0.02), *READ[2:])
    assert "But only 0.02 mm (0.001 in) of shims lie under the carrier at end B." in words_of(
        "shim-step", *bare, HEAVY_AT_B
    )


def test_after_closing_both_are_read_through_the_inspection_port() -> None:
    steps = actions_after(*READY, Closed())
    assert [action.code for action in steps][:2] == ["pattern-void", "backlash-void"]
    assert all("through the inspection port" in action_sentence(action) for action in steps[:2])


def test_the_sheet_says_how_many_teeth_and_places() -> None:
    few = replace(SHEET, teeth_per_flank=4, dial=replace(SHEET.dial, positions=6))
    assert "3 teeth of the left flank, 4 are wanted" in words_of("pattern-incomplete", *READ, CENTRED, sheet=few)
    assert "at 6 places round the wheel; the last reading has only 4" in words_of("backlash-places", *READY, sheet=few)


def test_photos_of_before_a_change_teach_nothing() -> None:
    happened, _ = APPLIES["pattern-old-photos"]
    words = words_of("pattern-old-photos", *happened)
    assert f"entry {len(happened)}) was judged from a photo that entry {len(READ) + 1} was judged from" in words
    assert not codes_after(*happened) & {"shim-step", "stop-no-gain", "shim-effect"}
    assert "pattern-old-photos" not in codes_after(*READ, ON_FILM, ON_FILM)
    assert first_after(*happened, Struck(len(happened), "photos of yesterday")) == "pattern-void"
    assert "add 0.025 mm (0.0010 in), half" in words_of("shim-step", *happened, NEAR_B)


def test_a_missing_flank_is_named() -> None:
    assert "no right flank" in words_of("pattern-incomplete", *READ, blued(None, Move.CANNOT_SAY, right=None))


@pytest.mark.parametrize(("pattern", "end"), [(HEAVY_AT_B, "B"), (HEAVY_AT_A, "A")])
def test_the_wheel_moves_toward_the_end_that_carries_the_pattern(pattern: Event, end: str) -> None:
    """US Army TM 5-3895-372-34, paragraph 6-10, as read with the sign rule of ``advice``."""
    assert words_of("shim-step", *READ, pattern).startswith(f"Move the wheel toward end {end}. Under the carrier")


@pytest.mark.parametrize(
    ("pattern", "toward", "change", "across"),
    [
        (HEAVY_AT_B, End.B, "add 0.17 mm (0.007 in)", "Take the same from the carrier at end B"),
        (HEAVY_AT_B, End.A, "remove 0.17 mm (0.007 in)", "Put the same under the carrier at end B"),
        (HEAVY_AT_A, End.B, "remove 0.17 mm (0.007 in)", "Put the same under the carrier at end B"),
    ],
)
def test_the_first_step_follows_the_shim_rule(pattern: Event, toward: End, change: str, across: str) -> None:
    sheet = replace(SHEET, shims=replace(SHEET.shims, rule=ShimRule(End.A, toward)))
    words = words_of("shim-step", *READ, pattern, sheet=sheet)
    assert "Under the carrier at end A, at the upper and the lower bolts alike" in words
    assert change in words
    assert f"{across}, so that the end play stays." in words


def test_without_a_carrier_on_the_sheet_there_is_no_amount() -> None:
    words = words_of("shim-step", *READ, HEAVY_AT_B, sheet=replace(SHEET, shims=SideShims()))
    assert words.startswith("Move the wheel toward end B. The sheet does not say which carrier")
    assert "mm" not in words


def test_a_second_trial_on_the_same_side_gives_half_a_step() -> None:
    """From 18 % by 0.05 mm to 9 %: the line meets the centre after 0.05 mm more, half of it is 0.025 mm (by hand)."""
    words = words_of("shim-step", *READ, HEAVY_AT_B, *side_move(0.05), NEAR_B)
    assert "add 0.025 mm (0.0010 in), half of what" in words


def test_a_step_is_told_with_its_doubt() -> None:
    """Own arithmetic: +18 % and -6 % by 0.10 mm put the centre at 0.075 mm; 20 % and 16 % in place of 18 % at 0.0769
    and 0.0727 mm, -4 % and -8 % in place of -6 % at 0.0818 and 0.0692 mm: together 0.0688 to 0.0821 mm, less 0.10."""
    happened = (*READ, HEAVY_AT_B, *side_move(0.1), blued(-0.06, Move.TOWARD_A))
    told = "By the readings anything from 0.018 mm (0.0007 in) to 0.031 mm (0.0012 in) may be right."
    assert told in words_of("shim-step", *happened)


def test_a_step_needs_the_shims_to_be_there() -> None:
    thin = (ShimsFound(ShimPlace.CARRIER_A, 0.01, 0.01), *READ[1:])
    assert "But only 0.01 mm (0.000 in) of shims lie under the carrier at end A." in words_of(
        "shim-step", *thin, HEAVY_AT_A
    )
    thick = (ShimsFound(ShimPlace.CARRIER_A, 3.0, 3.0), *READ[1:])
    assert "takes no more than 3.00 mm" in words_of("shim-step", *thick, HEAVY_AT_B)


def test_the_pack_comes_from_the_shims_on_hand() -> None:
    sheet = replace(SHEET, shims=replace(SHEET.shims, stock=parse_stock(["0.15 mm x 2", "0.002 in x 1"])))
    words = words_of("shim-step", *READ, HEAVY_AT_B, sheet=sheet)
    assert "for the upper and the lower bolts each: 0.15 mm (0.006 in): 0.15 mm (0.006 in) x 1." in words


def test_a_pattern_that_hardly_moved_asks_to_go_further() -> None:
    words = words_of("shim-step", *READ, HEAVY_AT_B, *side_move(0.05), blued(0.17, Move.TOWARD_B))
    assert "to 0.05 mm (0.002 in) more than as found the pattern moved no more than the readings are sure of" in words


def test_crossed_names_what_to_check_and_no_shim() -> None:
    happened, _ = APPLIES["crossed"]
    words = words_of("crossed", *happened)
    assert "left flank carries it toward end B, the right flank toward end A, by 15 %" in words
    assert all(word in words for word in ("square", "eccentric", "centre distance", "matched pair"))
    assert "shim-step" not in codes_after(*happened)


def test_less_crossed_than_the_makers_own_is_told_against_that() -> None:
    maker = blued(0.0, Move.STAY, occasion=Occasion.MAKER, opposed=CROSSED)
    words = words_of("crossed", maker, *READ, CENTRED)
    assert words.startswith(
        "The pattern is crossed against the maker's own: the left flank carries it toward end A, the right flank "
        "toward end B, by 15 %"
    )
    assert "--occasion maker" not in words


def test_too_little_backlash_turns_both_carriers_by_one_hole() -> None:
    tight = Backlash((0.2, 0.2, 0.2, 0.2), 424.0)
    words = words_of("backlash-beyond", *READ, CENTRED, tight)
    assert "0.10 mm (0.004 in), less than the maker's least, 0.20 mm (0.008 in)" in words
    assert "Turn both eccentric carriers by one hole, the same way, to the next higher hole for more backlash" in words


def test_too_much_backlash_turns_them_back_and_names_the_worms_end_play() -> None:
    words = words_of("backlash-beyond", *READ, CENTRED, Backlash((1.0, 1.0, 1.0, 1.0), 424.0))
    assert "to the next lower hole for less backlash" in words
    assert "Up to 0.10 mm (0.004 in) of it is the worm's end play." in words


@pytest.mark.parametrize(("widest", "way"), [(9, "higher"), (1, "lower"), (18, "lower"), (16, "higher")])
def test_the_way_is_reckoned_from_the_hole_of_the_widest_centres(widest: float, way: str) -> None:
    """The marks stand at hole 5 of 24; the nearer way round to the widest hole opens (a circle, by hand)."""
    tight = (*READ, CENTRED, Backlash((0.2, 0.2, 0.2, 0.2), 424.0))
    words = words_of("backlash-beyond", *tight, sheet=carriers(widest_hole=widest, more_backlash=None))
    assert f"to the next {way} hole for more backlash" in words
    against = -1 if way == "higher" else 1
    words = words_of("backlash-beyond", *tight, sheet=carriers(widest_hole=widest, more_backlash=against))
    assert "do not agree" in words


@pytest.mark.parametrize("widest", [5, 17])
def test_where_the_centres_are_widest_or_closest_the_way_is_not_reckoned(widest: int) -> None:
    tight = (*READ, CENTRED, Backlash((0.2, 0.2, 0.2, 0.2), 424.0))
    words = words_of("backlash-beyond", *tight, sheet=carriers(widest_hole=widest, more_backlash=None))
    assert "does not say which way that is" in words


def test_how_far_the_centres_have_to_go() -> None:
    """Elements of Metric Gear Technology, eq. 14-2: 1.374 mm of centres for 1 mm of backlash at 20 degrees."""
    sheet = replace(SHEET, gear=replace(SHEET.gear, pressure_angle_deg=20.0))
    tight, loose = Backlash((0.2,) * 4, 424.0), Backlash((1.0,) * 4, 424.0)  # 0.10 and 0.50 mm at the pitch radius
    words = words_of("backlash-beyond", *READ, CENTRED, tight, sheet=sheet)
    assert "The centres have to open by 0.14 mm (0.005 in) at least. This is a guide" in words
    assert words_of("backlash-beyond", *READ, CENTRED, loose, sheet=sheet).endswith(
        "The centres have to close by about 0.14 mm (0.005 in)."
    )


def test_without_eccentrics_the_makers_manual_says_how() -> None:
    sheet = replace(SHEET, eccentrics=None)
    words = words_of("backlash-beyond", *READ, CENTRED, Backlash((1.0, 1.0, 1.0, 1.0), 424.0), sheet=sheet)
    assert "maker's manual" in words
    assert "hole" not in words


def test_backlash_that_changes_too_much_round_the_wheel_is_not_set() -> None:
    words = words_of("backlash-beyond", *READ, CENTRED, Backlash((0.2, 0.6, 1.0, 0.6), 424.0))
    assert "no setting brings it right all round" in words


def test_signed_off_there_is_nothing_to_do() -> None:
    steps = actions_after(*CHECKED, SignOff("R. Moss"))
    assert action_sentence(steps[0]).startswith("Nothing to do: signed off by R. Moss on 2026-03-02 (entry")
    assert {action.code for action in steps} == {"signed-off", "land-the-load"}


def test_places_without_a_note_are_named_while_there_is_time() -> None:
    words = words_of("shims-elsewhere", FOUND[0], FOUND[2])
    assert "under the carrier at end B, the outboard bearing: if there are some" in words
    assert "shims-elsewhere" not in codes_after(FOUND[0], Replaced(Part.WHEEL))


def test_the_sheet_says_where_end_a_is() -> None:
    words = words_of("pattern-missing", *READ, sheet=replace(SHEET, end_a="motor side"))
    assert words.endswith("the letter A (end A: motor side) in view.")


def test_signed_off_too_early_names_everything() -> None:
    words = words_of("still-open", *READ, SignOff("R. Moss"))
    assert all(part in words for part in ("Blue the pair", "Read the backlash", "Close the housing"))


def test_signed_off_too_early_says_what_was_open() -> None:
    steps = actions_after(*READY, SignOff("R. Moss"))
    assert "not everything was in order" in action_sentence(steps[0])
    assert "Close the housing" in action_sentence(steps[1])


@settings(deadline=None, max_examples=80)
@given(st.lists(events, max_size=16), sheets)
def test_whatever_happened_actions_are_told_in_whole_sentences(happened: Sequence[Event], sheet: Sheet) -> None:
    for action in actions_after(*happened, sheet=sheet):
        sentence = action_sentence(action)
        assert sentence[0].isupper()
        assert sentence.endswith(".")


SOURCE = "".join(path.read_text(encoding="utf-8") for path in Path(setting.__file__).parent.rglob("*.py"))


def test_every_point_that_is_made_has_a_sentence_and_every_sentence_its_point() -> None:
    made = set(re.findall(r'(?:point|Statement|_blue|_read)\(\s*"([a-z-]+)"', SOURCE))
    told = POINTS.keys() | {"above-limit", "below-limit", "no-pack"}
    assert len(made) > 60
    assert made <= told
    assert [code for code in told if f'"{code}"' not in SOURCE] == []


def test_every_invalidation_has_its_words() -> None:
    assert {one.code for one in INVALIDATIONS} == INVALIDATED.keys()
    assert all(re.fullmatch(r"[a-z].*[a-z]", words) for words in INVALIDATED.values())


def test_whatever_is_reckoned_from_the_centres_is_called_a_guide() -> None:
    for code in ("open-centres", "backlash-added"):
        assert "This is a guide, not a promise" in POINTS[code]


def test_every_reason_is_that_of_a_rule() -> None:
    assert REASONS.keys() == APPLIES.keys()
