"""Values put onto a machine sheet one by one: what a person wrote as TOML, and the text of the sheet with it.

All else in the sheet stays as it is, comments too. A line that waits for its value behind a # gives its place and keeps
what it says beside it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit

from patternscan.errors import WrongUse
from patternscan.plain_text import one_line, quoted
from patternscan.setting.machine.allowed import Shape
from patternscan.setting.machine.fields import Field

Written = str | int | float | list[str]
"""A value as it stands in the file."""
Key = tuple[str, str]
"""Table and key."""
BARE = re.compile(r"[+-]?[\d.,\s]*\d", re.ASCII)
"""A number without its unit."""


def written_value(field: Field, texts: Sequence[str], unit: str = "", counts: Sequence[str] = ()) -> Written | None:
    """What a person wrote, as the sheet holds it; None for nothing. ``unit`` goes to a bare number of a length,
    ``counts`` are the numbers of shims of each thickness.

    Raises WrongUse for what the field does not allow.
    """
    words = [one_line(text) for text in texts]
    if not any(words):
        return None
    value = _value(field.allowed.shape, words, unit, counts)
    if not field.allowed.holds(value):
        told = ", ".join(filter(None, words))
        raise WrongUse(f"{field.meaning}: {quoted(told)} does not fit.", f"Write {field.allowed.words}.")
    return value


def _value(shape: Shape, words: Sequence[str], unit: str, counts: Sequence[str]) -> Written:
    match shape:
        case Shape.NUMBER | Shape.WHOLE:
            return _number(words[0])
        case Shape.LENGTH:
            return _with_unit(words[0], unit)
        case Shape.LIMITS:
            return [_with_unit(word, unit) for word in words if word]
        case Shape.STOCK:
            pieces = zip(words, [*counts, *[""] * len(words)], strict=False)
            return [f"{_with_unit(word, unit)} x {one_line(count) or 1}" for word, count in pieces if word]
    return words[0]


def _number(text: str) -> Written:
    plain = text.replace(" ", "").replace(",", ".")
    try:
        return int(plain)
    except ValueError:
        pass
    try:
        return float(plain)
    except ValueError:
        return text


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}" if BARE.fullmatch(text) else text


def written_values(text: str) -> Mapping[Key, Any]:
    """Every value that stands on a sheet. Raises ValueError for text that is no TOML."""
    content = tomllib.loads(text)
    return {
        (name, key): value for name, table in content.items() if isinstance(table, dict) for key, value in table.items()
    }


def with_values(text: str, changes: Mapping[Key, Written | None]) -> str:
    """The text of a sheet with these values; None takes one off. Raises ValueError for text that is no TOML."""
    for key, value in changes.items():
        text = _without(text, key) if value is None else _with(text, key, value)
    return text


def _without(text: str, key: Key) -> str:
    table, name = key
    if key not in written_values(text):
        return text
    document = tomlkit.parse(text)
    del document[table][name]
    return tomlkit.dumps(document)


def _with(text: str, key: Key, value: Written) -> str:
    """In place of the older value, else where the sheet waits for it, else at the end of its table."""
    table, name = key
    uncommented = None if key in written_values(text) else _uncommented(text, key, value)
    if uncommented is not None:
        return uncommented
    document = tomlkit.parse(text)
    if table not in document:
        document[table] = tomlkit.table()
    document[table][name] = value
    return tomlkit.dumps(document)


def _uncommented(text: str, key: Key, value: Written) -> str | None:
    """The line behind a # put to use; None where there is none, or where it is no line of that table after all."""
    table, name = key
    waiting = rf"(?ms)(^\[{table}\](?:(?!^\[).)*?)^#[ \t]*{name} = [^\n]*?([ \t]+#[^\n]*)?$"
    said = f"{name} = {tomlkit.item(value).as_string()}"
    changed, count = re.subn(
        waiting, lambda found: f"{found[1]}{_beside(said, found[2] or '', found[0], found[1])}", text, count=1
    )
    if not count:
        return None
    try:
        fits = written_values(changed) == {**written_values(text), key: value}
    except ValueError:
        return None
    return changed if fits else None


def _beside(said: str, meaning: str, found: str, before: str) -> str:
    """The line with what it means beside it, that where it stood if there is room."""
    column = len(found) - len(before) - len(meaning.lstrip())
    return f"{said.ljust(column - 1)} {meaning.lstrip()}" if meaning else said
