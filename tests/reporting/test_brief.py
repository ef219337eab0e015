"""What a command prints: short, safety in it, the answer last."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.cautions import CAUTIONS, Statement, caution
from patternscan.errors import NoCompound, NoTrustworthyOutline, PatternscanError, UnreadablePhoto
from patternscan.frame import End, Flank
from patternscan.judging.advice import Move, ShimAdvice, ShimChange
from patternscan.judging.judgement import Declined
from patternscan.reasons import Reason, finding, reason
from patternscan.reporting.text.answers.cure import RETAKE
from patternscan.reporting.text.answers.doubts import doubts_that_matter, other_doubts
from patternscan.reporting.text.answers.ends import A_CHECK
from patternscan.reporting.text.answers.headline import judgement_headline
from patternscan.reporting.text.cautions import caution_message
from patternscan.reporting.text.findings import APART_CHECKS
from patternscan.reporting.text.job.points import point_sentence
from patternscan.reporting.text.reasons import OFF_ENDS
from patternscan.reporting.text.reports.brief import MOST_LINES, judgement_brief, reading_brief
from patternscan.reporting.text.reports.judgement import judgement_report
from patternscan.reporting.text.safety import SAFETY_LINE
from tests.reporting.builders import ADD_AT_A, NOT_KNOWN, drawn_inspection, drawn_reading, written_inspection
from tests.reporting.contents import MADE

DARK = caution("too-blurred", Flank.RIGHT, "IMG_0412.jpg")


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("move", Move)
@pytest.mark.parametrize("number", [0, 1, 9])
def test_never_more_than_a_screen_and_the_answer_last(move: Move, number: int) -> None:
    told = "Something is wrong with the machine sheet, and it takes a long sentence to say what it is. " * 3
    cautions = [caution("gear-data-impossible", found=f"{told}{k}", remedy="Correct the sheet.") for k in range(number)]
    findings = [finding("runs-out", flank="left", end="A")] * number
    judgement = written_inspection(move, ADD_AT_A, reason("in-place"), findings, [DARK, *cautions])
    brief = judgement_brief(judgement, MADE)
    assert len(brief.splitlines()) <= 15
    assert max(map(len, brief.splitlines())) <= 80
    assert one_line(brief).endswith(f"{judgement_headline(judgement)}.")
    assert SAFETY_LINE in one_line(brief)
    asked = A_CHECK[0] in one_line(brief)
    assert asked == (move is not Move.CANNOT_SAY)  # without an answer there is none to turn
    assert "Barn hoist, 2026-03-02 14:05 by K. Weber" in one_line(brief)


def test_flanks_that_pull_apart_are_told_what_to_look_at_first() -> None:
    judged = written_inspection(Move.NOT_BY_SHIM, NOT_KNOWN, reason("in-place"))
    assert f"{APART_CHECKS[0]} {judgement_headline(judged)}." in one_line(judgement_brief(judged, MADE))


def test_flanks_off_opposite_ends_are_told_the_same_by_judge_and_job() -> None:
    """No direction is known, but it is not a matter of more photos either."""
    because = reason("crossed-early", left_end="B", right_end="A")
    judged = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, because)
    why = f"The left flank carries the pattern to end B and the right flank to end A, {OFF_ENDS}"
    brief = one_line(judgement_brief(judged, MADE))
    assert f"{APART_CHECKS[0]} Cannot say which way to move the wheel. {why} Leave the shims for now" in brief
    report = judgement_report(judged)
    assert all(check in report for check in APART_CHECKS)
    assert "too close to call" not in report
    told = point_sentence(Statement("crossed-off-ends", (("left_end", "B"), ("share", 0.4))))
    assert OFF_ENDS in told


def test_the_short_answer_says_what_its_numbers_are() -> None:
    brief = judgement_brief(written_inspection(Move.TOWARD_A, ADD_AT_A, reason("in-place")), MADE)
    assert "Pattern's middle from end A: left 40 % (36 to 44 %), right 42 % (38 to 46 %)." in brief.splitlines()


@pytest.mark.parametrize("code", ["bare-to-end", "two-places"])
def test_what_only_a_person_can_tell_is_asked_before_what_the_pattern_shows(code: str) -> None:
    values = {"end": "B"} if code == "bare-to-end" else {"along": 0.3, "other": 0.7}
    asked = caution(code, Flank.LEFT, "a.jpg", **values)
    findings = [finding("runs-out", flank="left", end="B")]
    judged = written_inspection(Move.TOWARD_B, ADD_AT_A, reason("in-place"), findings, [asked])
    assert doubts_that_matter(judged)[0].startswith(caution_message(asked))
    reading = replace(drawn_reading(Flank.LEFT), cautions=(caution("too-bright", Flank.LEFT, "a.jpg"), asked))
    doubts = one_line(reading_brief([reading], MADE)).split("Doubt: ")
    assert doubts[1].startswith(caution_message(caution(code, **values)))


def test_what_only_a_person_can_tell_is_asked_before_why_the_answer_is_little_certain() -> None:
    """A question may turn the answer; poor light only makes it less sure, and both do not always find room."""
    asked = caution("bare-to-end", Flank.LEFT, "left.jpg", end="A")
    unclear = caution("weak-contrast", Flank.RIGHT, "right.jpg")
    because = Reason("toward-unsure", (("end", "A"), ("share", 0.2)), unclear)
    judged = written_inspection(Move.TOWARD_A, ADD_AT_A, because, [], [unclear, asked])
    assert [one.startswith(caution_message(asked)) for one in doubts_that_matter(judged)] == [True, False]
    assert other_doubts(judged) == []
    more = replace(judged, cautions=(*judged.cautions, caution("two-places", Flank.RIGHT, along=0.3, other=0.9)))
    assert not any(one.startswith(caution_message(unclear)) for one in doubts_that_matter(more))
    assert [one.startswith(caution_message(unclear)) for one in other_doubts(more)] == [True]


@pytest.mark.parametrize("both", [False, True])
def test_a_question_for_which_there_is_no_room_is_told_of(both: bool) -> None:
    places = caution("two-places", Flank.RIGHT, "lower_shaft_right.jpg", along=0.3, other=0.9)
    asked = [places, caution("bare-to-end", Flank.LEFT, "lower_shaft_left.jpg", end="B")]
    judged = written_inspection(Move.TOWARD_A, ADD_AT_A, reason("in-place"), [], asked if both else [places])
    brief = judgement_brief(judged, MADE)
    assert len(brief.splitlines()) <= MOST_LINES
    assert ("Contact shows at two places" in brief, "Was it painted" in brief) == (True, False)
    assert ("All numbers and doubts: with --full" in brief) is not both
    assert ("There is more to answer: with --full" in brief) is both


@pytest.mark.parametrize(
    ("move", "shims", "words"),
    [
        (Move.TOWARD_A, ADD_AT_A, "Add shims under carrier A: the wheel moves toward end A"),
        (
            Move.TOWARD_B,
            ShimAdvice(End.A, ShimChange.ADD, 0.12),
            "Add 0.12 mm (0.005 in) under carrier A: the wheel moves toward end B",
        ),
        (
            Move.TOWARD_A,
            ShimAdvice(End.B, ShimChange.REMOVE, 0.254),
            "Remove 0.25 mm (0.010 in) from under carrier B: the wheel moves toward end A",
        ),
        (Move.TOWARD_B, NOT_KNOWN, "Move the wheel toward end B"),
    ],
)
def test_the_answer_names_the_shim(move: Move, shims: ShimAdvice, words: str) -> None:
    because = reason("toward", end="A", share=0.09)
    assert judgement_headline(written_inspection(move, shims, because)) == words


def test_without_an_answer_the_headline_says_what_to_do() -> None:
    dark = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, reason("grave-caution", DARK), [], [DARK])
    assert judgement_headline(dark) == "Take the RIGHT photo (IMG_0412.jpg) again: hold still and tap on the tooth"
    assert "Doubt:" not in judgement_brief(dark, MADE)  # the headline tells it already
    assert judgement_headline(drawn_inspection((1, 0))) == "Photograph the RIGHT flank too"


def test_a_doubtful_marking_is_asked_about_in_the_headline() -> None:
    doubtful = caution("marking-doubtful", Flank.LEFT, "IMG_0411.jpg", told="rub-off", seen="transfer")
    asked = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, reason("grave-caution", doubtful), [], [doubtful])
    assert judgement_headline(asked).startswith("Find out which was painted, the worm or the teeth")


def test_a_sheet_that_both_flanks_contradict_is_mended_without_naming_them() -> None:
    wrong = [caution("other-hand-seen", flank, f"{flank}.jpg", told="left", seen="right") for flank in Flank]
    both = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, reason("grave-caution", wrong[0]), [], wrong)
    assert judgement_headline(both) == "Check the hand on the sheet"
    one = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, reason("grave-caution", wrong[0]), [], wrong[:1])
    assert judgement_headline(one) == "LEFT flank: Check the hand on the sheet"


def test_a_sheet_of_another_wheel_is_a_doubt_that_matters() -> None:
    unlike = [caution("gear-data-unlike", flank, f"{flank}.jpg", misfit=0.007) for flank in Flank]
    brief = judgement_brief(written_inspection(Move.TOWARD_A, ADD_AT_A, reason("in-place"), [], unlike), MADE)
    assert [line for line in brief.splitlines() if line.startswith("Doubt: ")] == [
        "Doubt: The sheet's gear data do not fit the photos: is it this machine's sheet?"
    ]


def test_a_photo_is_named_once() -> None:
    black = caution("photo-declined", Flank.LEFT, "IMG_1.jpg", found="IMG_1.jpg is black.", remedy="Light it.")
    assert caution_message(black) == "Left flank: IMG_1.jpg is black."


@pytest.mark.parametrize(
    ("stop", "words"),
    [
        (UnreadablePhoto("Cut off.", "Again."), "Take the RIGHT photo (b.jpg) again: the file cannot be read"),
        (NoCompound("None.", "Paint."), "Take the RIGHT photo (b.jpg) again: no compound is seen on the flank"),
        (NoCompound("Dark.", "Light it.", "too-dark"), "Take the RIGHT photo (b.jpg) again: more light, from the side"),
        (NoTrustworthyOutline("No.", "Mark."), "Mark the RIGHT flank in b.jpg by hand: the tool did not find it"),
    ],
)
def test_a_photo_that_could_not_be_read_is_told_in_the_headline(stop: PatternscanError, words: str) -> None:
    alone = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, reason("one-flank", lacking="right"))
    assert judgement_headline(replace(alone, declined=(Declined("b.jpg", Flank.RIGHT, stop),))) == words


def test_every_fault_of_a_photo_has_its_cure() -> None:
    """Those that come before the first caution about what stands before the flank, and these."""
    codes = list(CAUTIONS)
    faults = {*codes[: codes.index("behind-next-tooth")], "covered", "much-covered"}
    assert faults <= RETAKE.keys()


def test_one_fault_is_told_once() -> None:
    mixed = finding("mixed", left_end="A", right_end="B", share=0.2)
    findings = [mixed, finding("runs-out", flank="left", end="A")]
    both = [caution("blurred", flank, f"{flank}.jpg") for flank in Flank]
    brief = judgement_brief(written_inspection(Move.TOWARD_A, ADD_AT_A, reason("in-place"), findings, both), MADE)
    assert brief.count("Doubt: ") == 2


def test_a_reading_ends_with_its_place() -> None:
    lines = reading_brief([drawn_reading(Flank.LEFT)], MADE)
    assert len(lines.splitlines()) <= 15
    assert one_line(lines).rpartition("both together. ")[2].startswith("Left flank, tooth 1: middle of the pattern")
