"""How quick many photos are: `python tests/benchmarks/folder.py` prints photos a second with one worker and with two.

The sample photos are read with their outlines, as `patternscan read FOLDER` does it, pictures and reports included:
by one thread, by two threads, and by two processes, in turn, in one run. Of many short rounds the best counts, since
other work on the computer only slows. Also told: the most memory that this process held. No part of the ordinary tests.
"""

from __future__ import annotations

import multiprocessing
import resource
import sys
import tempfile
import time
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

from patternscan.frame import Marking
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.batch.executor import Workers, usable_cores
from patternscan.workflow.batch.readings import read_task
from patternscan.workflow.batch.run import run_tasks
from patternscan.workflow.batch.task import Task
from patternscan.workflow.inputs.photo_list import find_photos, with_flanks
from patternscan.workflow.inputs.settings import ReadingSettings

SAMPLES = Path(__file__).parents[2] / "sample_images"
ROUNDS, PHOTOS = 12, 4
RUBBED_OFF, POOR = ("mill_hoist", "quarry_winch"), "dark"


def tasks_for(folder: Path) -> list[Task]:
    """As many sample photos as a round has, each to be read into a fresh folder."""
    tasks: list[Task] = []
    for photo in find_photos(SAMPLES):
        if photo.outline is None or POOR in photo.name:
            continue
        marking = Marking.RUB_OFF if photo.name.startswith(RUBBED_OFF) else Marking.TRANSFER
        settings = ReadingSettings(Sheet(), None, marking)
        tasks.append(Task(photo.name, with_flanks(photo), settings, folder / photo.name))
    return tasks[:PHOTOS]


def photos_a_second(executor: Executor, workers: int) -> float:
    """Let the workers read all tasks. Raises AssertionError when one is not read."""
    with tempfile.TemporaryDirectory() as folder:
        tasks = tasks_for(Path(folder))
        begun = time.perf_counter()
        results = run_tasks(tasks, read_task, Workers(executor, workers), lambda *_: None)
        seconds = time.perf_counter() - begun
    assert not [result.stop for result in results if result.stop]
    return len(results) / seconds


def main() -> None:
    """Print the table."""
    kinds = {
        "1 thread": (ThreadPoolExecutor(1), 1),
        "2 threads": (ThreadPoolExecutor(2), 2),
        "2 processes": (ProcessPoolExecutor(2, multiprocessing.get_context("spawn")), 2),
    }
    rounds: dict[str, list[float]] = {name: [] for name in kinds}
    for _ in range(ROUNDS):
        for name, kind in kinds.items():
            rounds[name].append(photos_a_second(*kind))
    for executor, _ in kinds.values():
        executor.shutdown()
    one = max(rounds["1 thread"])
    print(f"{PHOTOS} photos a round, {usable_cores()} cores, best of {ROUNDS} rounds")
    for name, rates in rounds.items():
        print(f"{name:12} {max(rates):5.1f} photos a second, {max(rates) / one:4.2f} times one thread")
    kilobytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"most memory of this process: {kilobytes / 1e3:.0f} MB")


if __name__ == "__main__":
    sys.path.insert(0, str(SAMPLES.parent))
    main()
