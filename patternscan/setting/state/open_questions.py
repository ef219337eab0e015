"""What a pattern asks back, what was answered, and what is still open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patternscan.setting.log.entries import Entry, fallen_references, gone_entries, struck_entries
from patternscan.setting.log.events import Pattern, Replied
from patternscan.setting.log.replies import REPLIES, Replies
from patternscan.setting.log.words import Occasion, Reply


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """A question that nobody has answered yet: of which entry, its code, and what was told with it, flank by flank."""

    entry: int
    code: str
    told: tuple[str, ...]

    @property
    def replies(self) -> Replies | None:
        """The two answers to it; None for one of an earlier version, which kept no code."""
        return REPLIES.get(self.code)


def open_questions(entry: Entry, entries: Sequence[Entry]) -> tuple[OpenQuestion, ...]:
    """What the pattern of an entry still asks, each question once; ``entries`` are those that count."""
    event, answered = entry.event, answers_about(entry, entries)
    asked = event.questions if isinstance(event, Pattern) else ()
    codes = dict.fromkeys(one.code for one in asked if one.code not in answered)
    return tuple(
        OpenQuestion(entry.number, code, tuple(one.told for one in asked if one.code == code)) for code in codes
    )


def changes_unnoted(entries: Sequence[Entry]) -> Mapping[int, Entry]:
    """Answers that something was changed between a trial's photos, by the number of the trial's entry.

    No entry tells what it was. Trials before that one may be of before it; ``entries`` are all of the log.
    """
    struck = struck_entries(entries)
    trials = {one.number for one in entries if isinstance(one.event, Pattern) and one.event.occasion is Occasion.TRIAL}
    return {
        one.event.entry: one
        for one in entries
        if isinstance(one.event, Replied) and one.event.reply is Reply.SOMETHING_CHANGED and one.number not in struck
        if one.event.entry in trials
    }


def references_gone(entries: Sequence[Entry]) -> Mapping[int, Entry]:
    """The strikes and answers by which a pattern counts no more that trials were held against, by the trial's number.

    Where such a trial's pattern lay on the flank is still true, but not how far off; ``entries`` are all of the log.
    """
    numbered, gone = {one.number: one for one in entries}, gone_entries(entries)
    return {trial: numbered[gone[reference]] for trial, reference in fallen_references(entries).items()}


def answers_about(entry: Entry, entries: Sequence[Entry]) -> Mapping[str, Entry]:
    """The entries that answer what the pattern of an entry asks, by the code of the question."""
    return {
        one.event.question: one
        for one in entries
        if isinstance(one.event, Replied) and one.event.entry == entry.number < one.number
    }
