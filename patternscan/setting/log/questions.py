"""A kind of entry that a person makes: one question for each value, and the event that follows from the answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from patternscan.setting.log.answers import Answer
from patternscan.setting.log.events import Event
from patternscan.setting.machine.sheet import Sheet

Values = Mapping[str, Any]
"""Answers by the name of their question; what was not answered is not there. Those of ``many`` are tuples."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: the name of the value, the question as a sentence, what may be answered.

    ``flag`` is the option that gives it on the command line; without one it is given in its place, called ``shown``.
    ``needed`` False: it may be left open. ``many``: one answer or more. ``unless``: questions whose answer makes this
    one needless.
    """

    name: str
    asked: str
    answer: Answer
    flag: str = ""
    shown: str = ""
    needed: bool = True
    many: bool = False
    unless: tuple[str, ...] = ()

    @property
    def called(self) -> str:
        """What stands for it on the command line."""
        return self.flag or self.shown or self.name.upper()


@dataclass(frozen=True, slots=True)
class EntryKind:
    """A kind of entry: its word on the command line, a title, what it tells, an example of its words.

    ``event`` makes the event from the answers and the machine sheet; it raises WrongUse for answers that do not fit
    each other.
    """

    word: str
    title: str
    told: str
    example: str
    questions: tuple[Question, ...]
    event: Callable[[Values, Sheet], Event]
