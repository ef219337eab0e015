"""The page of a comparison: the verdict first, both states with their doubt, and on one sheet."""

from __future__ import annotations

import hashlib
import io
import json
import re
from base64 import b64decode
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from patternscan.frame import Flank, percent
from patternscan.judging.states.change import Change, compare_states
from patternscan.judging.states.judged_state import ToldCaution
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.interval import Interval
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.documents.provenance import Source
from patternscan.reporting.kept.result import KeptResult, as_kept, read_kept
from patternscan.reporting.pages.comparison_page import comparison_page
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.safety import LIMIT, SAFETY, SAFETY_LINE
from patternscan.reporting.text.wording import VERDICT_WORDS, shift_with_range, with_range
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.judge import judge_pair
from tests.reporting.builders import drawn_inspection, drawn_reading
from tests.reporting.contents import MADE, content
from tests.reporting.seen_page import beyond_the_side, faint_texts, seen, sheets, tags_of, words_of

HOSTILE = "<script>alert(1)</script>\"'&"


def state(shift: float, machine: str = "Barn hoist") -> KeptResult:
    """Both flanks with a print that lies so far from the middle toward end B."""
    prints = (0.35 + shift, 0.65 + shift, 0.3, 0.7)
    readings = {flank: [drawn_reading(flank, prints)] for flank in Flank}
    return as_kept(judge_pair(readings[Flank.LEFT], readings[Flank.RIGHT], Sheet(machine=machine)))


@pytest.fixture(scope="module")
def states() -> tuple[KeptResult, KeptResult]:
    return state(0.2), state(0.02)


@pytest.fixture(scope="module")
def change(states: tuple[KeptResult, KeptResult]) -> Change:
    return compare_states(states[0].state, states[1].state)


@pytest.fixture(scope="module")
def page(change: Change, states: tuple[KeptResult, KeptResult]) -> str:
    return comparison_page(change, *states)


def test_the_verdict_comes_first_in_one_sentence(page: str, change: Change) -> None:
    assert change.verdict is Verdict.BETTER
    top = f"{VERDICT_WORDS[Verdict.BETTER]}. Safety first: {SAFETY_LINE} Why: The pattern lies "
    assert words_of(page).startswith(top)
    assert change.nearer is not None
    assert f"{percent(change.nearer.value)} of the face width nearer to its place (" in words_of(page)


def test_both_states_and_the_change_stand_with_their_doubt(page: str, change: Change) -> None:
    words = words_of(page)
    assert change.shared is not None
    assert f"Off their place {shift_with_range(change.shared.before)} {shift_with_range(change.shared.after)}" in words
    for one in (change.left, change.right):
        assert one is not None
        went = f"{shift_with_range(one.along.change)}: nearer to its place"
        row = f"Middle of the pattern from end A {with_range(one.along.before)} {with_range(one.along.after)} {went}"
        assert row in words


def test_what_cannot_be_compared_is_not_compared_and_the_reason_given(states: tuple[KeptResult, KeptResult]) -> None:
    """Coverage depends on the film of compound (common practice), so unlike films forbid comparing it, not place."""
    before, after = (replace(one, state=replace(one.state, film=film)) for one, film in zip(states, "ab", strict=True))
    change = compare_states(before.state, after.state)
    assert change.position_comparable
    assert not change.coverage_comparable
    words = words_of(comparison_page(change, before, after))
    assert words.count("cannot be compared") >= 2 * 3
    assert "What cannot be compared" in words
    for reason in change.why:
        assert reason_sentence(reason) in words
    assert "nearer to its place" in words


def test_nothing_is_said_to_have_moved_where_places_cannot_be_compared(states: tuple[KeptResult, KeptResult]) -> None:
    before, after = states
    poor = replace(
        after, state=replace(after.state, grave_cautions=(ToldCaution("far-too-dark", "It is dark.", "Lamp."),))
    )
    change = compare_states(before.state, poor.state)
    words = words_of(comparison_page(change, before, poor))
    assert words.startswith(f"{VERDICT_WORDS[Verdict.NOT_COMPARABLE]}.")
    assert "nearer" not in words
    assert "It is dark." in words


def test_what_only_a_person_can_tell_is_asked_once_right_below_the_answer(
    states: tuple[KeptResult, KeptResult],
) -> None:
    before, after = states
    bare = ToldCaution("bare-to-end", "It is bare.", "Was it painted?")
    asked = replace(before, state=replace(before.state, asked=(bare,)))
    words = words_of(comparison_page(compare_states(asked.state, after.state), asked, after))
    assert words.count("Was it painted?") == 1
    assert words.index("Better") < words.index("Was it painted?") < words.index("Why:")


def test_a_change_within_its_doubt_is_not_called_one(states: tuple[KeptResult, KeptResult]) -> None:
    before, _ = states
    again = replace(before.state, identity=replace(before.state.identity, pictures=()))
    words = words_of(comparison_page(compare_states(before.state, again), before, before))
    assert "no difference that the photos can show (" in words
    assert "0 % (anything from" in words


def test_pictures_say_in_words_what_they_show(page: str, change: Change) -> None:
    """WCAG 2.2, 1.1.1: what is not text has a text that serves the same purpose."""
    pictures = [str(one["alt"]) for tag, one in tags_of(page) if tag == "img"]
    assert len(pictures) == 2 * 3 + 2 * 4
    for words, one in zip(pictures[:2], (change.left, change.right), strict=True):
        assert one is not None
        assert words.startswith(f"{one.flank.value.capitalize()} flank laid flat before and after")
        assert with_range(one.along.before) in words
        assert with_range(one.along.after) in words


def test_each_flank_can_be_looked_at_closer_in_its_bare_photo(page: str, states: tuple[KeptResult, KeptResult]) -> None:
    """Pixel for pixel the kept piece of the photo, but for what JPEG loses; the first tooth of each flank and state."""
    boxes = re.findall(r'class="close-up".*?<img src="data:image/jpeg;base64,([^"]+)"', page, re.DOTALL)
    kept = [one.teeth(flank)[0].close_up for flank in Flank for one in states]
    assert len(boxes) == len(kept) == 4
    for box, piece in zip(boxes, kept, strict=True):
        assert piece is not None
        with Image.open(io.BytesIO(b64decode(box))) as close_up:
            assert np.abs(np.asarray(close_up, dtype=float) - piece).mean() < 3


def test_how_the_flanks_were_marked_is_told(states: tuple[KeptResult, KeptResult]) -> None:
    before, after = states
    noted = replace(before, state=replace(before.state, film="thin <b>"))
    words = words_of(comparison_page(compare_states(noted.state, after.state), noted, after))
    assert "How the photos were taken" in words
    assert "Way of marking transfer transfer Compound blue blue Film of compound thin <b> not noted" in words


def test_without_pictures_the_page_says_why(change: Change, states: tuple[KeptResult, KeptResult]) -> None:
    bare = KeptResult(states[1].state, (), (), "Beside judgement.json left_1.flat.jpg is not there")
    page = comparison_page(change, states[0], bare)
    assert "<img" not in page
    assert "left_1.flat.jpg is not there, so there is no picture" in words_of(page)


def test_files_go_by_their_digests(tmp_path: Path, change: Change, states: tuple[KeptResult, KeptResult]) -> None:
    """FIPS 180-4 by the standard library; photos go by what the result tells of them."""
    path = tmp_path / "judgement.json"
    document = content(judgement_document(drawn_inspection(), MADE))
    document["left"][0]["photo"]["sha256"] = "ab" * 32
    path.write_text(json.dumps(document), encoding="utf-8")
    words = words_of(comparison_page(change, read_kept(path), states[1]))
    assert f"Before: judgement.json: SHA-256 {hashlib.sha256(path.read_bytes()).hexdigest()}" in words
    assert f"Before: left.png (900 x 640 pixels): SHA-256 {'ab' * 32}" in words
    assert "After: left.png (900 x 640 pixels): digest not known" in words
    assert "Made with patternscan" in words


def test_cautions_safety_and_limit_are_there(page: str, change: Change) -> None:
    words = words_of(page)
    for said in (*SAFETY, LIMIT, *(f"{caution_message(one)} Do: {caution_remedy(one)}" for one in change.cautions)):
        assert said in words


def test_names_stay_names(page: str, change: Change, states: tuple[KeptResult, KeptResult]) -> None:
    sources = tuple(replace(one, name=HOSTILE) for one in states[0].sources)
    before = replace(states[0], sources=(*sources, Source(HOSTILE, HOSTILE)))
    after = replace(states[1], state=state(0.02, HOSTILE).state)
    hostile = comparison_page(change, before, after)
    assert "<script" not in hostile
    assert words_of(hostile).count(HOSTILE) >= 4
    assert [tag for tag, _ in tags_of(hostile)].count("img") == [tag for tag, _ in tags_of(page)].count("img")


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
def test_it_reads_on_a_phone_and_at_a_desk(browser: Any, tmp_path: Path, page: str, width: int) -> None:
    with seen(browser, page, tmp_path, width) as shown:
        assert beyond_the_side(shown) == []
        assert faint_texts(shown) == []
        shown.emulate_media(media="print")
        assert faint_texts(shown) == []


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_two_sheets(browser: Any, tmp_path: Path, page: str, paper: str) -> None:
    with seen(browser, page, tmp_path) as shown:
        assert sheets(shown, paper) <= 2


@pytest.mark.browser
def test_much_to_say_prints_on_three_sheets(
    browser: Any, tmp_path: Path, states: tuple[KeptResult, KeptResult]
) -> None:
    """Wide doubts, several teeth, unlike films and long names of photos make the longest page."""
    before, after = states
    sources = tuple(Source(f"visit_{number}_left.jpg", "ab" * 32, (1344, 1008)) for number in range(5))
    wide = Interval(0.17, -0.09, 0.28)
    before = replace(before, state=replace(before.state, film="thin", shared=wide, opposed=wide), sources=sources)
    after = replace(after, state=replace(after.state, film="thin, brushed out"), sources=sources[:3])
    with seen(browser, comparison_page(compare_states(before.state, after.state), before, after), tmp_path) as shown:
        assert sheets(shown, "Letter") <= 3
        assert sheets(shown, "A4") <= 3
