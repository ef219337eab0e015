"""What is wrong is told once on the terminal, in the report and on the page, however many photos show it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.cautions import ASKED_BACK, CAUTIONS, Caution, caution
from patternscan.errors import UnreadablePhoto
from patternscan.frame import Flank
from patternscan.judging.advice import ASKED_FIRST, Move
from patternscan.judging.judgement import Declined, Judgement
from patternscan.reasons import Reason, finding, reason
from patternscan.reporting.pages.judgement_page import judgement_page
from patternscan.reporting.text.cautions import caution_messages, caution_remedy, caution_sentence
from patternscan.reporting.text.figures.figure_words import unread_words
from patternscan.reporting.text.reports.brief import judgement_brief, reading_brief
from patternscan.reporting.text.reports.judgement import judgement_report
from patternscan.reporting.text.reports.reading import reading_report
from tests.reporting.builders import ADD_AT_A, NOT_KNOWN, drawn_reading, written_inspection
from tests.reporting.contents import MADE
from tests.reporting.seen_page import words_of
from tests.reporting.test_statements import values_of

GRAVE = [code for code, kind in CAUTIONS.items() if kind.grave]
OF_BOTH = {"flank-twice", "wheels-differ", "shapes-differ", "hands-differ", "proof-missed"}
"""Cautions that are about no single photo."""


def on_both_flanks(code: str) -> list[Caution]:
    values = values_of(CAUTIONS[code])
    if code in OF_BOTH:
        return [caution(code, None, None, **values)]
    return [caution(code, flank, f"{flank}.jpg", **values) for flank in Flank]


def silent(code: str) -> Judgement:
    """No answer because of that caution on both flanks, beside a dark photo and a finding."""
    faults = on_both_flanks(code)
    beside = [caution("too-dark", Flank.LEFT, "left.jpg"), *faults]
    because = reason("grave-caution", faults[0])
    return written_inspection(
        Move.CANNOT_SAY, NOT_KNOWN, because, [finding("teeth-disagree", flank="left", share=0.2)], beside
    )


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("code", GRAVE)
def test_what_forbids_an_answer_is_told_once(code: str) -> None:
    judgement = silent(code)
    ((message, remedy),) = caution_messages(on_both_flanks(code)).items()
    sentence = caution_sentence(on_both_flanks(code)[0])
    brief = one_line(judgement_brief(judgement, MADE))
    assert brief.count(sentence) == brief.count(message) == 1
    report = judgement_report(judgement)
    assert report.count(sentence) == report.count(remedy) == 1
    page = words_of(judgement_page(judgement))
    assert page.count(sentence) == 1
    assert page.index(sentence) < page.index("Why")  # on the first screen


@pytest.mark.parametrize("code", GRAVE)
def test_on_the_page_the_cure_is_told_whole_though_the_headline_is_short(code: str) -> None:
    page = words_of(judgement_page(silent(code))).lower()
    remedy = caution_remedy(on_both_flanks(code)[0]).rstrip(".").lower()
    assert remedy in page


def test_while_the_marking_is_in_doubt_nothing_else_is_on_the_first_screen() -> None:
    """Read the wrong way round, the metal is taken for the contact: whatever else the flanks show may not be so."""
    brief = judgement_brief(silent(ASKED_FIRST), MADE)
    assert "Doubt:" not in brief
    assert "Doubt:" in judgement_brief(silent("too-small"), MADE)
    assert "dark in the photo" in judgement_report(silent(ASKED_FIRST))


def test_photos_with_one_fault_are_taken_again_together() -> None:
    lines = one_line(judgement_brief(silent("too-blurred"), MADE))
    assert lines.endswith(
        "Take the LEFT and RIGHT photos (left.jpg and right.jpg) again: hold still and tap on the tooth."
    )


@pytest.mark.parametrize("code", sorted(ASKED_BACK))
def test_what_only_a_person_can_tell_comes_before_other_doubts_wherever_they_stand(code: str) -> None:
    poor, asked = caution("too-dark", Flank.LEFT, "left.jpg"), caution(code, None, None, **values_of(CAUTIONS[code]))
    judgement = written_inspection(Move.TOWARD_A, ADD_AT_A, reason("toward", end="A", share=0.09), [], [poor, asked])
    reading = replace(drawn_reading(Flank.LEFT), cautions=(poor, asked))
    told = judgement_report(judgement), words_of(judgement_page(judgement)), reading_report([reading])
    assert all(0 < text.index(caution_sentence(asked)) < text.index(caution_sentence(poor)) for text in told)


def test_little_certainty_is_explained_once() -> None:
    doubts = [caution("weak-contrast", flank, f"{flank}.jpg") for flank in Flank]
    because = Reason("toward-unsure", reason("toward", end="A", share=0.09).values, doubts[0])
    judgement = written_inspection(Move.TOWARD_A, ADD_AT_A, because, [], doubts)
    sentence, remedy = caution_sentence(doubts[0]), caution_remedy(doubts[0])
    for text in (
        one_line(judgement_brief(judgement, MADE)),
        judgement_report(judgement),
        words_of(judgement_page(judgement)),
    ):
        assert text.count(sentence) == text.count(remedy) == 1
    assert "Left flank, left.jpg; right flank, right.jpg" in judgement_report(judgement)


def test_a_close_call_names_its_fault_and_its_cure_once() -> None:
    end = caution("end-off-edges", Flank.LEFT, "a.jpg", end="A")
    judgement = written_inspection(
        Move.CANNOT_SAY, NOT_KNOWN, reason("within-uncertainty", end="A", share=0.03), [], [end]
    )
    for text in (one_line(judgement_brief(judgement, MADE)), judgement_report(judgement)):
        assert text.count(caution_sentence(end)) == 1
    assert one_line(judgement_brief(judgement, MADE)).count("Look whether the outline stops right at the end") == 1
    assert "If that end is hidden or dark" in words_of(judgement_page(judgement))


def test_a_close_call_because_of_a_faint_print_asks_for_that_photo_again() -> None:
    faint = caution("weak-contrast", Flank.LEFT, "a.jpg")
    because = reason("within-uncertainty", end="A", share=0.06)
    brief = one_line(judgement_brief(written_inspection(Move.CANNOT_SAY, NOT_KNOWN, because, [], [faint]), MADE))
    assert brief.endswith("Take the LEFT photo (a.jpg) again: in even light, without shine.")
    assert caution_remedy(faint) not in brief


def test_a_photo_that_was_read_alone_is_named_once() -> None:
    reading = drawn_reading(Flank.LEFT)
    doubts = [caution(code, Flank.LEFT, "left.png") for code in ("weak-contrast", "too-dark")]
    brief = one_line(reading_brief([replace(reading, cautions=tuple(doubts))], MADE))
    assert brief.count("left.png") == 1
    assert "Doubt: In this photo it is hard to see" in brief
    assert "Doubt: The flank is dark in the photo." in brief


@pytest.mark.parametrize("found", ["b.jpg is black: nothing can be seen in it.", "No compound is seen."])
def test_a_photo_that_could_not_be_read_is_named_once_below_its_picture(found: str) -> None:
    words = unread_words(Declined("b.jpg", Flank.RIGHT, UnreadablePhoto(found, "Again.")))
    assert words.startswith("Right flank")
    assert (words.count("b.jpg"), words.endswith(found)) == (1, True)
