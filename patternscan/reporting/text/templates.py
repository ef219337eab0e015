"""Sentences with gaps: how the values of a statement are worded in them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from string import Formatter
from typing import Any

from patternscan.cautions import Statement
from patternscan.frame import percent

MARKED = {"transfer": "printed by the worm", "rub-off": "painted and rubbed off"}


def off_words(shift: float) -> str:
    """A shift along the face, toward B when positive, as so much off."""
    size = percent(shift)
    return "0 % off" if size == "0 %" else f"{size} toward end {'B' if shift > 0 else 'A'}"


FORMS: Mapping[str, Callable[[Any], str]] = {
    "percent": percent,
    "whole": lambda share: f"{share * 100:.0f}",
    "tenths": lambda share: f"{share * 100:.1f} %",
    "other_end": lambda end: "B" if end == "A" else "A",
    "off": off_words,
    "marked": MARKED.__getitem__,
}
"""What may stand after the colon of a gap: in which words a value is put there."""


class _Gaps(Formatter):
    def __init__(self, forms: Mapping[str, Callable[[Any], str]]) -> None:
        self.forms = forms

    def format_field(self, value: Any, form: str) -> str:
        return self.forms[form](value) if form else str(value)


def filled(template: str, statement: Statement, forms: Mapping[str, Callable[[Any], str]] = FORMS) -> str:
    """The template with its gaps filled from the statement's values, worded by ``forms``.

    Raises KeyError for a gap that the statement has no value for, or a form that there is none of.
    """
    return _Gaps(forms).vformat(template, (), dict(statement.values))
