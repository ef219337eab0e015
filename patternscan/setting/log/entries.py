"""An entry of the job's log as one line of text, and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

import msgspec

from patternscan.errors import WrongUse
from patternscan.judging.states.judged_state import GoneEntry
from patternscan.setting.log.events import Event, Pattern, Replied, Struck


class DamagedEntry(ValueError):
    """A line that is no whole entry, or says something impossible."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log: its number from 1 on, when (with time zone), by whom, and what happened.

    ``follows`` is the start of the SHA-256 of the line before it, so that a line changed or lost later shows.
    """

    number: Annotated[int, msgspec.Meta(ge=1, le=10**9)]
    at: Annotated[datetime, msgspec.Meta(tz=True)]
    by: str | None
    event: Event
    follows: str | None = None

    @property
    def kind(self) -> str:
        """The word for the kind of event."""
        return str(self.event.__struct_config__.tag)


def entry_line(entry: Entry) -> str:
    """The entry as one line of JSON, its keys in a fixed order, letters of every language as they are.

    Raises ValueError for an entry that the line would not give back, as one with a number that is none.
    """
    head = {"number": entry.number, "at": entry.at.isoformat(), "by": entry.by}
    content = head | msgspec.to_builtins(entry.event) | {"follows": entry.follows}
    line = msgspec.json.format(msgspec.json.encode(content), indent=0).decode()
    if read_entry(line) != entry:
        raise ValueError(f"the log cannot hold {entry}")
    return line


def read_entry(line: str) -> Entry:
    """The entry of one line. Raises DamagedEntry."""
    try:
        content = msgspec.json.decode(line, type=dict[str, Any])
        head = {name: content.pop(name, None) for name in ("number", "at", "by", "follows")}
        entry = msgspec.convert(head | {"event": content}, Entry)
    except (msgspec.MsgspecError, ValueError, OverflowError, RecursionError, WrongUse) as error:
        raise DamagedEntry(str(error)) from error
    if msgspec.json.decode(msgspec.json.encode(entry.event)) != content:
        raise DamagedEntry("the line says more than an entry can, or less")
    return entry


def kept_entries(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """All entries but those struck by a later one, and patterns that do not stand by what was answered about them.

    A strike or an answer that is struck itself does not count.
    """
    gone = gone_entries(entries)
    return tuple(entry for entry in entries if entry.number not in gone)


def gone_entries(entries: Sequence[Entry]) -> dict[int, int]:
    """Numbers of the entries that no longer count, each with the number of the entry that struck it, or by which a
    pattern does not stand.
    """
    return disowned_entries(entries) | struck_entries(entries)


def fallen_references(entries: Sequence[Entry]) -> dict[int, int]:
    """Numbers of the patterns that were held against one of the job that counts no more, each with the number of that
    one. A print that was judged twice counts as long as one of both does.
    """
    gone, fallen = gone_entries(entries), dict[int, int]()
    patterns = [(one.number, one.event) for one in entries if isinstance(one.event, Pattern)]
    for number, pattern in patterns:
        held = [other for other, each in patterns if other != number and each.is_reference(pattern.target)]
        if held and all(one in gone for one in held):
            fallen[number] = held[-1]
    return fallen


def gone_entry(number: int, entries: Sequence[Entry]) -> GoneEntry | None:
    """How an entry no longer counts; None where it does."""
    by, struck = gone_entries(entries).get(number), struck_entries(entries)
    return None if by is None else GoneEntry(number, None if number in struck else by)


def disowned_entries(entries: Sequence[Entry]) -> dict[int, int]:
    """Numbers of the patterns that do not stand by an answer that counts, each with the number of its entry."""
    struck, asked, disowned = struck_entries(entries), dict[int, set[str]](), dict[int, int]()
    for entry in entries:
        match entry.event:
            case Pattern():
                asked[entry.number] = {one.code for one in entry.event.questions}
            case Replied(number, question, stands=False) if entry.number not in struck:
                if question in asked.get(number, ()):
                    disowned.setdefault(number, entry.number)
    return disowned


def struck_entries(entries: Sequence[Entry]) -> dict[int, int]:
    """Numbers of the entries that no longer count, each with the number of the last entry that struck it."""
    numbers, struck = {entry.number for entry in entries}, dict[int, int]()
    for entry in reversed(entries):
        if isinstance(entry.event, Struck) and entry.number not in struck:
            target = entry.event.entry
            if target in numbers and target < entry.number:
                struck.setdefault(target, entry.number)
    return struck
