"""The table of entries: complete, and each of its examples can be typed."""

from __future__ import annotations

import shlex

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.setting.log.answers import Answer, Sort, read_answer
from patternscan.setting.log.entries import Entry, entry_line, read_entry
from patternscan.setting.log.events import KINDS, EndPlay, Event, ShimChange
from patternscan.setting.log.kinds import ENTRY_KINDS, KIND_OF, entry_event
from patternscan.setting.log.questions import EntryKind
from patternscan.setting.log.words import Shaft, ShimPlace
from patternscan.setting.machine.sheet import Dial, Sheet
from patternscan.setting.rules.entries_due import READINGS, SHIMS_OF, entries_due
from tests.setting.job_entries import BEGIN
from tests.setting.rule_jobs import APPLIES, actions_after

SHEET = Sheet(dial=Dial(radius_mm=260.0))


def typed(kind: EntryKind) -> Event:
    """The event of the kind's example."""
    words, values = shlex.split(kind.example.partition(" (")[0])[1:], dict[str, object]()
    options = {one.flag: one for one in kind.questions if one.flag}
    placed = [one for one in kind.questions if not one.flag]
    while words:
        word = words.pop(0)
        question = options[word] if word in options else placed[0] if placed[0].many else placed.pop(0)
        value = read_answer(words.pop(0) if word in options else word, question.answer)
        values[question.name] = (*values.get(question.name, ()), value) if question.many else value  # type: ignore[misc]
    return entry_event(kind.word, values, SHEET)


@pytest.mark.parametrize("kind", ENTRY_KINDS, ids=lambda kind: kind.word)
def test_the_example_of_every_kind_makes_an_entry_that_the_log_holds(kind: EntryKind) -> None:
    assert kind.example.split()[0] == kind.word
    entry = Entry(1, BEGIN, None, typed(kind))
    assert read_entry(entry_line(entry)) == entry


def test_every_event_but_a_pattern_has_its_kind() -> None:
    assert {type(typed(kind)) for kind in ENTRY_KINDS} == {kind for name, kind in KINDS.items() if name != "pattern"}


def test_every_question_is_a_sentence_and_says_what_it_needs() -> None:
    for kind in ENTRY_KINDS:
        assert len({question.name for question in kind.questions}) == len(kind.questions)
        for question in kind.questions:
            assert question.asked[0].isupper()
            assert "?" in question.asked
            assert question.answer.told
            assert set(question.unless) <= {one.name for one in kind.questions}


def test_what_is_needed_and_what_contradicts_itself_is_said() -> None:
    with pytest.raises(WrongUse, match="Not answered: What does the dial read"):
        entry_event("end-play", {"shaft": Shaft.WORM}, SHEET)
    with pytest.raises(WrongUse, match="not clear what was changed"):
        entry_event("shims", {"place": ShimPlace.WORM}, SHEET)
    assert entry_event("shims", {"place": ShimPlace.WORM, "remove_mm": 0.1}, SHEET) == ShimChange(
        ShimPlace.WORM, -0.1, -0.1
    )


def test_a_bare_number_takes_the_unit_it_is_asked_in_and_a_written_one_keeps_its_own() -> None:
    length = Answer(Sort.LENGTH, 0, 25, "mm")
    assert read_answer("0.004", length, "in") == pytest.approx(0.1016)
    assert read_answer("0,10", length, "mm") == pytest.approx(0.1)
    assert read_answer("4 thou", length, "mm") == pytest.approx(0.1016)
    with pytest.raises(WrongUse, match="not a length with its unit"):
        read_answer("0.10", length)


@given(st.text(max_size=12))
def test_whatever_is_typed_is_read_or_refused_in_two_sentences(text: str) -> None:
    for kind in ENTRY_KINDS:
        for question in kind.questions:
            stop = refusal(text, question.answer)
            assert stop is None or (stop.found.endswith(".") and stop.remedy.endswith((".", "?")))


def refusal(text: str, answer: Answer) -> WrongUse | None:
    try:
        read_answer(text, answer, "mm")
    except WrongUse as error:
        return error
    return None


@pytest.mark.parametrize("code", APPLIES)
def test_what_an_action_asks_to_be_entered_is_a_kind_with_such_questions(code: str) -> None:
    happened, sheet = APPLIES[code]
    for action in actions_after(*happened, sheet=sheet):
        for due in entries_due(action):
            assert due.known.keys() <= {question.name for question in KIND_OF[due.word].questions}


def test_what_is_due_is_asked_for() -> None:
    first = {code: actions_after(*happened, sheet=sheet) for code, (happened, sheet) in APPLIES.items()}
    asked = {
        code: [due.word for action in actions if action.code == code for due in entries_due(action)]
        for code, actions in first.items()
    }
    assert asked["secure"] == ["secured"]
    assert asked["before-strip-down"] == [
        *("shims-found", "pieces", "eccentrics-found"),
        *("end-play", "end-play", "alignment", "backlash"),
    ]
    assert asked["worm-end-play-beyond"] == ["shims"]
    assert asked["shim-step"] == ["shims", "shims"]
    assert asked["crossed"] == ["measured", "measured"]
    assert asked["close-up"] == ["closed"]
    assert asked["sign-off"] == ["sign-off"]
    assert asked["pattern-missing"] == []
    assert READINGS.keys() > SHIMS_OF.keys()
    assert isinstance(entry_event("end-play", {"shaft": Shaft.WORM, "reading_mm": 0.1}, SHEET), EndPlay)
