"""The form of a table of the machine sheet: its fields from the one table of fields, and what was sent in them."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any

from werkzeug.datastructures import MultiDict

from patternscan.plain_text import one_line
from patternscan.reporting.text.web.sheet_words import LENGTH_UNITS, asked_words, choice_words
from patternscan.setting.machine.allowed import Shape
from patternscan.setting.machine.fields import Field, Table
from patternscan.setting.machine.filled_sheet import Key, Written, written_value
from patternscan.web.screens.machines.form_field import FormField

Form = MultiDict[str, str]
ROWS = {Shape.LIMITS: 2, Shape.STOCK: 8}
SORTS = {Shape.STOCK: "shims", Shape.TEXT: "words"}
WITH_UNIT = (Shape.LENGTH, Shape.LIMITS, Shape.STOCK)
WRITTEN = re.compile(r'\s*([\d.,]+)\s*(mm|inch|in|thou|")(?:\s*[x×*]\s*(\d+))?\s*', re.ASCII | re.IGNORECASE)


def form_fields(table: Table, values: Mapping[Key, Any], sent: Form, unit: str) -> Sequence[FormField]:
    """The fields as they were sent, or else as the sheet fills them; ``unit`` is the one last used on this device."""
    return [_sent(table, one, sent) if sent else _filled(table, one, values, unit) for one in table.fields]


def sent_values(table: Table, sent: Form) -> Mapping[Key, Written | None]:
    """What was sent, as the sheet holds it. Raises WrongUse for what does not fit."""
    return {
        (table.name, one.key): written_value(
            one, sent.getlist(one.key), _unit(one, sent), sent.getlist(f"{one.key}.count")
        )
        for one in table.fields
    }


def seen_values(table: Table, sent: Form) -> Mapping[Key, Any]:
    """What the sheet said when the form was shown, as the form gives it back."""
    seen = {}
    for one in table.fields:
        with suppress(ValueError, RecursionError):
            seen[table.name, one.key] = json.loads(sent.get(f"{one.key}.seen") or "")
    return seen


def _sent(table: Table, one: Field, sent: Form) -> FormField:
    written, counts = sent.getlist(one.key), sent.getlist(f"{one.key}.count")
    rows = [*zip(written, [*counts, *[""] * len(written)], strict=False)]
    return _field(table, one, rows, _unit(one, sent), sent.get(f"{one.key}.seen", "null"))


def _filled(table: Table, one: Field, values: Mapping[Key, Any], unit: str) -> FormField:
    value = values.get((table.name, one.key))
    texts = [] if value is None else value if isinstance(value, list) else [value]
    found = [WRITTEN.fullmatch(str(text)) if one.allowed.shape in WITH_UNIT else None for text in texts]
    units = {match[2].casefold() for match in found if match}
    alike = len(units) == 1 and units <= set(LENGTH_UNITS)
    rows = [(_without_count(*both, alike), (both[0] and both[0][3]) or "") for both in zip(found, texts, strict=True)]
    chosen = next(iter(units)) if alike else unit if unit in LENGTH_UNITS else LENGTH_UNITS[0]
    return _field(table, one, rows, chosen, json.dumps(value))


def _without_count(match: re.Match[str] | None, text: Any, alike: bool) -> str:
    """A length as its field shows it: without its unit where one choice of unit serves all."""
    if match is None:
        return one_line(str(text))
    return match[1] if alike else f"{match[1]} {match[2]}"


def _field(table: Table, one: Field, rows: Sequence[tuple[str, str]], unit: str, seen: str) -> FormField:
    """``rows`` are what is written, each with its number of shims; empty ones follow where there is room for more."""
    shape = one.allowed.shape
    rows = [*rows, *[("", "")] * (ROWS.get(shape, 1) - len(rows))]
    return FormField(
        one.key,
        asked_words(table, one),
        SORTS.get(shape, shape.value),
        [written for written, _ in rows],
        [count for _, count in rows],
        choices=[(word, choice_words(word)) for word in one.allowed.choices],
        units=LENGTH_UNITS if shape in WITH_UNIT else (),
        unit=unit,
        is_number=shape not in (Shape.TEXT, Shape.CHOICE),
        seen=seen,
    )


def _unit(one: Field, sent: Form) -> str:
    unit = sent.get(f"{one.key}.unit", "")
    return unit if unit in LENGTH_UNITS else LENGTH_UNITS[0]
