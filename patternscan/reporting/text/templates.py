"""Sentences with gaps: how the values of a statement are worded in them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from string import Formatter
from typing import Any

from patternscan.calibration import SAME_PACK_MM
from patternscan.cautions import Statement
from patternscan.frame import percent
from patternscan.units import fine_length_words

MARKED = {"transfer": "printed by the worm", "rub-off": "painted and rubbed off"}


def off_words(shift: float) -> str:
    """A shift along the face, toward B when positive, as so much off."""
    size = percent(shift)
    return "0 % off" if size == "0 %" else f"{size} toward end {'B' if shift > 0 else 'A'}"


def pack_words(shim_mm: float) -> str:
    """Shims against those as found."""
    if abs(shim_mm) <= SAME_PACK_MM:
        return "the shims as found"
    return f"{fine_length_words(abs(shim_mm))} {'more' if shim_mm > 0 else 'less'} than as found"


def change_words(step_mm: float) -> str:
    """A change of shims, more when positive."""
    return f"{'Add' if step_mm > 0 else 'Remove'} {fine_length_words(round(abs(step_mm), 6))}"


FORMS: Mapping[str, Callable[[Any], str]] = {
    "percent": percent,
    "whole": lambda share: f"{share * 100:.0f}",
    "tenths": lambda share: f"{share * 100:.1f} %",
    "other_end": lambda end: "B" if end == "A" else "A",
    "off": off_words,
    "marked": MARKED.__getitem__,
    "fine": lambda length_mm: fine_length_words(abs(length_mm)),
    "pack": pack_words,
    "change": change_words,
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
