"""Drafts on the disk, each in a folder; a change is on the disk before anybody is told of it."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TypeVar

import msgspec
from filelock import FileLock

from patternscan.errors import WrongUse
from patternscan.web.drafts.draft import Draft, DraftPhoto
from patternscan.web.drafts.look import Look, Said
from patternscan.workflow.disk.one_file import replace_file

Kind = TypeVar("Kind")
KEY = re.compile(r"\d{8}-\d{6}-[0-9a-f]{12}")
STAMP, STAMP_LETTERS = "%Y%m%d-%H%M%S", 15
DRAFT_NAME, LOCK_NAME = "reading.json", ".lock"


class NoSuchDraft(WrongUse):
    """There is no reading of this name."""

    def __init__(self) -> None:
        super().__init__("There is no such reading here.", "Go back to the first page and begin one.")


@dataclass(frozen=True, slots=True)
class DraftFolder:
    """The folder of one draft and the files in it."""

    path: Path

    def read(self) -> Draft:
        """The draft as it is now. Raises NoSuchDraft."""
        draft = kept(self.path / DRAFT_NAME, Draft)
        if draft is None or draft.thrown_away:
            raise NoSuchDraft
        return draft

    def change(self, changed: Callable[[Draft], Draft]) -> Draft:
        """Change the draft, one person after the other, and put it onto the disk. Raises NoSuchDraft, CannotWrite."""
        with FileLock(self.path / LOCK_NAME):
            before = self.read()
            after = changed(before)
            if after != before:
                keep(self.path / DRAFT_NAME, after)
            return after

    def photo_path(self, photo: DraftPhoto) -> Path:
        """The photo as it came, kept apart from all that is shown."""
        return self.path / "originals" / photo.file_name

    def look(self, photo: DraftPhoto) -> Look | None:
        """What was seen in this version of the photo, None when nobody has looked yet."""
        return kept(self.path / photo.made_of("look.json"), Look)

    def outline_path(self, photo: DraftPhoto) -> Path:
        """The outline of this version of the photo."""
        return self.path / photo.made_of("outline.json")

    def answer_path(self, draft: Draft) -> Path:
        """The folder of the answer that was asked for last."""
        return self.path / f"answer_{draft.asked}"

    def look_progress(self, photo: DraftPhoto) -> Path:
        """Where the look at this version of the photo tells how far it is."""
        return self.path / photo.made_of("progress.json")

    def answer_progress(self, draft: Draft) -> Path:
        """Where the work at the answer tells how far it is."""
        return self.path / f"answer_{draft.asked}.progress.json"

    def answer_stop(self, draft: Draft) -> Said | None:
        """Why there can be no answer, None when there is one or it is still being made."""
        return kept(self.path / f"answer_{draft.asked}.stop.json", Said)


@dataclass(frozen=True, slots=True)
class DraftStore:
    """All drafts in a folder."""

    path: Path

    def begin(self, by: str) -> Draft:
        """A new draft by a person who says that the machine is safe."""
        now = datetime.now().astimezone().replace(microsecond=0)
        key = f"{self._next_stamp(now):{STAMP}}-{secrets.token_hex(6)}"
        draft = Draft(key, now, by)
        keep(self.path / key / DRAFT_NAME, draft)
        return draft

    def _next_stamp(self, now: datetime) -> datetime:
        """The time that names a new draft: now, but after all others, also when the clock was set back meanwhile."""
        now = now.replace(tzinfo=None)
        names = self.path.iterdir() if self.path.is_dir() else ()
        newest = max((one.name[:STAMP_LETTERS] for one in names if KEY.fullmatch(one.name)), default=None)
        return now if newest is None else max(now, datetime.strptime(newest, STAMP) + timedelta(seconds=1))

    def folder(self, key: str) -> DraftFolder:
        """The folder of a draft. Raises NoSuchDraft, also for a key that is no name of one."""
        if KEY.fullmatch(key) is None or not (self.path / key / DRAFT_NAME).is_file():
            raise NoSuchDraft
        return DraftFolder(self.path / key)

    def all(self) -> Iterator[Draft]:
        """Every draft that was not thrown away, the newest first."""
        folders = self.path.iterdir() if self.path.is_dir() else ()
        for folder in sorted((one for one in folders if KEY.fullmatch(one.name)), reverse=True):
            draft = kept(folder / DRAFT_NAME, Draft)
            if draft is not None and not draft.thrown_away:
                yield draft


def keep(path: Path, record: object) -> None:
    """Put a record onto the disk as JSON. Raises CannotWrite."""
    replace_file(path, msgspec.json.format(msgspec.json.encode(record), indent=1))


def kept(path: Path, kind: type[Kind]) -> Kind | None:
    """A record from the disk; None when it is not there or is damaged."""
    try:
        return msgspec.json.decode(path.read_bytes(), type=kind)
    except (OSError, msgspec.MsgspecError):
        return None
