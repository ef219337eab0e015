"""The form of a kind of entry: its fields from the kind's questions, and the answers read from what was sent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from werkzeug.datastructures import MultiDict

from patternscan.reporting.text.web.machine_words import UNITS
from patternscan.setting.log.answers import Sort, read_answer
from patternscan.setting.log.events import Event
from patternscan.setting.log.kinds import KIND_OF, entry_event
from patternscan.setting.log.questions import EntryKind, Question
from patternscan.setting.machine.sheet import Sheet
from patternscan.web.screens.machines.form_field import FormField

Form = MultiDict[str, str]
Offered = Mapping[str, Sequence[tuple[str, str]]]
PLACES = 4
"""Fields of a question that takes several answers: backlash is read at four places."""
NUMBERS = (Sort.LENGTH, Sort.TORQUE, Sort.NUMBER, Sort.WHOLE, Sort.SHIMS)


def fields_of(kind: EntryKind, sent: Form, unit: str, offered: Offered) -> Sequence[FormField]:
    """The fields of a kind as they were sent; ``unit`` is the one last used on this device. ``offered`` are, by the
    name of a question, the words to choose from with what a person reads, where not all words fit.
    """
    fields = [_field(question, sent, unit) for question in kind.questions]
    return [replace(field, choices=offered.get(field.name, field.choices)) for field in fields]


def event_of(kind: EntryKind, sent: Form, sheet: Sheet) -> Event:
    """The event that was sent. Raises WrongUse for an answer that does not fit."""
    values = {}
    for question in kind.questions:
        answers = tuple(read_answer(text, question.answer, _unit(question, sent)) for text in _texts(question, sent))
        values[question.name] = answers if question.many else next(iter(answers), None)
    return entry_event(kind.word, values, sheet)


def kind_named(word: str) -> EntryKind | None:
    """A kind of entry by its word, None when there is none."""
    return KIND_OF.get(word)


def _texts(question: Question, sent: Form) -> Iterator[str]:
    """What was written, with its unit where one was chosen; empty fields are left out."""
    written, counts = sent.getlist(question.name), sent.getlist(f"{question.name}.count")
    unit = _unit(question, sent)
    for place, text in enumerate(one.strip() for one in written):
        if not text:
            continue
        if question.answer.sort is Sort.SHIMS:
            yield f"{text}{unit} x {counts[place].strip() or 1}" if place < len(counts) else text
        else:
            yield f"{text} {unit}" if question.answer.sort is Sort.TORQUE and text[-1:].isdigit() else text


def _unit(question: Question, sent: Form) -> str:
    units = UNITS.get(question.answer.sort, ("",))
    return sent.get(f"{question.name}.unit", units[0]) if sent.get(f"{question.name}.unit") in units else units[0]


def _field(question: Question, sent: Form, unit: str) -> FormField:
    rows = PLACES if question.many else 1
    written = [*sent.getlist(question.name), *[""] * rows][: max(rows, len(sent.getlist(question.name)))]
    counts = [*sent.getlist(f"{question.name}.count"), *[""] * len(written)][: len(written)]
    units = UNITS.get(question.answer.sort, ())
    chosen = sent.get(f"{question.name}.unit") or (unit if unit in units else next(iter(units), ""))
    answer = question.answer
    return FormField(
        question.name,
        question.asked,
        answer.sort.value,
        written,
        counts,
        choices=[(word, word.replace("-", " ")) for word in answer.words],
        units=units,
        unit=chosen,
        needed=question.needed,
        many=question.many,
        is_number=answer.sort in NUMBERS,
        signed=answer.low < 0,
    )
