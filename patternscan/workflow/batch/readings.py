"""Reading many photos, each into a folder of its own."""

from __future__ import annotations

from pathlib import Path

from patternscan.errors import PatternscanError
from patternscan.workflow.batch.cache import fingerprint
from patternscan.workflow.batch.folder_names import FolderNames
from patternscan.workflow.batch.run import Batch, BatchResult, Tell, carry_out
from patternscan.workflow.batch.sheet_settings import SettingsBySheet
from patternscan.workflow.batch.task import Task, TaskResult, Work, done_once, flank_rows, stopped
from patternscan.workflow.inputs.photo_list import with_flanks
from patternscan.workflow.outputs.reading import reading_answer, reading_files
from patternscan.workflow.read import ReadRequest, read_photo


def read_batch(batch: Batch, tell: Tell) -> BatchResult:
    """Read all photos, each into a folder of its own, and write one table."""
    settings, names = SettingsBySheet(batch.request.settings), FolderNames()
    plans: list[Task | TaskResult] = []
    for photo in batch.photos:
        try:
            for one in with_flanks(photo, batch.request.flank):
                folder = batch.out / "photos" / names.fresh(f"{one.photo.name}.{one.flank}")
                title = f"{one.name} ({one.flank} flank)"
                plans.append(Task(title, (one,), settings.of([one]), folder, batch.request.overwrite))
        except PatternscanError as stop:
            plans.append(stopped(photo.name, [photo], stop))
    return carry_out(batch, plans, read_task, tell)


def read_task(task: Task) -> TaskResult:
    """Read the one photo of a task and lay its report and pictures down; what an earlier run kept is reused."""
    return done_once(task, reading_mark(task), _read)


def reading_mark(task: Task) -> str:
    """The photo of a task is known again by what is in its files, its name and the settings that count.

    It is read without regard to most of the sheet, so that shims and targets may be entered later.
    """
    settings = task.settings
    told = (
        settings.pair,
        settings.sheet.tag_pair,
        settings.told,
        settings.marking,
        settings.compound,
        settings.cautions,
    )
    counting = (*told, settings.snap, settings.widening)
    return fingerprint(task.files, (task.named, counting))


def _read(task: Task) -> Work:
    result = read_photo(ReadRequest(task.inputs[0], task.settings))
    files = reading_files(Path(), result, reading_answer(result))
    return Work([flank_rows(result.readings)], None, files)
