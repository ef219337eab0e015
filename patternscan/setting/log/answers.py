"""What may be answered to a question of the log, and reading the answer from what a person typed."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from patternscan.errors import WrongUse
from patternscan.plain_text import one_line, quoted
from patternscan.setting.machine.stock import parse_shims
from patternscan.units import parse_length, parse_torque

PLAIN_NUMBER = re.compile(r"[+-]?[\d.,\s]*\d[\d.,\s]*", re.ASCII)


class Sort(StrEnum):
    """The sort of an answer: a length and a torque carry their unit, all else does not."""

    LENGTH = "length"
    TORQUE = "torque"
    NUMBER = "number"
    WHOLE = "whole"
    CHOICE = "choice"
    WORDS = "words"
    SHIMS = "shims"


@dataclass(frozen=True, slots=True)
class Answer:
    """What an answer may be: its sort, the least and the most in ``unit``, or the words to choose from.

    ``short`` are other ways to write a choice.
    """

    sort: Sort
    low: float = -math.inf
    high: float = math.inf
    unit: str = ""
    choices: type[StrEnum] | None = None
    short: Mapping[str, StrEnum] = field(default_factory=dict)

    @property
    def words(self) -> tuple[str, ...]:
        """The words to choose from; none when it is no choice."""
        return () if self.choices is None else tuple(one.value for one in self.choices)

    @property
    def told(self) -> str:
        """What may be answered, in words."""
        if self.sort is Sort.CHOICE:
            return " or ".join(self.words)
        if self.sort in UNBOUND:
            return UNBOUND[self.sort]
        what = "a whole number" if self.sort is Sort.WHOLE else "a number"
        return f"{what} from {self.low:.10g} to {self.high:.10g}{self.unit and f' {self.unit}'}"


UNBOUND: Mapping[Sort, str] = {
    Sort.WORDS: "some words",
    Sort.SHIMS: "shims with their count, such as 0.10mm x 4",
}


def read_answer(text: str, answer: Answer, unit: str = "") -> Any:
    """The value of what was typed, lengths in mm and torques in Nm. ``unit`` goes to a bare number that lacks one.

    Raises WrongUse.
    """
    words = one_line(text).strip()
    match answer.sort:
        case Sort.WORDS:
            return _refuse_empty(words)
        case Sort.CHOICE:
            return _choice(words, answer)
        case Sort.SHIMS:
            return parse_shims(words)
        case _:
            return _within(_number(words, answer, unit), words, answer)


def _refuse_empty(words: str) -> str:
    if not words:
        raise WrongUse("Nothing is written there.", "Write it in a few words.")
    return words


def _choice(words: str, answer: Answer) -> StrEnum:
    assert answer.choices is not None
    meant = {_letters(one.value): one for one in answer.choices} | dict(answer.short)
    if _letters(words) in meant:
        return meant[_letters(words)]
    close = {meant[one] for one in difflib.get_close_matches(_letters(words), meant)}
    asked = f"Did you mean {next(iter(close)).value}?" if len(close) == 1 else f"Give {answer.told}."
    raise WrongUse(f"{quoted(words)} is not one of the words that fit here.", asked)


def _letters(words: str) -> str:
    return re.sub("[^a-z0-9]", "", words.casefold())


def _number(words: str, answer: Answer, unit: str) -> float:
    if answer.sort is Sort.LENGTH:
        return parse_length(words + unit if PLAIN_NUMBER.fullmatch(words) else words)
    if answer.sort is Sort.TORQUE:
        return parse_torque(words)
    try:
        number = float(words.replace(",", "."))
    except ValueError:
        number = math.nan
    if math.isnan(number):
        raise WrongUse(f"{quoted(words)} is not a number.", f"Give {answer.told}.")
    if answer.sort is Sort.WHOLE and number % 1:
        raise WrongUse(f"{quoted(words)} is not a whole number.", f"Give {answer.told}.")
    return number


def _within(number: float, words: str, answer: Answer) -> float | int:
    if not answer.low <= number <= answer.high:
        unit = answer.unit and f" {answer.unit}"
        raise WrongUse(
            f"{quoted(words)} is given, expected {answer.low:.10g}{unit} to {answer.high:.10g}{unit}.",
            "Check the number and its unit.",
        )
    return int(number) if answer.sort is Sort.WHOLE else number
