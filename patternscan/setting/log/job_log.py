"""The log of a setting job: one file of lines that only grows, and the folder it lies in with the machine sheet.

A line is written whole, under a lock, and put on the disk before anyone is told that it is kept. What an interrupted
writer leaves behind stays in the file and is reported, never read as an entry.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from io import FileIO
from itertools import pairwise
from pathlib import Path

from filelock import FileLock

from patternscan.cautions import Caution, caution
from patternscan.errors import CannotWrite, InconsistentInputs, WrongUse
from patternscan.handles import Handle, named
from patternscan.setting.log.entries import DamagedEntry, Entry, entry_line, read_entry
from patternscan.setting.log.events import Event
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.text_file import text_bytes

LOG_NAME, SHEET_NAME, LOCK_NAME = "log.jsonl", "machine.toml", ".log.lock"
HEADER = json.dumps({"format": "patternscan-log", "version": 1})
PATTERNS = "patterns"
"""Folder inside a job for the files of its judgements."""
FOLLOWS_DIGITS = 16

Guard = Callable[["Log"], None]
"""Looks at the log as it is just before a line is added, and raises when the line must not be added."""


@dataclass(frozen=True, slots=True)
class Log:
    """All whole entries in the order of the file, and what is damaged in it."""

    entries: tuple[Entry, ...] = ()
    damage: tuple[Caution, ...] = ()


def start_log(folder: Path, sheet_text: str) -> tuple[Path, ...]:
    """Make the job's folder with a machine sheet and an empty log; a sheet that is there already is kept.

    Returns the files made. Raises WrongUse when a log is there already, CannotWrite. A start that was cut off before a
    word was written is made good.
    """
    other = _file_in_place_of(folder)
    if other is not None:
        raise CannotWrite(f"{other} is a file, not a folder.", "Give the name of a folder for the job.")
    if _has_content(folder / LOG_NAME):
        raise WrongUse(f"A job's log is already in {folder}.", "Go on with it, or give another folder.")
    wanted = [(folder / SHEET_NAME, sheet_text), (folder / LOG_NAME, HEADER + "\n")]
    made = [(path, text) for path, text in wanted if not _has_content(path)]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _lock(folder):
            for path, text in made:
                with path.open("ab", buffering=0) as file:
                    if not _has_content(path):
                        _write_down(file, text.encode())
    except OSError as error:
        raise _cannot_write(folder, error) from error
    return tuple(path for path, _ in made)


def read_job(folder: Path) -> tuple[Sheet, Log]:
    """The machine sheet (an empty one when there is none) and the log of a job. Raises WrongUse."""
    log = read_log(folder)
    path = folder / SHEET_NAME
    return read_sheet(path) if path.exists() else Sheet(), log


def read_log(folder: Path) -> Log:
    """All entries of a job's log, with what is damaged. Raises WrongUse when there is no log that can be read."""
    try:
        content = text_bytes(folder / LOG_NAME)
    except OSError as error:
        raise _no_log(folder, error) from error
    return _read(folder, content)


def append_entry(
    folder: Path, event: Event, by: str | None = None, at: datetime | None = None, guard: Guard | None = None
) -> Entry:
    """Add one entry, whole and on the disk, or none. ``at`` None means now; a given time needs its time zone.

    Raises WrongUse for a time out of order, CannotWrite, and what ``guard`` raises.
    """
    path = folder / LOG_NAME
    try:
        with path.open("r+b", buffering=0) as file, _lock(folder):
            content = text_bytes(path)
            log = _read(folder, content)
            if guard is not None:
                guard(log)
            entry = _next_entry(content, log, event, by, _moment(log, at))
            torn = content and not content.endswith(b"\n")
            _write_down(file, (b"\n" if torn else b"") + entry_line(entry).encode() + b"\n")
            return entry
    except (FileNotFoundError, NotADirectoryError) as error:
        raise _no_log(folder, error) from error
    except OSError as error:
        raise _cannot_write(path, error) from error


def _has_content(path: Path) -> bool:
    return path.is_dir() or (path.exists() and path.stat().st_size > 0)


def _next_entry(content: bytes, log: Log, event: Event, by: str | None, at: datetime) -> Entry:
    number = max((entry.number for entry in log.entries), default=0) + 1
    last = next(line for line in reversed(content.split(b"\n")) if line.strip())
    return Entry(number, at, by, event, _digest(last))


def _moment(log: Log, at: datetime | None) -> datetime:
    """Now, or the given time when it lies neither before the last entry nor in the future. Raises WrongUse."""
    now = datetime.now(UTC).astimezone().replace(microsecond=0)
    if at is None:
        return now
    if at.tzinfo is None:
        raise ValueError("a time needs its time zone")
    last = log.entries[-1] if log.entries else None
    if last is not None and at < last.at:
        raise WrongUse(
            f"{at:%Y-%m-%d %H:%M} lies before the last entry, number {last.number} of {last.at:%Y-%m-%d %H:%M}.",
            "Readings go into the log in their order: leave the time out and say in a note when it was read.",
        )
    if at > now:
        raise WrongUse(f"{at:%Y-%m-%d %H:%M} has not come yet.", "Check the date and the time.")
    return at


def _read(folder: Path, content: bytes) -> Log:
    lines = content.split(b"\n")
    if lines[0].strip() != HEADER.encode():
        raise InconsistentInputs(
            f"{folder / LOG_NAME} is not the log of a setting job.",
            f"Give the folder of a job begun {named(Handle.START)}, or restore its log.",
        )
    entries: list[Entry] = []
    damage: list[Caution] = []
    written = [(number, line) for number, line in enumerate(lines, 1) if line.strip()]
    for (_, before), (number, line) in pairwise(written):
        try:
            entry = read_entry(line.decode())
        except (DamagedEntry, UnicodeDecodeError):
            damage.append(caution("log-line-damaged", line=number))
            continue
        if entry.follows != _digest(before):
            damage.append(caution("log-changed", entry=entry.number, line=number))
        entries.append(entry)
    return Log(tuple(entries), tuple(damage))


def _digest(line: bytes) -> str:
    """What the next line remembers of this one."""
    return hashlib.sha256(line.rstrip(b"\r\n")).hexdigest()[:FOLLOWS_DIGITS]


def _write_down(file: FileIO, content: bytes) -> None:
    """Write at the end and onto the disk, or leave the file as long as it was."""
    length = file.seek(0, os.SEEK_END)
    try:
        while content:
            content = content[file.write(content) :]
        os.fsync(file.fileno())
    except OSError:
        with suppress(OSError):
            file.truncate(length)
        raise


def _lock(folder: Path) -> FileLock:
    """Nobody else may add to the log meanwhile; waits for its turn. The lock ends with the process.

    Whoever may write to the folder may take it, also after somebody else did.
    """
    return FileLock(folder / LOCK_NAME, mode=0o666)


def _no_log(folder: Path, error: OSError) -> WrongUse:
    remedy = f"Give the folder of a job, or begin one {named(Handle.START)}."
    file = _file_in_place_of(folder)
    if file is not None:
        return WrongUse(f"{file} is a file, not the folder of a job.", remedy)
    why = "" if isinstance(error, FileNotFoundError) else f" that can be read ({error.strerror or error})"
    where = "this folder" if folder == Path() else str(folder)
    return WrongUse(f"There is no log of a job{why} in {where}.", remedy)


def _cannot_write(path: Path, error: OSError) -> CannotWrite:
    return CannotWrite(
        f"{path} cannot be written: {error.strerror or error}.", "Nothing was changed. Make room or give another place."
    )


def _file_in_place_of(folder: Path) -> Path | None:
    """The file that stands where this folder, or one that it would lie in, has to be."""
    return next((one for one in (folder, *folder.parents) if one.is_file()), None)
