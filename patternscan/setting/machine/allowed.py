"""What a value on a machine sheet may be: in words for people, and as a conversion to what the program works with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from patternscan.errors import WrongUse
from patternscan.plain_text import letters_of, one_line
from patternscan.setting.machine.stock import parse_stock
from patternscan.units import parse_length


class Shape(StrEnum):
    """What a value looks like where a person writes it."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    CHOICE = "choice"
    LENGTH = "length"
    LIMITS = "limits"
    STOCK = "stock"


@dataclass(frozen=True, slots=True)
class Allowed:
    """What a value may be, in words; ``convert`` gives what the program works with, and raises ValueError or WrongUse.

    Numbers keep their ``unit``; lengths with a written unit become mm. ``choices`` are the words to choose from, if
    any.
    """

    words: str
    convert: Callable[[Any], Any]
    shape: Shape
    choices: tuple[str, ...] = ()
    unit: str = ""

    def holds(self, value: Any) -> bool:
        """Whether the value is allowed."""
        try:
            self.convert(value)
        except (ValueError, WrongUse):
            return False
        return True


def number(low: float, high: float, unit: str = "") -> Allowed:
    """A number within, ends included."""

    def convert(value: Any) -> Any:
        return _right(isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high, value)

    bare = unit.partition("(")[0].strip()
    return Allowed(f"a number from {low:g} to {high:g}{unit}", convert, Shape.NUMBER, unit=bare)


def whole(low: int, high: int) -> Allowed:
    """A whole number within, ends included."""

    def convert(value: Any) -> Any:
        return _right(isinstance(value, int) and not isinstance(value, bool) and low <= value <= high, value)

    return Allowed(f"a whole number from {low} to {high}", convert, Shape.WHOLE)


def one_of(meant: Mapping[str, Any] | type[StrEnum]) -> Allowed:
    """One of the words, however it is written ("Rub off" for "rub-off"), given as what it means for the program."""
    values = meant if isinstance(meant, Mapping) else {each.value: each for each in meant}
    by_letters = {letters_of(each): means for each, means in values.items()}

    def convert(value: Any) -> Any:
        return by_letters[letters_of(_right(isinstance(value, str) and letters_of(value) in by_letters, value))]

    return Allowed(" or ".join(f'"{word}"' for word in values), convert, Shape.CHOICE, tuple(values))


def word(*words: str) -> Allowed:
    """One of the words, as it stands."""
    return one_of({each: each for each in words})


def length(least_mm: float, most_mm: float) -> Allowed:
    """A length with its unit, in mm."""

    def convert(value: Any) -> Any:
        length_mm = parse_length(_right(isinstance(value, str), value))
        return _right(least_mm <= length_mm <= most_mm, length_mm)

    return Allowed(
        f'a length with its unit, {least_mm:g} to {most_mm:g} mm, as "0.10 mm", "0.004 in" or "4 thou"',
        convert,
        Shape.LENGTH,
    )


def limits(least_mm: float, most_mm: float) -> Allowed:
    """Least and most with their units, as a pair in mm."""

    def convert(value: Any) -> Any:
        texts = _right(
            isinstance(value, list) and len(value) == 2 and all(isinstance(one, str) for one in value), value
        )
        least, most = map(parse_length, texts)
        return _right(least_mm <= least <= most <= most_mm, (least, most))

    return Allowed(
        f'least before most, each with its unit, as ["0.08 mm", "0.13 mm"], {least_mm:g} to {most_mm:g} mm',
        convert,
        Shape.LIMITS,
    )


def _right(right: bool, value: Any) -> Any:
    if not right:
        raise ValueError(value)
    return value


TEXT = Allowed(
    "some text", lambda value: one_line(_right(isinstance(value, str) and bool(one_line(value)), value)), Shape.TEXT
)
FRACTION = Allowed("a number from 0 to 1", lambda value: float(number(0, 1).convert(value)), Shape.NUMBER)
STOCK = Allowed(
    'a list of shims with their number, as ["0.10 mm x 4", "0.005 in x 6"]',
    lambda value: parse_stock(_right(isinstance(value, list) and all(isinstance(one, str) for one in value), value)),
    Shape.STOCK,
)
