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

from patternscan.cli.errands import Errand, read_photo, work_off
from patternscan.cli.load import Setup
from patternscan.frame import Marking
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.batch.crew import Crew, usable_cores
from patternscan.workflow.batch.photo_list import find_photos, with_flanks

SAMPLES = Path(__file__).parents[2] / "sample_images"
ROUNDS, PHOTOS = 12, 4
RUBBED_OFF, POOR = ("mill_hoist", "quarry_winch"), "dark"


def errands_for(folder: Path) -> list[Errand]:
    """As many sample photos as a round has, each to be read into a fresh folder."""
    errands: list[Errand] = []
    for entry in find_photos(SAMPLES):
        if entry.outline is None or POOR in entry.name:
            continue
        marking = Marking.RUB_OFF if entry.name.startswith(RUBBED_OFF) else Marking.TRANSFER
        setup = Setup(Sheet(), None, marking, None, 250.0)
        errands.append(Errand(entry.name, with_flanks(entry), setup, folder / entry.name))
    return errands[:PHOTOS]


def photos_a_second(executor: Executor, workers: int) -> float:
    """Let the workers read all errands. Raises AssertionError when one is not read."""
    with tempfile.TemporaryDirectory() as folder:
        errands = errands_for(Path(folder))
        begun = time.perf_counter()
        outcomes = work_off(errands, read_photo, Crew(executor, workers), lambda *_: None)
        seconds = time.perf_counter() - begun
    assert not [outcome.stop for outcome in outcomes if outcome.stop]
    return len(outcomes) / seconds


def main() -> None:
    """Print the table."""
    crews = {
        "1 thread": (ThreadPoolExecutor(1), 1),
        "2 threads": (ThreadPoolExecutor(2), 2),
        "2 processes": (ProcessPoolExecutor(2, multiprocessing.get_context("spawn")), 2),
    }
    rounds: dict[str, list[float]] = {name: [] for name in crews}
    for _ in range(ROUNDS):
        for name, crew in crews.items():
            rounds[name].append(photos_a_second(*crew))
    for executor, _ in crews.values():
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
