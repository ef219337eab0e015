"""``patternscan log`` without words: what is due is asked for, one value at a time, read back, and kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click

from patternscan.errors import LooksLikeASlip, WrongUse
from patternscan.reporting.text.job import asking
from patternscan.reporting.text.job.actions import action_lines
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.points import points_sentence
from patternscan.setting.log.answers import read_answer
from patternscan.setting.log.job_log import read_job
from patternscan.setting.log.kinds import KIND_OF
from patternscan.setting.log.questions import Question
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.entries_due import Asked, EntryDue, entries_due, questions_in
from patternscan.setting.rules.next_actions import first_deed
from patternscan.workflow.job.begun_entry import BegunEntry, drop_begun, keep_begun, read_begun, sheet_unit
from patternscan.workflow.job.log import LogRequest, due_actions, log_event


def ask_entries(job: Path, by: str | None) -> None:
    """Ask for one entry after the other until nothing more is wanted; what is typed outlasts a break."""
    read_job(job)
    try:
        name, told = by or _typed(asking.YOUR_NAME) or None, set[str]()
        while (begun := _begun(job, told)) is not None:
            _ask_entry(job, begun, name)
    except click.Abort:
        if read_begun(job) is not None:
            click.echo(f"\n{asking.BROKEN_OFF}", err=True)
        raise


def _begun(job: Path, told: set[str]) -> BegunEntry | None:
    """The entry to ask for: one broken off, the one that is due, or one named; None when no more is wanted.

    What only a person can tell comes first. What is asked for is said in full once; ``told`` holds what was.
    """
    begun = read_begun(job)
    if begun is not None:
        click.echo(asking.going_on(begun.word))
        return begun
    actions = due_actions(job).actions
    answer = _answer_to([question for one in actions for question in questions_in(one)], told)
    if answer is not None:
        return answer
    deed = first_deed(actions)
    due, lines = entries_due(deed), [] if deed.code in told else action_lines(deed)
    told.add(deed.code)
    for line in ("", *lines, *(() if due else (asking.TO_JUDGE,))):
        click.echo(line)
    return _chosen(due)


def _answer_to(questions: Sequence[Asked], told: set[str]) -> BegunEntry | None:
    """The answer to the first question that is answered; each is asked once, and may be left open."""
    for question in questions:
        words = points_sentence(question.points)
        if words in told:
            continue
        told.add(words)
        click.echo(f"\n{words}")
        due = _numbered(question.replies) if question.replies else None
        if due is not None:
            return _begin(due)
    return None


def _numbered(replies: Sequence[EntryDue]) -> EntryDue | None:
    """The answer of which the number is typed; None when it is left open."""
    for line in asking.reply_lines(replies):
        click.echo(line)
    numbers = {str(number): due for number, due in enumerate(replies, 1)}
    while (word := _typed(asking.REPLY_LINE)) not in ("", asking.STOP, *numbers):
        click.echo(asking.no_such_number(word, len(replies)))
    return numbers.get(word)


def _begin(due: EntryDue) -> BegunEntry:
    """The entry with what is known of it."""
    typed: dict[str, tuple[str, ...]] = {name: (str(value),) for name, value in due.known.items()}
    return BegunEntry(due.word, typed, tuple(typed))


def _chosen(due: tuple[EntryDue, ...]) -> BegunEntry | None:
    while True:
        word = _typed(asking.choice_line(due))
        if word == asking.STOP or not (word or due):
            return None
        if word == asking.ALL_WORDS:
            click.echo(asking.all_words())
        elif not word:
            return _begin(due[0])
        elif word in KIND_OF:
            return BegunEntry(word)
        else:
            click.echo(asking.no_such_word(word))


def _ask_entry(job: Path, begun: BegunEntry, by: str | None) -> None:
    sheet, _ = read_job(job)
    try:
        while (question := begun.next_question()) is not None:
            begun = begun.answered(question, _answer(question, begun, sheet))
            keep_begun(job, begun)
        event = begun.event(sheet)
        click.echo(event_sentence(event))
        if click.confirm(asking.RIGHT):
            _keep(LogRequest(job, event, by))
        else:
            click.echo(asking.NOT_KEPT)
    except WrongUse as fault:
        click.echo(str(fault))
    drop_begun(job)


def _answer(question: Question, begun: BegunEntry, sheet: Sheet) -> str:
    """What was typed, once it can be read; a number stands for one of the words to choose from."""
    unit, count = sheet_unit(sheet), len(begun.typed.get(question.name, ()))
    while True:
        text = _typed(asking.question_line(question, unit, count))
        if not text and (not question.needed or count):
            return text
        words = question.answer.words if asking.numbered(question.answer) else ()
        if text.isdecimal() and 0 < int(text) <= len(words):
            text = words[int(text) - 1]
        try:
            read_answer(text, question.answer, unit)
        except WrongUse as fault:
            click.echo(str(fault))
        else:
            return text


def _keep(request: LogRequest) -> None:
    try:
        result = log_event(request)
    except LooksLikeASlip as slip:
        click.echo(slip.found)
        if not click.confirm(asking.KEEP_ANYWAY):
            click.echo(asking.NOT_KEPT)
            return
        result = log_event(replace(request, sure=True))
    click.echo(f"Entry {result.entry.number} is kept.")
    for words in map(points_sentence, result.effects):
        click.echo(words)


def _typed(asked: str) -> str:
    return str(click.prompt(asked, default="", show_default=False, prompt_suffix=" ")).strip()
