"""Everything of a machine as one archive, made while it is sent."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path

from flask import Blueprint, Response

from patternscan.web.door.site import site

screens = Blueprint("archive", __name__, url_prefix="/machines/<machine>")
PIECE_BYTES = 1 << 18


@screens.get("/archive.zip")
def sent(machine: str) -> Response:
    """The machine's job and its readings, all files."""
    job = site().job(machine)
    drafts = site().drafts
    folders = [drafts.folder(one.key).path for one in drafts.all() if one.machine == machine]
    files = _files(job.parent, [job, *folders])
    answer = Response(_zipped(files), mimetype="application/zip")
    answer.headers["Content-Disposition"] = f'attachment; filename="{machine}.zip"'
    return answer


def _files(root: Path, folders: list[Path]) -> Iterator[tuple[Path, str]]:
    for folder in folders:
        for path in sorted(folder.rglob("*")):
            if path.is_file() and not path.is_symlink() and not path.name.startswith("."):
                yield path, path.relative_to(root).as_posix()


def _zipped(files: Iterator[tuple[Path, str]]) -> Iterator[bytes]:
    """The archive piece by piece, so that it never stands in memory whole; photos are small already."""
    sink = _Sink()
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_STORED) as target:
        for path, name in files:
            with path.open("rb") as source, target.open(zipfile.ZipInfo.from_file(path, name), "w") as written:
                while piece := source.read(PIECE_BYTES):
                    written.write(piece)
                    yield sink.taken()
            yield sink.taken()
    yield sink.taken()


class _Sink(io.RawIOBase):
    """Where an archive writes, and from where it is taken away at once; nobody can go back in it."""

    def __init__(self) -> None:
        self._waiting = bytearray()

    def writable(self) -> bool:
        """It is."""
        return True

    def write(self, content: object) -> int:
        """Keep it until it is taken."""
        piece = bytes(content)  # type: ignore[call-overload]
        self._waiting += piece
        return len(piece)

    def taken(self) -> bytes:
        """What was written since the last time."""
        piece = bytes(self._waiting)
        self._waiting.clear()
        return piece
