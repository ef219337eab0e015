"""What is said when entries are asked for one value at a time."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.plain_text import quoted
from patternscan.reporting.text.job.reply_words import REPLY_WORDS
from patternscan.reporting.text.job.words import capital
from patternscan.setting.log.answers import Answer, Sort
from patternscan.setting.log.kinds import ENTRY_KINDS, KIND_OF
from patternscan.setting.log.questions import Question
from patternscan.setting.rules.entries_due import EntryDue

YOUR_NAME = "Your name? (Enter: not said)"
RIGHT = "Is that right?"
KEEP_ANYWAY = "Keep it all the same?"
NOT_KEPT = "Nothing was kept."
BROKEN_OFF = "What you typed so far is kept: 'patternscan log' goes on there."
TO_JUDGE = "That is read from photos: 'patternscan judge --job FOLDER'. Other entries can be typed here."
REPLY_LINE = "Its number; Enter: leave it open"
STOP, ALL_WORDS = "q", "?"


def going_on(word: str) -> str:
    """That an entry broken off is gone on with."""
    return f"Going on where it was broken off: {KIND_OF[word].title}."


def choice_line(due: Sequence[EntryDue]) -> str:
    """What can be entered now."""
    other = f"another word ({ALL_WORDS} lists them), {STOP} to stop"
    return f"Enter for: {due_words(due[0])}; {other}" if due else f"A word ({ALL_WORDS} lists them), {STOP} to stop"


def due_words(due: EntryDue) -> str:
    """The entry that is due, with what of it is known; an answer in its own words."""
    if "reply" in due.known:
        return capital(REPLY_WORDS[due.known["reply"]])
    known = ", ".join(str(value) for value in due.known.values())
    return KIND_OF[due.word].title + (f" ({known})" if known else "")


def reply_lines(replies: Sequence[EntryDue]) -> list[str]:
    """The answers to a question, numbered."""
    return [f"  {number} {due_words(one)}" for number, one in enumerate(replies, 1)]


def no_such_number(word: str, count: int) -> str:
    """That no answer goes by this number."""
    return f"There is no answer {quoted(word)}. Type a number from 1 to {count}, or Enter."


def all_words() -> str:
    """Every kind of entry with its word."""
    return "\n".join(f"  {kind.word:18}{kind.title}" for kind in ENTRY_KINDS)


def no_such_word(word: str) -> str:
    """That no kind of entry goes by this word."""
    return f"There is no entry {quoted(word)}. {ALL_WORDS} lists the words."


def question_line(question: Question, unit: str, count: int) -> str:
    """The question with what may be answered; ``count`` is how many answers it has, of those that take several."""
    asked = question.asked if not count else f"{question.asked} (number {count + 1})"
    return f"{asked} [{_may_be(question.answer, unit)}{_may_be_left(question, count)}]"


def _may_be(answer: Answer, unit: str) -> str:
    match answer.sort:
        case Sort.LENGTH:
            return unit
        case Sort.CHOICE:
            return ", ".join(answer.words) if numbered(answer) is None else ", ".join(numbered(answer) or ())
        case Sort.WORDS:
            return "words"
        case Sort.SHIMS:
            return f"such as 0.10{unit} x 4" if unit == "mm" else "such as 0.004in x 4"
        case Sort.TORQUE:
            return "such as 45Nm"
        case _:
            return answer.unit or "a number"


def numbered(answer: Answer) -> tuple[str, ...] | None:
    """The words to choose from with a number before each, None where the words are numbers themselves."""
    if any(word.isdecimal() for word in answer.words):
        return None
    return tuple(f"{number} {word}" for number, word in enumerate(answer.words, 1))


def _may_be_left(question: Question, count: int) -> str:
    if question.many and count:
        return "; Enter: no more"
    return "" if question.needed else "; Enter: leave it open"
