"""The question about the painted A: answered from the photo alone, asked once, and led to where it can be answered."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from patternscan.frame import Flank, Lift, Medium, Seen
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.pages.judgement_page import judgement_content, judgement_page
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.text.answers.ends import (
    A_CHECK,
    BY_TAG,
    NOT_HELD,
    SIDES,
    WRONG_WAY,
    end_check,
    end_words,
    linked_check,
)
from tests.reporting.builders import drawn_inspection, drawn_reading, with_move
from tests.reporting.seen_page import seen, tags_of, words_of

EDGES = ("root", "tip", "end_a", "end_b")


@pytest.fixture(scope="module")
def judgement() -> Judgement:
    return with_move(drawn_inspection(), Move.TOWARD_A)


def turned(reading: Reading, degrees: float) -> Reading:
    """The reading with its outline turned clockwise as seen: x to the right, y down."""
    turn = np.deg2rad(degrees)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    edges = {name: getattr(reading.outline, name) @ matrix for name in EDGES}
    return dataclasses.replace(reading, outline=dataclasses.replace(reading.outline, **edges))


def named(reading: Reading, name: str) -> Reading:
    return dataclasses.replace(reading, photo=dataclasses.replace(reading.photo, name=name))


def test_the_terminal_says_on_which_side_of_each_photo_the_a_must_be(judgement: Judgement) -> None:
    """With the tip up the left flank shows end A on the right, the right flank on the left (README, Which flank)."""
    asked = end_words((*judgement.left, *judgement.right))
    assert (
        asked
        == f"Is the painted A to the right of the tooth in left.png and to the left of it in right.png? {WRONG_WAY}"
    )


@pytest.mark.parametrize("eighth", range(8))
def test_every_side_has_its_words(eighth: int) -> None:
    """The left flank with the tip up has its end A on the right; turned clockwise by eighths it goes round."""
    assert f" {SIDES[eighth].format('the tooth')} in left.png?" in end_words(
        [turned(drawn_reading(Flank.LEFT), 45 * eighth)]
    )


def test_photos_with_the_a_on_one_side_are_named_together(judgement: Judgement) -> None:
    (left,), (right,) = judgement.left, judgement.right
    asked = end_words((named(left, "1.jpg"), named(left, "2.jpg"), right))
    assert "to the right of the tooth in 1.jpg and 2.jpg, and to the left of it in right.png" in asked
    many = [named(left, f"{n}.jpg") for n in range(5)]
    assert end_words(many) == " ".join(A_CHECK)


def test_neighbouring_teeth_of_one_photo_are_asked_about_once() -> None:
    """Teeth of one wheel stand a few degrees apart, which may tell two eighths of a turn; more than that is told."""
    left = drawn_reading(Flank.LEFT)
    for degrees in (45, -45, 0):
        words = end_words((left, turned(left, degrees)))
        assert words == f"Is the painted A to the right of the tooth in left.png? {WRONG_WAY}"
    assert "to the right of the tooth in left.png and to the left of it in left.png" in end_words(
        (left, turned(left, 180))
    )


def test_top_and_bottom_of_a_tooth_are_not_meant() -> None:
    """They are its tip and its root, wherever these lie in the photo."""
    assert not [words for words in SIDES if "top" in words or "bottom" in words]


def test_a_name_with_braces_stays_a_name(judgement: Judgement) -> None:
    assert " the tooth in {0} {x}.jpg?" in end_words([named(judgement.left[0], "{0} {x}.jpg")])


def test_only_photos_without_a_tag_are_asked_about(judgement: Judgement) -> None:
    (left,), (right,) = judgement.left, judgement.right
    tagged = dataclasses.replace(left, ends_by_tag=True)
    assert end_words((tagged, right)) == f"Is the painted A to the left of the tooth in right.png? {WRONG_WAY}"
    assert end_words((tagged,)) == BY_TAG


def lifted(reading: Reading, name: str, lift: Lift | None) -> Reading:
    reading = named(reading, name)
    return dataclasses.replace(reading, outline=dataclasses.replace(reading.outline, lift=lift))


TAPE, PAPER = Lift(Medium.TAPE, Seen.THROUGH), Lift(Medium.PAPER, Seen.TOUCHED)


@pytest.mark.parametrize(
    ("lifts", "asked"),
    [
        ((None, None), None),
        ((TAPE, TAPE), "Is each a tape lift seen through the tape?"),
        (
            (TAPE, PAPER),
            "Is 0.jpg a tape lift seen through the tape and 1.jpg a paper print seen on the side that touched the "
            "tooth?",
        ),
        ((None, PAPER), "Is 1.jpg a paper print seen on the side that touched the tooth?"),
        ((TAPE,), "Is it a tape lift seen through the tape?"),
        ((TAPE, TAPE, TAPE, TAPE, TAPE), "Is each a tape lift seen through the tape?"),
        (
            (TAPE, TAPE, TAPE, TAPE, PAPER),
            "Is each the print that was said, seen from the side that was said?",
        ),
    ],
)
def test_what_each_print_was_taken_for_is_asked_too(lifts: tuple[Lift | None, ...], asked: str | None) -> None:
    """The two sides of tape and paper are mirror images, and one word may have been said for all photos."""
    readings = [lifted(drawn_reading(Flank.LEFT), f"{n}.jpg", lift) for n, lift in enumerate(lifts)]
    words = end_words(readings)
    assert words.endswith(f"? {WRONG_WAY}" if asked is None else f"? {asked} {WRONG_WAY}")
    assert words.count("?") == (1 if asked is None else 2)
    tagged = [dataclasses.replace(one, ends_by_tag=True) for one in readings]
    assert end_words(tagged) == BY_TAG


def test_the_page_asks_it_too(judgement: Judgement) -> None:
    (left,), (right,) = judgement.left, judgement.right
    prints = dataclasses.replace(judgement, left=(lifted(left, "l.png", TAPE),), right=(lifted(right, "r.png", PAPER),))
    (told,) = linked_check(prints, [(Flank.LEFT, "photo-1"), (Flank.RIGHT, "photo-2")])
    assert "Is l.png a tape lift seen through the tape and r.png a paper print" in told


def test_the_question_leads_to_each_photo(judgement: Judgement) -> None:
    tags = tags_of(judgement_page(judgement))
    links = [one["href"] for tag, one in tags if tag == "a"]
    assert links == ["#photo-1", "#photo-2"]
    assert [f"#{one['id']}" for tag, one in tags if tag == "figure" and "id" in one] == links


def test_only_a_direction_can_be_the_wrong_way_round(judgement: Judgement) -> None:
    for move in Move:
        (told,) = end_check(with_move(judgement, move)) or [""]
        assert (WRONG_WAY in told) == (move in (Move.TOWARD_A, Move.TOWARD_B))
        assert (NOT_HELD in told) == (move in (Move.STAY, Move.NOT_BY_SHIM))


def test_of_more_teeth_each_photo_is_asked_about() -> None:
    several = with_move(drawn_inspection((2, 1)), Move.TOWARD_A)
    assert "where the round A stands in each photo?" in words_of(judgement_page(several))


def test_who_touched_the_a_in_every_photo_is_not_asked_again(judgement: Judgement) -> None:
    words = words_of(web_page(judgement_content(judgement, touched_by="R. *Moss*")))
    assert "R. *Moss* touched the painted A in each photo." in words
    assert "painted A where" not in words
    assert WRONG_WAY not in words


@pytest.mark.browser
def test_a_touch_on_the_link_opens_the_fold_and_shows_the_photo(
    browser: Any, tmp_path: Path, judgement: Judgement
) -> None:
    with seen(browser, judgement_page(judgement), tmp_path, 360) as page:
        photo = page.locator("#photo-2")
        assert not photo.is_visible()
        page.locator('a[href="#photo-2"]').click()
        photo.wait_for(state="visible")
        page.wait_for_function("document.querySelector('#photo-2').getBoundingClientRect().top < innerHeight / 2")
        assert photo.bounding_box()["y"] >= 0
