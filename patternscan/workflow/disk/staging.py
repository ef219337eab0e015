"""A hidden folder in which files wait, whole and on the disk, until all are there and get their names."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import mkdtemp

from filelock import FileLock, Timeout

PREFIX, LOCK, HELD = ".patternscan-", "lock", "held"
"""A folder of its own says that the lock was taken: Windows lets nobody write into a locked one."""
NEW, OLD = "new", "old"
"""Inside: the files that wait for their names, and those whose names they take."""
UNLOCKED_SECONDS = 2.0
"""A waiting folder without its lock is just being made, or its run died in that moment; after so long it did."""


@contextmanager
def waiting_folder(folder: Path) -> Iterator[Path]:
    """A waiting folder inside this one, held by a lock that ends with the process, and gone in the end."""
    place = Path(mkdtemp(prefix=PREFIX, dir=folder))
    try:
        with FileLock(place / LOCK):
            for name in (NEW, OLD, HELD):
                (place / name).mkdir()
            yield place
    finally:
        shutil.rmtree(place, ignore_errors=True)


def clean_up(folder: Path) -> None:
    """Take away what dead runs left in a folder; where one died between two names, the older files come back."""
    for place in folder.glob(f"{PREFIX}*"):
        with suppress(OSError):
            if _is_dead(place):
                if any(place.glob(f"{NEW}/*")):
                    _put_back(place, folder)
                shutil.rmtree(place, ignore_errors=True)


def write_waiting(place: Path, name: str, content: bytes) -> None:
    """Lay a file down in a waiting folder, onto the disk."""
    with (place / NEW / name).open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def names_given(place: Path, folder: Path, names: Sequence[str]) -> Iterator[None]:
    """Give the waiting files their names, in this order; when what follows breaks off, all is as it was.

    Older files of these names wait in their place till the end, and the last one moves away first: without it the
    others count for nothing.
    """
    given: list[str] = []
    try:
        for name in reversed(names):
            if os.path.lexists(folder / name):
                os.replace(folder / name, place / OLD / name)
        for name in names:
            given.append(name)
            os.replace(place / NEW / name, folder / name)
        _sync(folder)
        yield
    except BaseException:
        for name in given:
            (folder / name).unlink(missing_ok=True)
        _put_back(place, folder)
        raise


def _put_back(place: Path, folder: Path) -> None:
    for path in place.glob(f"{OLD}/*"):
        os.replace(path, folder / path.name)


def _is_dead(place: Path) -> bool:
    """Whether nobody holds the lock of a waiting folder any more."""
    if not (place / HELD).exists():
        return time.time() - place.stat().st_mtime > UNLOCKED_SECONDS
    try:
        with FileLock(place / LOCK, timeout=0):
            return True
    except Timeout:
        return False


def _sync(folder: Path) -> None:
    """The names onto the disk, too, where the system lets folders be opened."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
