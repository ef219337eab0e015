"""What a sentence calls the thing that a person takes hold of: an option on the terminal, a field or button on a page.

A sentence holds a place for it; the door through which a person came in says what it is called there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from enum import StrEnum


class Handle(StrEnum):
    """What a person takes hold of; ``LOG`` is an entry of the log, and takes the words after its command,
    ``ANSWER`` the number of a pattern that asks, ``MARKING`` a marking, ``SEEN`` which side of a print is seen.
    """

    OUTLINE = "outline"
    TIP = "tip"
    COMPOUND = "compound"
    MARKING = "marking"
    FILM = "film"
    LARGER = "larger"
    LOG = "log"
    ANSWER = "answer"
    ENTRIES = "entries"
    SURE = "sure"
    MAKER = "maker"
    START = "start"
    SHEET = "sheet"
    SEEN = "seen"


Names = Callable[[Handle, str], str]
"""What a handle is called at a door; the text is what it takes, such as an entry's words."""
ON_TERMINAL: Mapping[Handle, str] = {
    Handle.OUTLINE: "on the page that 'patternscan outline PHOTO' writes",
    Handle.TIP: "with --tip",
    Handle.COMPOUND: "--compound",
    Handle.MARKING: "with --marking {}",
    Handle.FILM: "--film",
    Handle.LARGER: "with --max-megapixels",
    Handle.LOG: "'patternscan log {}'",
    Handle.ANSWER: "with 'patternscan log answer {} WORD NAME', the word being",
    Handle.ENTRIES: "with 'patternscan log show'",
    Handle.SURE: "with --sure",
    Handle.MAKER: "--occasion maker",
    Handle.START: "with 'patternscan start'",
    Handle.SHEET: "with --sheet",
    Handle.SEEN: "with --seen {}",
}


def name_on_terminal(handle: Handle, entry: str) -> str:
    """What it is called on the command line."""
    return ON_TERMINAL[handle].format(entry)


_door: ContextVar[Names] = ContextVar("door", default=name_on_terminal)


def named(handle: Handle, entry: str = "") -> str:
    """What it is called at the door through which a person came in, the terminal where none was said.

    >>> named(Handle.LOG, "secured NAME")
    "'patternscan log secured NAME'"
    """
    return _door.get()(handle, entry)


@contextmanager
def at_door(names: Names) -> Iterator[None]:
    """Sentences made meanwhile in this thread call things as they are called at this door."""
    before = _door.set(names)
    try:
        yield
    finally:
        _door.reset(before)
