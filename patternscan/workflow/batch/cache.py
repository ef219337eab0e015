"""What is kept of each task in a folder of its own: whole or not at all, and known again in the next run."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from patternscan.errors import CannotWrite
from patternscan.reporting.kept.files import file_digest
from patternscan.version import __version__
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.inputs.photo_list import RECORD

FORMAT, VERSION = "patternscan-record", 1

Document = dict[str, Any]


def fingerprint(files: Iterable[Path | None], settings: object) -> str:
    """One number (SHA-256) for the contents of files, the settings by their printed form, and the tool's version."""
    contents = [None if path is None else file_digest(path) for path in files]
    told = json.dumps([__version__, VERSION, contents, repr(settings)])
    return hashlib.sha256(told.encode()).hexdigest()


def lookup(folder: Path, mark: str, overwrite: bool) -> Document | None:
    """What an earlier run kept in this folder; None when it is to be done (again).

    Raises CannotWrite when the folder holds something else and nothing may be written over.
    """
    record = _record(folder)
    if record is not None and record["fingerprint"] == mark:
        whole = all((folder / name).is_file() for name in record["files"])
        return record["content"] if whole else None
    if os.path.lexists(folder) and not overwrite:
        raise CannotWrite(
            f"{folder} holds the result of another photo or of other settings.",
            "Give another folder with --out, or --overwrite to replace it.",
        )
    return None


def store(folder: Path, files: Mapping[Path, bytes], mark: str, content: Document) -> None:
    """Lay files and content down in this folder, in place of an older result. Raises CannotWrite.

    All is first written beside it under another name, so that a run that is killed leaves no half of a result.
    """
    names = sorted(path.as_posix() for path in files)
    record = {"format": FORMAT, "version": VERSION, "fingerprint": mark, "files": names, "content": content}
    waiting, old = (folder.with_name(f".{folder.name}.{end}") for end in ("partial", "old"))
    try:
        for left_over in (waiting, old):
            shutil.rmtree(left_over, ignore_errors=True)
        text = json.dumps(record, indent=1, allow_nan=False) + "\n"
        deliver({waiting / path: content for path, content in {**files, Path(RECORD): text.encode()}.items()}, False)
        if os.path.lexists(folder):
            _refuse_strangers(folder)
            folder.rename(old)
        waiting.rename(folder)
    except OSError as error:
        raise CannotWrite(
            f"{folder} cannot be written: {error.strerror or error}.", "Give another place, one that you may write to."
        ) from error
    finally:
        for left_over in (waiting, old):
            shutil.rmtree(left_over, ignore_errors=True)


def _record(folder: Path) -> Document | None:
    """The record in a folder, None when there is no sound one."""
    try:
        record = json.loads((folder / RECORD).read_bytes())
        sound = record["format"] == FORMAT and record["version"] == VERSION
        return record if sound and {"fingerprint", "files", "content"} <= record.keys() else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _refuse_strangers(folder: Path) -> None:
    """Raise CannotWrite when a folder holds more than its record names: only what this tool wrote is replaced."""
    record = _record(folder)
    own = {RECORD, *(record["files"] if record else ())}
    strange = sorted({path.name for path in folder.iterdir()} - own) if folder.is_dir() else [folder.name]
    if strange:
        raise CannotWrite(
            f"{folder} holds {strange[0]}, which this tool did not write.", "Move it elsewhere, or give another --out."
        )
