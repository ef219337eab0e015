"""Many photos at once: where they come from, who works on them, and the tables of what came of all."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Sequence
from concurrent.futures import CancelledError, Future
from contextlib import AbstractContextManager, closing
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.errors import CannotWrite, PatternscanError, WorkersLost, WrongUse
from patternscan.plain_text import shortened
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.workflow.batch.cluster import cluster_workers
from patternscan.workflow.batch.executor import NOBODY_LEFT, Workers, own_threads, was_lost
from patternscan.workflow.batch.request import BatchRequest, holds_many
from patternscan.workflow.batch.summary import MACHINES, SUMMARY, Tables, is_table, table_bytes, tables_of
from patternscan.workflow.batch.task import Task, TaskResult, stopped
from patternscan.workflow.disk.delivery import deliver, try_folder
from patternscan.workflow.inputs.machine_folder import sheets_in
from patternscan.workflow.inputs.photo_list import ListedPhoto, find_photos, list_bytes, read_list, starting_list

LIST = "photos.csv"
Tell = Callable[[int, int, str, TaskResult], None]
"""Hears of each task that is finished: how many are, of how many, which one, and what came of it."""
Plans = Sequence[Task | TaskResult]
"""What is to be done, and what could not even be begun, in the order of the photos."""
Do = Callable[[Task], TaskResult]


@dataclass(frozen=True, slots=True)
class Batch:
    """The photos that were found, each by its whole path, and where results go.

    ``starting_list`` is a list of them that was written for a person to fill in, None when there was one.
    ``unused_sheets`` are machine sheets beside photos of a folder where none is named.
    """

    request: BatchRequest
    photos: tuple[ListedPhoto, ...]
    out: Path
    starting_list: Path | None
    unused_sheets: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class BatchResult:
    """The tables, and how the work went; ``first_stop`` is the exit code when nothing at all could be done, else 0."""

    tables: Tables
    seconds: float
    workers: int
    first_stop: int


def open_batch(request: BatchRequest) -> Batch:
    """Find the photos. From a folder of photos a starting list is written where there is none.

    Raises WrongUse, UnreadablePhoto when there is no photo, CannotWrite where something else has a table's name.
    """
    source, out = request.source, request.out
    if not source.exists():
        raise WrongUse(
            f"There is no folder or file {source}.", "Give a folder of photos, or a list of them (a CSV file)."
        )
    if not holds_many(source):
        raise WrongUse(
            f"{source} is neither a folder of photos nor a list of photos, which is a CSV file.",
            "Name single photos with options.",
        )
    photos = find_photos(source, out) if source.is_dir() else read_list(source)
    if out is None:
        raise WrongUse("For many photos a folder for the results is needed.", "Give one with --out.")
    for table in (out / SUMMARY, out / MACHINES):
        _refuse_foreign(table, request.overwrite)
    try_folder(out)
    written = None
    if source.is_dir() and not os.path.lexists(out / LIST):
        (written,) = deliver({out / LIST: list_bytes(starting_list(photos), out, request.csv_style)}, False)
    whole = tuple(_whole(photo, request.tip) for photo in photos)
    return Batch(request, whole, out.resolve(), written, _unused_sheets(request, photos))


def carry_out(batch: Batch, plans: Plans, work: Do, tell: Tell, machines: bool = False) -> BatchResult:
    """Do the work and write the tables in place of those of an earlier run; ``machines``: whether it is judging.

    Raises WorkersLost when nobody was left to finish it, after writing what is done.
    """
    begun, request = time.perf_counter(), batch.request
    with _workers(request) as workers:
        results = run_tasks(plans, work, workers, tell, machines)
        alive = workers.alive()
    seconds = time.perf_counter() - begun
    judged = [result.machine for result in results if result.machine is not None]
    tables = tables_of((row for result in results for row in result.flanks), judged if machines else None)
    deliver({batch.out / name: table_bytes(rows, request.csv_style) for name, rows in tables.items()}, True)
    stops = [result.stop for result in results]
    if any(stops) and not alive:
        raise WorkersLost(*NOBODY_LEFT)
    first_stop = int(stops[0]["code"] or 1) if stops[0] is not None and all(stops) else 0
    return BatchResult(tables, seconds, workers.number, first_stop)


def _workers(request: BatchRequest) -> AbstractContextManager[Workers]:
    if request.scheduler is None:
        return own_threads(request.workers)
    return cluster_workers(request.scheduler, request.workers, request.patience_s)


def run_tasks(plans: Plans, work: Do, workers: Workers, tell: Tell, machines: bool = False) -> list[TaskResult]:
    """Let workers do all tasks; gives the results in the order of the plans.

    A task, a machine's or a photo's, on which the work itself fails, or whose worker dies, has a result that says so;
    so have all that are left when nobody is there any more.
    """
    done = {number: plan for number, plan in enumerate(plans) if isinstance(plan, TaskResult)}
    for count, result in enumerate(done.values(), 1):
        tell(count, len(plans), result.title, result)
    numbers = {id(plan): number for number, plan in enumerate(plans)}
    try:
        with closing(workers.each(work, (plan for plan in plans if isinstance(plan, Task)))) as finished:
            for task, future in finished:
                result = _fetched(task, future, machines)
                done[numbers[id(task)]] = result
                tell(len(done), len(plans), task.title, result)
    except WorkersLost as stop:
        left = (plan for number, plan in enumerate(plans) if number not in done and isinstance(plan, Task))
        done |= {numbers[id(task)]: stopped(task.title, task.photos, stop, machines) for task in left}
    return [done[number] for number in range(len(plans))]


def _unused_sheets(request: BatchRequest, photos: Sequence[ListedPhoto]) -> tuple[Path, ...]:
    """The machine sheets in the photos' folders, unless a sheet was named or a list was given, which names its own."""
    if request.settings.sheet is not None or not request.source.is_dir():
        return ()
    return tuple(sheet for folder in dict.fromkeys(one.photo.parent for one in photos) for sheet in sheets_in(folder))


def _refuse_foreign(table: Path, overwrite: bool) -> None:
    """Raise CannotWrite where something else has the name of a table; tables are renewed by every run."""
    if os.path.isdir(table) or (os.path.lexists(table) and not overwrite and not is_table(table)):
        raise CannotWrite(f"{table} is already there and no table of this tool.", "Give another folder with --out.")


def _whole(photo: ListedPhoto, tip: PictureSide | None) -> ListedPhoto:
    """The photo by its whole path, with its tip."""
    outline = photo.outline and photo.outline.absolute()
    return replace(photo, photo=photo.photo.absolute(), outline=outline, tip=photo.tip or tip)


def _fetched(task: Task, future: Future[TaskResult], machine: bool) -> TaskResult:
    """What a worker brought, or a stop when it failed where no stop was foreseen."""
    try:
        return future.result()
    except (Exception, CancelledError) as error:
        if was_lost(error):
            stop: PatternscanError = WorkersLost(*NOBODY_LEFT)
        else:
            stop = PatternscanError(
                f"patternscan itself failed: {type(error).__name__}: {shortened(str(error))}.",
                "Please report this with the photo.",
            )
        return stopped(task.title, task.photos, stop, machine)
