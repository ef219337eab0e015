"""What a job asks for in sentences: each point's own, and each rule's with its reason.

Which points a job gives is tested with the rules; here they are made by hand, or are those of a rule's own case.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan import setting
from patternscan.cautions import Statement
from patternscan.frame import End
from patternscan.reporting.text.job.actions import REASONS, action_lines, action_sentence
from patternscan.reporting.text.job.points import POINTS, points_sentence
from patternscan.reporting.text.job.reply_words import REPLY_WORDS
from patternscan.reporting.text.job.words import INVALIDATED
from patternscan.setting.log.events import Event
from patternscan.setting.log.words import Bolts, Reply, ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import point
from patternscan.setting.state.checks import INVALIDATIONS, Check
from patternscan.setting.state.current_readings import CHANGED_UNNOTED, END_PLAY_SET, REFERENCE_GONE
from tests.setting.job_entries import READ, events, sheets
from tests.setting.rule_jobs import APPLIES, READY, actions_after

A, B, WORM = ShimPlace.CARRIER_A, ShimPlace.CARRIER_B, ShimPlace.WORM


def words_of(code: str) -> str:
    """What the rule says in its own case."""
    happened, sheet = APPLIES[code]
    return next(action_sentence(one) for one in actions_after(*happened, sheet=sheet) if one.code == code)


@pytest.mark.parametrize("code", APPLIES)
def test_every_rule_gives_one_sentence_as_its_reason(code: str) -> None:
    assert re.fullmatch(r"[A-Z][^.]*\.", REASONS[code]), code


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (point("missed", what=("marks", "old-pattern")), "carriers stood; the pattern of the old wheel. Measure now"),
        (point("shims-not-noted-at", places=(A,)), "Measure and note the shims under the carrier at end A too."),
        (point("no-shims-noted-at", places=(B, ShimPlace.OUTBOARD)), "at end B, the outboard bearing: if there are"),
        (point("carriers-found-unlike", hole_a=5, hole_b=6), "hole 5 (end A) and hole 6 (end B). Is that the maker's"),
        (point("carriers-turned-unlike", holes_a=1, holes_b=0), "1 hole (end A) and 0 holes (end B)"),
        (point("lower-bolts-more", place=B, more_mm=0.1), "the lower bolts carry 0.10 mm (0.004 in) more than"),
        (
            point("shims-too-thick", place=A, pack_mm=3.2, thickest_mm=3.0),
            "3.20 mm (0.126 in) of shims, more than the 3.00 mm (0.118 in) that it takes",
        ),
        (
            point("above-limit", check=Check.WORM_END_PLAY, reading_mm=0.3, limit_mm=0.13),
            "The end play of the worm is 0.30 mm (0.012 in), more than the maker's most, 0.13 mm (0.005 in).",
        ),
        (
            point("below-limit", check=Check.WORM_END_PLAY, reading_mm=0.0, limit_mm=0.08),
            "0.00 mm (0.000 in), less than the maker's least, 0.08 mm (0.003 in)",
        ),
        (point("above-limit", check=Check.WORM_END_PLAY, reading_mm=0.133, limit_mm=0.13), "just more than"),
        (point("no-limit", checks=(Check.BACKLASH,)), "The maker's limit for backlash is not on the sheet"),
        (
            point("no-limits", checks=(Check.WORM_END_PLAY, Check.WHEEL_END_PLAY, Check.BACKLASH)),
            "end play of the worm, end play of the wheel shaft and backlash are not",
        ),
        (
            point("worm-shims-out", by_mm=0.195, least_mm=0.17, most_mm=0.22),
            "Take 0.20 mm (0.008 in) in all out from under the worm's bearing cover (0.17 mm (0.007 in) to 0.22 mm",
        ),
        (point("stand-shims-out", by_mm=0.1, side=End.A), "take 0.10 mm (0.004 in) out from under the bolts of its"),
        (point("stand-shims-in", by_mm=0.1, side=None), "put 0.10 mm (0.004 in) under the bolts of its stand, on both"),
        (point("say-holds-shaft", place=A), 'write holds_shaft = "alone" under [shims] on the sheet.'),
        (point("write-rule", end=End.A), 'moves the wheel toward end A: write adding_moves_wheel = "toward-A" on the'),
        (point("other-side-opposite", place=B), "by as much the other way, so that the end play stays."),
        (point("other-side-less", place=B), "Take the same from the carrier at end B, so that the end play stays."),
        (point("other-side-more", place=B), "Put the same under the carrier at end B, so that the end play stays."),
        (point("out-first", place=B), "First take out under the carrier at end B, then put in on the other side"),
        (
            point("swap", place=A, bolts=Bolts.UPPER, out="one", into="other"),
            "The carrier at end A, upper bolts: take out one; put in other.",
        ),
        (point("too-few-shims", place=B, pack_mm=0.02), "But only 0.02 mm (0.001 in) of shims lie under the carrier"),
        (point("no-room", place=A, pack_mm=2.9, thickest_mm=3.0), "takes no more than 3.00 mm"),
        (
            point("step-may-be", least_mm=0.018, most_mm=0.031),
            "By the readings anything from 0.018 mm (0.0007 in) to 0.031 mm (0.0012 in) may be right.",
        ),
        (point("few-teeth", flank="left", teeth=3, wanted=4), "3 teeth of the left flank, 4 are wanted"),
        (point("few-places", wanted=6, taken=4), "at 6 places round the wheel; the last reading has only 4"),
        (point("no-flank", flank="right"), "no right flank"),
        (point("photo-used-before", entry=9, earlier=4), "(entry 9) was judged from a photo that entry 4 was judged"),
        (
            point("photo-looks-used", entry=9, earlier=4),
            "(entry 9) looks cut out of a photo that entry 4 was judged from",
        ),
        (
            point("crossed-against-maker", left_end=End.A, share=0.15),
            "crossed against the maker's own: the left flank carries it toward end A, the right flank toward end B, by "
            "15 %",
        ),
        (point("centres-cross", wide=True, by_mm=0.2), "the centres stand about 0.20 mm (0.008 in) too wide"),
        (point("angle-crosses", angle_deg=0.04), "0.040 degrees would do it"),
        (point("holds-end-play", play_mm=0.1), "Up to 0.10 mm (0.004 in) of it is the worm's end play."),
        (
            point("turn-carriers", wanted="more", hole="higher"),
            "the same way, to the next higher hole for more backlash",
        ),
        (
            point("turn-carriers-apart", wanted="less", hole="lower", hole_b="higher"),
            "at end A to the next lower hole, at end B to the next higher one, for less backlash",
        ),
        (point("turn-carriers-contradicted", wanted="more"), "do not agree"),
        (point("turn-carriers-either-way", wanted="more"), "does not say which way that is"),
        (point("open-centres", by_mm=0.137), "open by 0.14 mm (0.005 in) at least. This is a guide"),
        (point("close-centres", by_mm=0.137), "The centres have to close by about 0.14 mm (0.005 in)."),
        (point("no-setting-helps"), "no setting brings it right all round"),
        (
            point("signed-off", name="R. Moss", date="2026-03-02", entry=9),
            "Nothing to do: signed off by R. Moss on 2026-03-02 (entry 9)",
        ),
        (
            point("blue", port=False, teeth=3, end_a="motor side", marking="rub-off"),
            "paint the two in the middle up to both ends with a thin film, mark the place on the sheave, turn by hand",
        ),
        (
            point("blue", port=True, teeth=1, end_a="motor side", marking="transfer"),
            "the letter A (end A: motor side) in view: hold a torch beside the phone",
        ),
        (
            point("unlike-pack", total_mm=1.0, noted_mm=0.6, place=A),
            "come to 1.00 mm (0.039 in), but the pack noted under the carrier at end A is 0.60 mm (0.024 in)",
        ),
    ],
    ids=lambda one: one.code if isinstance(one, Statement) else "",
)
def test_a_point_is_told(told: Statement, words: str) -> None:
    assert words in points_sentence([told])


def test_a_void_reading_names_reason_and_entry() -> None:
    assert words_of("backlash-void") == (
        "Read the backlash again at 4 places round the wheel: "
        f"side shims were changed, so the wheel sits elsewhere (entry {len(READY) + 1})."
    )


def test_the_effect_of_a_shim_is_told_with_its_doubt() -> None:
    """From 18 % by 0.05 mm to 9 %, each within 2 %: 18 % for 0.1 mm, within 2 x 2 % x root of 2 = 5.7 % (by hand)."""
    assert words_of("shim-effect") == (
        "By the trials, 0.10 mm (0.004 in) more under the carrier at end A moves the pattern 18 % of the face width "
        "(12 to 24 %) toward end A."
    )


def test_a_wheel_nearer_than_the_thinnest_step_is_left() -> None:
    assert words_of("near-enough") == (
        "The thinnest change that can be made with the shims on hand, 0.10 mm (0.004 in), moves the pattern by 13 % of "
        "the face width: leave it."
    )


def test_a_pattern_that_jumps_asks_for_its_ends_and_flanks() -> None:
    assert words_of("stop-too-far") == (
        "From the shims as found to 0.010 mm (0.0004 in) more than as found the pattern moved 36 % of the face width, "
        "and no shim made is thin enough to bring it to its place. No wheel moves its pattern so far by so little. "
        "Stop, and look at the photos of both patterns: where the painted A is, and whether each was given as the "
        "flank that it shows. Strike the pattern that was mixed up. If none was, look whether the shims were changed "
        "by more than is noted."
    )


def test_patterns_that_cannot_both_be_right_are_named_with_what_to_do() -> None:
    words = words_of("read-apart")
    assert words.startswith(
        f"Entries {len(READ) + 1} and {len(READ) + 2} were read with nothing changed in between, yet"
    )
    assert "lie 36 % of the face width apart." in words
    assert f"strike entry {len(READ) + 2}, note the change, and judge its photos again." in words


def test_a_maker_who_wants_it_elsewhere_is_told_with_what_to_write() -> None:
    words = points_sentence([point("maker-elsewhere", entry=9, end=End.B, share=0.1, left=0.58, right=0.62)])
    assert "The maker's own (entry 9) lies 10 % of the face width toward end B of where this job wants it." in words
    assert "write left_along = 0.58 and right_along = 0.62 under [target]" in words


def test_a_step_says_where_which_way_and_how_much() -> None:
    words = words_of("shim-step")
    assert words.startswith("Move the wheel toward end B. Under the carrier at end A, at the upper and the lower bolts")
    assert "alike, add 0.17 mm (0.007 in) as a first step" in words
    assert "Take the same from the carrier at end B, so that the end play stays." in words


def test_crossed_names_what_to_check_and_no_shim() -> None:
    words = words_of("crossed")
    assert "left flank carries it toward end B, the right flank toward end A, by 15 %" in words
    assert all(word in words for word in ("square", "eccentric", "centre distance", "matched pair"))


def test_what_is_gone_once_it_is_apart_is_a_list() -> None:
    happened, sheet = APPLIES["before-strip-down"]
    action = next(one for one in actions_after(*happened, sheet=sheet) if one.code == "before-strip-down")
    heading, *items = action_lines(action)
    assert heading.endswith("it is gone once it is apart:")
    assert len(items) == len(action.points) - 1
    assert all(item.startswith("- ") for item in items)


def test_signed_off_too_early_says_what_was_open() -> None:
    assert "Close the housing" in words_of("still-open")


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


def test_every_answer_has_its_words_and_they_say_by_themselves_how_it_is() -> None:
    assert REPLY_WORDS.keys() == set(Reply)
    assert len(set(REPLY_WORDS.values())) == len(REPLY_WORDS)


def test_the_two_answers_to_a_question_have_a_line_each_with_what_to_type() -> None:
    (asked,) = (one for one in actions_after(*APPLIES["pattern-asked"][0]) if one.code == "pattern-asked")
    number = len(READ) + 1
    assert [*action_lines(asked)] == [
        "First look at the last pattern: Left flank: it is bare up to end B. Was it painted?",
        f"- The worm rubbed the paint off right up to the bare end: 'patternscan log answer {number} rubbed-off NAME'.",
        "- The flank was not painted up to its bare end, or was wiped there: "
        f"'patternscan log answer {number} never-painted NAME'.",
    ]
    assert action_sentence(asked).endswith(
        f"Log how it is with 'patternscan log answer {number} WORD NAME', the word being rubbed-off (the worm rubbed "
        "the paint off right up to the bare end) or never-painted (the flank was not painted up to its bare end, or "
        "was wiped there)."
    )


def test_a_pattern_that_fell_is_told_with_who_said_why() -> None:
    (fell,) = (one for one in actions_after(*APPLIES["pattern-disowned"][0]) if one.code == "pattern-disowned")
    number = len(READ) + 1
    assert action_sentence(fell).startswith(
        f"The last pattern (entry {number}) does not count: the flank was not painted up to its bare end, or was wiped "
        f"there, says R. Moss (entry {number + 1}). Blue the pair again: "
    )


def test_every_invalidation_has_its_words() -> None:
    assert {*(one.code for one in INVALIDATIONS), CHANGED_UNNOTED, END_PLAY_SET, REFERENCE_GONE} == INVALIDATED.keys()
    assert all(re.fullmatch(r"[a-z].*[a-z]", words) for words in INVALIDATED.values())


def test_whatever_is_reckoned_from_the_centres_is_called_a_guide() -> None:
    for code in ("open-centres", "backlash-added"):
        assert "This is a guide, not a promise" in POINTS[code]


def test_every_reason_is_that_of_a_rule() -> None:
    assert REASONS.keys() == APPLIES.keys()
