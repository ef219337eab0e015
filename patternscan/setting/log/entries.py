"""An entry of the job's log as one line of text, and back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

import msgspec

from patternscan.setting.log.events import Event


class DamagedEntry(ValueError):
    """A line that is no whole entry, or says something impossible."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log: its number from 1 on, when (with time zone), by whom, and what happened.

    ``follows`` is the start of the SHA-256 of the line before it, so that a line changed or lost later shows.
    """

    number: int
    at: Annotated[datetime, msgspec.Meta(tz=True)]
    by: str | None
    event: Event
    follows: str | None = None

    @property
    def kind(self) -> str:
        """The word for the kind of event."""
        return str(self.event.__struct_config__.tag)


def entry_line(entry: Entry) -> str:
    """The entry as one line of JSON, its keys in a fixed order, letters of every language as they are."""
    head = {"number": entry.number, "at": entry.at.isoformat(), "by": entry.by}
    line = head | msgspec.to_builtins(entry.event) | {"follows": entry.follows}
    return msgspec.json.format(msgspec.json.encode(line), indent=0).decode()


def read_entry(line: str) -> Entry:
    """The entry of one line. Raises DamagedEntry."""
    try:
        content = msgspec.json.decode(line, type=dict[str, Any])
        head = {name: content.pop(name, None) for name in ("number", "at", "by", "follows")}
        entry = msgspec.convert(head | {"event": content}, Entry)
    except (msgspec.MsgspecError, ValueError, RecursionError) as error:
        raise DamagedEntry(str(error)) from error
    if msgspec.json.decode(msgspec.json.encode(entry.event)) != content:
        raise DamagedEntry("the line says more than an entry can, or less")
    return entry
