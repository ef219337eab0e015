"""Photos on their way in, piece by piece, so that a broken connection goes on where it broke off."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from filelock import FileLock

from patternscan.errors import CannotWrite, WrongUse
from patternscan.frame import Flank
from patternscan.reporting.text.web.reading_words import NO_PHOTO, NOT_WHOLE, SAME_PHOTO
from patternscan.web.drafts.draft import Draft, DraftPhoto
from patternscan.web.drafts.store import DraftFolder

UPLOAD = re.compile(r"[0-9a-f]{1,16}")
"""What a browser calls a file that it sends in pieces; it makes it of name, size and time."""
MOST_BYTES = 40_000_000
MOST_UPLOADS = 8
MOST_PHOTOS = 40
PIECE_BYTES = 1 << 20
SUFFIXES = {".jpg", ".jpeg", ".png", ".webp", ".avif", ".heic", ".heif", ".tif", ".tiff"}
TOO_MANY = ("There are too many photos in this reading.", "Begin another reading; 40 photos are plenty.")


@dataclass(frozen=True, slots=True)
class Incoming:
    """The pieces that a draft's photos come in."""

    folder: DraftFolder

    def size(self, upload: str) -> int:
        """How many bytes of a file are here already. Raises WrongUse for a name that no browser of ours gives."""
        path = self._path(upload)
        return path.stat().st_size if path.exists() else 0

    def add(self, upload: str, at: int, piece: IO[bytes]) -> int:
        """Put a piece where it belongs, unless it is here already; gives how many bytes are here now.

        Raises WrongUse, also for more than MOST_BYTES and MOST_UPLOADS, CannotWrite.
        """
        path = self._path(upload)
        with _written():
            path.parent.mkdir(exist_ok=True)
        if not path.exists() and len(list(path.parent.glob("*.part"))) >= MOST_UPLOADS:
            raise WrongUse(*TOO_MANY)
        with _written(), self.alone(), path.open("ab") as file:
            if file.tell() == at:
                file.write(piece.read(max(0, MOST_BYTES + 1 - at)))
            return file.tell()

    def alone(self) -> FileLock:
        """Nobody else works at the uploads of this draft meanwhile."""
        return FileLock(self.folder.path / ".incoming.lock")

    def whole(self, upload: str, size: int) -> Path:
        """The file when all of it is here. Raises WrongUse."""
        if not size or self.size(upload) != size or size > MOST_BYTES:
            raise WrongUse(*NOT_WHOLE)
        return self._path(upload)

    def received(self, file: IO[bytes]) -> Path:
        """A file that came in one piece. Raises CannotWrite."""
        path = self._path(os.urandom(8).hex())
        try:
            with _written():
                path.parent.mkdir(exist_ok=True)
            with _written(), path.open("wb") as target:
                while piece := file.read(PIECE_BYTES):
                    target.write(piece)
        except CannotWrite:
            path.unlink(missing_ok=True)
            raise
        return path

    def _path(self, upload: str) -> Path:
        if UPLOAD.fullmatch(upload) is None:
            raise WrongUse(*NOT_WHOLE)
        return self.folder.path / "incoming" / f"{upload}.part"


def take_photo(folder: DraftFolder, flank: Flank, path: Path, name: str, upload: str = "") -> Draft:
    """Put a file that came whole among the originals, onto the disk, and into the draft; a photo that is there is one.

    What came in goes only when all that is done. Raises WrongUse for an empty file, and for a photo that was taken of
    the other flank; its pieces stay, as a page sends its last word again to show what was refused.
    """
    if not path.stat().st_size:
        path.unlink()
        raise WrongUse(*NO_PHOTO)
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
        os.fsync(file.fileno())
    suffix = Path(name).suffix.casefold()
    came = DraftPhoto(0, flank, suffix if suffix in SUFFIXES else ".jpg", digest, upload)
    draft = folder.change(_with_file(folder, path, came))
    path.unlink(missing_ok=True)
    return draft


def _with_file(folder: DraftFolder, path: Path, came: DraftPhoto) -> Callable[[Draft], Draft]:
    def change(draft: Draft) -> Draft:
        same = draft.same_as(came.sha256)
        if same is not None:
            if same.flank is not came.flank:
                if not came.upload:
                    path.unlink()
                raise WrongUse(*SAME_PHOTO)
            return draft.come_again(same, came.upload)
        if len(draft.photos) >= MOST_PHOTOS:
            raise WrongUse(*TOO_MANY)
        after = draft.with_photo(came)
        with _written():
            _put(path, folder.photo_path(after.photos[-1]))
        return after

    return change


@contextmanager
def _written() -> Iterator[None]:
    """What cannot be written ends as CannotWrite."""
    try:
        yield
    except OSError as error:
        raise CannotWrite(f"The photo cannot be kept: {error.strerror or error}.", "Make room on the disk.") from error


def _put(path: Path, target: Path) -> None:
    """The same file under a second name, in place of what a run left there that was killed."""
    target.parent.mkdir(exist_ok=True)
    target.unlink(missing_ok=True)
    try:
        os.link(path, target)
    except OSError:  # not on every disk
        shutil.copyfile(path, target)
