"""Judging many machines, each into a folder of its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from patternscan.errors import PatternscanError
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.workflow.batch.cache import fingerprint
from patternscan.workflow.batch.folder_names import FolderNames
from patternscan.workflow.batch.run import Batch, BatchResult, Tell, carry_out
from patternscan.workflow.batch.sheet_settings import SettingsBySheet
from patternscan.workflow.batch.summary import machine_row, stop_row
from patternscan.workflow.batch.task import Task, TaskResult, Work, done_once, flank_rows, stopped
from patternscan.workflow.inputs.machine_folder import refuse_two_machines, refuse_two_visits
from patternscan.workflow.inputs.photo_list import ListedPhoto, by_machine, with_flanks
from patternscan.workflow.judge import JudgeRequest, judge_outcomes
from patternscan.workflow.outputs.judgement import judgement_answer, judgement_files
from patternscan.workflow.read import read_or_stop


def judge_batch(batch: Batch, tell: Tell) -> BatchResult:
    """Judge every machine, each into a folder of its own, and write one table more."""
    settings, names = SettingsBySheet(batch.request.settings), FolderNames()
    plans: list[Task | TaskResult] = []
    for machine, own in by_machine(batch.photos).items():
        photos, unsaid = _with_and_without_flank(own)
        plans.extend(stopped(photo.name, [photo], stop) for photo, stop in unsaid)
        try:
            if not photos:
                raise unsaid[0][1]
            folder = batch.out / "machines" / names.fresh(machine)
            plans.append(Task(machine, tuple(photos), settings.of(own), folder, batch.request.overwrite))
        except PatternscanError as stop:
            plans.append(stopped(machine, photos, stop, machine=True))
    return carry_out(batch, plans, judge_task, tell, machines=True)


def judge_task(task: Task) -> TaskResult:
    """Judge the photos of one machine and lay report and pictures down; what an earlier run kept is reused.

    A photo that cannot be read is left out, and the judgement carries a caution. Inputs that contradict each other
    stop the machine.
    """
    return done_once(task, judgement_mark(task), _judge, machine=True)


def judgement_mark(task: Task) -> str:
    """The machine of a task is known again by what is in its files, their names and all settings."""
    settings = replace(task.settings, max_megapixels=0.0)
    return fingerprint(task.files, (task.named, settings, task.title, task.by_folder))


def _judge(task: Task) -> Work:
    request = JudgeRequest(task.inputs, task.settings, title=task.title, by_folder=task.by_folder, unattended=True)
    refuse_two_visits(request.photos)
    if task.by_folder:
        refuse_two_machines(request.photos)
    outcomes = [read_or_stop(photo, task.settings) for photo in request.photos]
    flanks = [flank_rows(outcome) for outcome in outcomes]
    try:
        result = judge_outcomes(request, outcomes)
    except PatternscanError as stop:
        return Work(flanks, stop_row(stop), {})
    files = judgement_files(Path(), {}, result, judgement_answer(result))
    return Work(flanks, machine_row(judgement_document(result.judgement, result.made)), files)


def _with_and_without_flank(
    photos: Iterable[ListedPhoto],
) -> tuple[list[ListedPhoto], list[tuple[ListedPhoto, PatternscanError]]]:
    """The photos whose flank is said, and those where it is not, each with the reason."""
    said: list[ListedPhoto] = []
    unsaid: list[tuple[ListedPhoto, PatternscanError]] = []
    for photo in photos:
        try:
            said.extend(with_flanks(photo))
        except PatternscanError as stop:
            unsaid.append((photo, stop))
    return said, unsaid
