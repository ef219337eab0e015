"""Files go out here: whole or not at all, never over an input, never over an older file unless asked."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import NamedTemporaryFile

from patternscan.errors import CannotWrite


def deliver(files: Mapping[Path, bytes], overwrite: bool, originals: Sequence[Path] = ()) -> tuple[Path, ...]:
    """Write all files, making their folders when missing. Raises CannotWrite and then leaves no new file behind.

    ``originals`` are the inputs of the run; they are refused as targets even with ``overwrite``.
    """
    for target in files:
        _refuse(target, overwrite, originals)
    for folder in {target.parent for target in files}:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _cannot_write(folder, error) from error
    _write_all(files)
    return tuple(files)


def _refuse(target: Path, overwrite: bool, originals: Sequence[Path]) -> None:
    if any(_same_file(target, original) for original in originals):
        raise CannotWrite(f"{target} is an input of this run.", "Give another folder or name for the output.")
    if target.is_dir():
        raise CannotWrite(f"{target} is a folder.", "Give another name for the output.")
    if os.path.lexists(target) and not overwrite:
        raise CannotWrite(f"{target} is already there.", "Give another folder, or --overwrite to replace it.")


def _same_file(first: Path, second: Path) -> bool:
    return first.resolve() == second.resolve() or (first.exists() and second.exists() and first.samefile(second))


def _write_all(contents: Mapping[Path, bytes]) -> None:
    """First every file under a temporary name, then all renamed; what was made is removed when one fails."""
    waiting: dict[Path, Path] = {}
    target = Path()
    try:
        for target, content in contents.items():
            waiting[target] = _write_waiting(target, content)
        _rename_all(waiting)
    except OSError as error:
        raise _cannot_write(target, error) from error
    finally:
        for temporary in waiting.values():
            temporary.unlink(missing_ok=True)


def _rename_all(waiting: Mapping[Path, Path]) -> None:
    """Give every file its name. When one cannot have it, those that are new here are taken back."""
    new: list[Path] = []
    target = Path()
    try:
        for target, temporary in waiting.items():
            is_new = not target.exists()
            os.replace(temporary, target)
            if is_new:
                new.append(target)
    except OSError as error:
        for made in new:
            made.unlink(missing_ok=True)
        raise _cannot_write(target, error) from error


def _write_waiting(target: Path, content: bytes) -> Path:
    with NamedTemporaryFile(dir=target.parent, prefix=f".{target.name}.", delete=False) as file:
        temporary = Path(file.name)
        try:
            file.write(content)
        except OSError:
            temporary.unlink(missing_ok=True)
            raise
    temporary.chmod(0o644)
    return temporary


def _cannot_write(target: Path, error: OSError) -> CannotWrite:
    return CannotWrite(
        f"{target} cannot be written: {error.strerror or error}.", "Give another place, one that you may write to."
    )
