"""One task of many: a photo to read or a machine to judge, done where its worker runs and kept for the next run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.errors import PatternscanError
from patternscan.frame import Flank
from patternscan.reporting.documents.result import judgement_document, reading_document
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.threads import use_one_thread
from patternscan.workflow.batch.cache import fingerprint, lookup, store
from patternscan.workflow.batch.photo_list import ListedPhoto
from patternscan.workflow.batch.summary import Row, flank_row, machine_row, stop_row
from patternscan.workflow.inputs import PhotoInput, ReadingSettings
from patternscan.workflow.judge import JudgeRequest, Outcome, judge_outcomes, read_or_stop
from patternscan.workflow.outputs.answer import Files
from patternscan.workflow.outputs.judgement import judgement_answer, judgement_files
from patternscan.workflow.outputs.reading import reading_answer, reading_files
from patternscan.workflow.read import ReadRequest, read_photo


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
            PhotoInput(one.photo, Flank(str(one.flank)), one.outline, one.tip or PictureSide.UP) for one in self.photos
        )

    @property
    def judge_request(self) -> JudgeRequest:
        """The machine as it is judged when nobody is there."""
        by_folder = all(photo.by_folder for photo in self.photos)
        return JudgeRequest(self.inputs, self.settings, title=self.title, by_folder=by_folder, unattended=True)

    def fingerprint(self, whole_sheet: bool) -> str:
        """Known again by what is in the files, the names of the photos and the settings that count, wherever they lie.

        A photo is read without regard to most of the sheet, so that shims and targets may be entered later.
        """
        settings = replace(self.settings, max_megapixels=0.0)
        photos = [(one.photo.name, one.flank, one.tip) for one in self.inputs]
        counting = (
            (settings, self.title, self.judge_request.by_folder)
            if whole_sheet
            else (settings.pair, settings.marking, settings.compound, settings.cautions, settings.snap)
        )
        files = (path for one in self.inputs for path in (one.photo, one.outline))
        return fingerprint(files, (photos, counting))


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


def read_task(task: Task) -> TaskResult:
    """Read the one photo of a task and lay its report and pictures down; what an earlier run kept is reused."""
    return _done_once(task, _read)


def judge_task(task: Task) -> TaskResult:
    """Judge the photos of one machine and lay report and pictures down; what an earlier run kept is reused.

    A photo that cannot be read is left out, and the judgement carries a caution. Inputs that contradict each other
    stop the machine.
    """
    return _done_once(task, _judge)


def stopped(title: str, photos: Sequence[ListedPhoto], stop: PatternscanError, machine: bool = False) -> TaskResult:
    """The result of what could not be done at all: a photo, or a machine and its photos."""
    line = stop_row(stop)
    lines = tuple(_named(line, photo, "") for photo in photos)
    return TaskResult(lines, {**line, "machine": title} if machine else None)


def _done_once(task: Task, make: Callable[[Task], Work]) -> TaskResult:
    use_one_thread()
    try:
        mark = task.fingerprint(whole_sheet=make is _judge)
        kept = lookup(task.folder, mark, task.overwrite)
        if kept is not None:
            return _result(task, Work(kept["flanks"], kept["machine"], {}), True)
        work = make(task)
        if work.files:
            store(task.folder, work.files, mark, {"flanks": work.flanks, "machine": work.machine})
        return _result(task, work, False)
    except PatternscanError as stop:
        return stopped(task.title, task.photos, stop, make is _judge)


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


def _read(task: Task) -> Work:
    result = read_photo(ReadRequest(task.inputs[0], task.settings))
    rows = _flank_rows(result.readings)
    return Work([rows], None, reading_files(Path(), result, reading_answer(result)))


def _judge(task: Task) -> Work:
    request = task.judge_request
    outcomes = [read_or_stop(photo, task.settings) for photo in request.photos]
    flanks = [_flank_rows(outcome) for outcome in outcomes]
    try:
        result = judge_outcomes(request, outcomes)
    except PatternscanError as stop:
        return Work(flanks, stop_row(stop), {})
    files = judgement_files(Path(), result, judgement_answer(result))
    return Work(flanks, machine_row(judgement_document(result.judgement)), files)


def _flank_rows(outcome: Outcome) -> list[Row]:
    """A line for each flank that was read, or the one that says why there is none."""
    if isinstance(outcome, PatternscanError):
        return [stop_row(outcome)]
    return [flank_row(flank) for flank in reading_document(outcome[0].photo, outcome)["flanks"]]
