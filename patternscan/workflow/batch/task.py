"""One task of many: a photo to read or a machine to judge, done where its worker runs and kept for the next run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from patternscan.errors import PatternscanError
from patternscan.frame import Flank
from patternscan.reporting.documents.parts import rounded
from patternscan.reporting.documents.reading import flank_part
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.seeing.image.threads import use_one_thread
from patternscan.workflow.batch.cache import lookup, store
from patternscan.workflow.batch.summary import Row, flank_row, stop_row
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.photo_list import ListedPhoto
from patternscan.workflow.inputs.settings import ReadingSettings
from patternscan.workflow.outputs.answer import Files
from patternscan.workflow.read import Outcome


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be done: photos by their paths, each with its flank, and the folder for the result. It can be sent."""

    title: str
    photos: tuple[ListedPhoto, ...]
    settings: ReadingSettings
    folder: Path
    overwrite: bool = False

    @property
    def inputs(self) -> tuple[PhotoInput, ...]:
        """The photos as they are read; a flank that is not said is a fault of the caller."""
        return tuple(
            PhotoInput(one.photo, Flank(str(one.flank)), one.outline, one.tip, told=one.told) for one in self.photos
        )

    @property
    def files(self) -> list[Path | None]:
        """Photos and outline files, in their order."""
        return [path for one in self.photos for path in (one.photo, one.outline)]

    @property
    def named(self) -> list[tuple[str, Flank, PictureSide | None, ToldMedium]]:
        """The photos by their names, wherever they lie, as they are to be read."""
        return [(one.photo.name, one.flank, one.tip, one.told) for one in self.inputs]

    @property
    def by_folder(self) -> bool:
        """Whether the machine goes by no more than the name of its folder."""
        return all(photo.by_folder for photo in self.photos)


@dataclass(frozen=True, slots=True)
class TaskResult:
    """What comes back, small enough to be sent: lines of the tables, and whether an earlier run had done it all."""

    flanks: tuple[Row, ...]
    machine: Row | None = None
    reused: bool = False

    @property
    def title(self) -> str:
        """The machine, or else the photo."""
        line = self.machine or self.flanks[0]
        return str(line.get("photo") or line["machine"])

    @property
    def stop(self) -> Row | None:
        """The line that tells why the machine could not be judged, or else the photo not read; None when it could."""
        line = self.machine or self.flanks[0]
        return line if line["code"] else None


@dataclass(frozen=True, slots=True)
class Work:
    """What a task came to: lines for each photo, the line of the machine, and the files by their names."""

    flanks: list[list[Row]]
    machine: Row | None
    files: Files


def stopped(title: str, photos: Sequence[ListedPhoto], stop: PatternscanError, machine: bool = False) -> TaskResult:
    """The result of what could not be done at all: a photo, or a machine and its photos."""
    line = stop_row(stop)
    lines = tuple(_named(line, photo, "") for photo in photos)
    return TaskResult(lines, {**line, "machine": title} if machine else None)


def done_once(task: Task, mark: str, make: Callable[[Task], Work], machine: bool = False) -> TaskResult:
    """Do a task and lay its files down; what an earlier run kept under the same ``mark`` is reused.

    ``machine``: whether the task is a machine to judge, so that a stop is one of the machine.
    """
    use_one_thread()
    try:
        kept = lookup(task.folder, mark, task.overwrite)
        if kept is not None:
            return _result(task, Work(kept["flanks"], kept["machine"], {}), True)
        work = make(task)
        if work.files:
            store(task.folder, work.files, mark, {"flanks": work.flanks, "machine": work.machine})
        return _result(task, work, False)
    except PatternscanError as stop:
        return stopped(task.title, task.photos, stop, machine)


def flank_rows(outcome: Outcome) -> list[Row]:
    """A line for each flank that was read, or the one that says why there is none."""
    if isinstance(outcome, PatternscanError):
        return [stop_row(outcome)]
    return [flank_row(rounded(flank_part(reading))) for reading in outcome]


def _result(task: Task, work: Work, reused: bool) -> TaskResult:
    """The lines with their names, which are the list's and no part of what is kept."""
    machine = work.machine
    failed = machine is not None and machine["code"]
    place = "" if failed else f"{task.folder.parent.name}/{task.folder.name}"
    lines = [
        _named(line, photo, "" if line["code"] else place)
        for photo, own in zip(task.photos, work.flanks, strict=True)
        for line in own
    ]
    if machine is not None:
        machine = {**machine, "machine": task.title, "folder": place}
    return TaskResult(tuple(lines), machine, reused)


def _named(line: Row, photo: ListedPhoto, place: str) -> Row:
    flank = {"flank": str(photo.flank)} if photo.flank else {}
    return {**flank, **line, "photo": photo.name, "machine": photo.machine, "folder": place}
