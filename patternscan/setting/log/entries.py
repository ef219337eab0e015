"""An entry of the job's log as one line of text, and back."""

from __future__ import annotations

import json
import math
import types
import typing
from dataclasses import dataclass, fields
from datetime import datetime
from enum import StrEnum
from typing import Any

from patternscan.setting.log.events import KINDS, Event


class DamagedEntry(ValueError):
    """A line that is no whole entry, or says something impossible."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log: its number from 1 on, when (with time zone), by whom, and what happened.

    ``follows`` is the start of the SHA-256 of the line before it, so that a line changed or lost later shows.
    """

    number: int
    at: datetime
    by: str | None
    event: Event
    follows: str | None = None

    @property
    def kind(self) -> str:
        """The word for the kind of event."""
        return next(word for word, kind in KINDS.items() if type(self.event) is kind)


def entry_line(entry: Entry) -> str:
    """The entry as one line of JSON, its keys in a fixed order, letters of every language as they are."""
    head = {"number": entry.number, "at": entry.at.isoformat(), "by": entry.by, "kind": entry.kind}
    tail = {"follows": entry.follows}
    return json.dumps(head | _plain(entry.event) | tail, ensure_ascii=False, allow_nan=False)


def read_entry(line: str) -> Entry:
    """The entry of one line. Raises DamagedEntry."""
    try:
        return _entry(_of_type(dict, json.loads(line)))
    except (ValueError, RecursionError) as error:
        raise DamagedEntry(str(error)) from error


def _entry(content: dict[str, Any]) -> Entry:
    number, at, by, kind, follows = (content.pop(name, None) for name in ("number", "at", "by", "kind", "follows"))
    moment = datetime.fromisoformat(_of_type(str, at))
    if moment.tzinfo is None:
        raise ValueError("the time has no time zone")
    if _of_type(str, kind) not in KINDS:
        raise ValueError(f"the kind {kind!r} is not known")
    words = (_built(str | None, by), _built(str | None, follows))
    return Entry(_of_type(int, number), moment, words[0], _built(KINDS[kind], content), words[1])


def _plain(value: Any) -> Any:
    """Records as dicts, tuples as lists, the rest as it is."""
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if hasattr(value, "__dataclass_fields__"):
        return {item.name: _plain(getattr(value, item.name)) for item in fields(value)}
    return value


def _built(kind: Any, value: Any) -> Any:
    """The value as the type asks for it: the way back from ``_plain``. Raises ValueError."""
    if isinstance(kind, types.UnionType):
        return None if value is None else _built(next(one for one in kind.__args__ if one is not type(None)), value)
    if typing.get_origin(kind) is tuple:
        return tuple(_built(kind.__args__[0], one) for one in _of_type(list, value))
    if hasattr(kind, "__dataclass_fields__"):
        return _record(kind, _of_type(dict, value))
    if issubclass(kind, StrEnum):
        return kind(value)
    if kind is float:
        return _number(value)
    return _of_type(kind, value)


def _record(kind: Any, content: dict[str, Any]) -> Any:
    types_of = typing.get_type_hints(kind)
    if content.keys() != types_of.keys():
        odd = ", ".join(sorted(content.keys() ^ types_of.keys()))
        raise ValueError(f"missing or unknown: {odd}")
    return kind(**{name: _built(types_of[name], value) for name, value in content.items()})


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is not a number")
    return float(value)


def _of_type(kind: type, value: Any) -> Any:
    if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
        raise ValueError(f"{value!r} is not {kind.__name__}")
    return value
