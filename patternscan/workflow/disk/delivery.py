"""Files go out here: whole or not at all, never over an input, never over an older file unless asked."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from patternscan.errors import CannotWrite
from patternscan.workflow.disk.staging import clean_up, names_given, waiting_folder, write_waiting


def deliver(
    files: Mapping[Path, bytes], overwrite: bool, originals: Sequence[Path] = (), outdated: Collection[Path] = ()
) -> tuple[Path, ...]:
    """Write all files, making their folders when missing. Raises CannotWrite and then leaves all as it was.

    The last file of a folder gets its name last, so that it can vouch for the others. ``originals`` are the inputs of
    the run; they are refused as targets even with ``overwrite``. ``outdated`` are removed when all else is done.
    """
    folders = {target.parent: [one.name for one in files if one.parent == target.parent] for target in files}
    target = next(iter(files), Path())
    try:
        for folder in folders:
            clean_up(folder)
        for target in files:
            refuse_target(target, overwrite, originals)
        with ExitStack() as stack:
            places = {}
            for folder in folders:
                stack.enter_context(_made(folder))
                places[folder] = stack.enter_context(waiting_folder(folder))
            for target, content in files.items():
                write_waiting(places[target.parent], target.name, content)
            for folder, names in folders.items():
                stack.enter_context(names_given(places[folder], folder, names))
    except OSError as error:
        raise _cannot_write(target, error) from error
    for path in set(outdated) - files.keys() - set(originals):
        with suppress(OSError):
            path.unlink()
    return tuple(files)


def try_folder(folder: Path) -> None:
    """Make a folder for results and try whether files can be laid down there. Raises CannotWrite."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        clean_up(folder)
        with waiting_folder(folder) as place:
            write_waiting(place, "trial", b"")
    except OSError as error:
        raise _cannot_write(folder, error) from error


def refuse_used(folder: Path, name: str, overwrite: bool) -> None:
    """Raise CannotWrite, before any work, for a folder that is a file or that holds a result of this name already."""
    try:
        if folder.exists() and not folder.is_dir():
            raise NotADirectoryError
        refuse_target(folder / name, overwrite, ())
    except OSError as error:
        raise _cannot_write(folder, error) from error


def refuse_target(target: Path, overwrite: bool, originals: Sequence[Path]) -> None:
    """Raise CannotWrite for a file that may not be written here."""
    if any(_same_file(target, original) for original in originals):
        raise CannotWrite(f"{target} is an input of this run.", "Give another folder or name for the output.")
    if target.is_dir():
        raise CannotWrite(f"{target} is a folder.", "Give another name for the output.")
    if os.path.lexists(target) and not overwrite:
        raise CannotWrite(f"{target} is already there.", "Give another folder or name, or --overwrite to replace it.")


def _same_file(first: Path, second: Path) -> bool:
    return first.resolve() == second.resolve() or (first.exists() and second.exists() and first.samefile(second))


@contextmanager
def _made(folder: Path) -> Iterator[None]:
    """The folder, made when missing, with those around it; those that were made are gone again when it fails."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for one in missing:
            with suppress(OSError):
                one.rmdir()
        raise


def _cannot_write(target: Path, error: OSError) -> CannotWrite:
    if isinstance(error, FileExistsError | NotADirectoryError):
        file = next((one for one in (target, *target.parents) if os.path.isfile(one)), target)
        return CannotWrite(f"{file} is a file, not a folder.", "Give the name of a folder.")
    return CannotWrite(
        f"{target} cannot be written: {error.strerror or error}.", "Give another place, one that you may write to."
    )
