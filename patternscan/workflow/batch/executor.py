"""Who works on many photos: threads of this computer, or any executor."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ThreadPoolExecutor,
    wait,
)
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from typing import TypeVar

from patternscan.errors import WorkersLost
from patternscan.workflow.batch.request import PATIENCE_SECONDS

Task = TypeVar("Task")
Result = TypeVar("Result")

MOST_BY_ITSELF = 4
"""Threads that are started without being asked for: each may hold a photo of 12 megapixels, up to 350 MB."""
WAITING_PER_WORKER = 2
"""Tasks handed out for each worker: one in work and one to go on with, so that memory stays bounded."""
NOBODY_LEFT = (
    "The scheduler or all workers of the cluster are gone.",
    "Start them again and repeat the command: what is done is not done twice.",
)
LOOK_SECONDS = 2.0
"""So often it is looked whether workers that bring nothing are still there."""


@dataclass(frozen=True, slots=True)
class Workers:
    """An executor and how many tasks it works on at the same time.

    ``alive`` says whether anybody is there to work; without them for ``patience_s`` seconds the work ends.
    """

    executor: Executor
    number: int
    alive: Callable[[], bool] = lambda: True
    patience_s: float = PATIENCE_SECONDS

    def each(self, work: Callable[[Task], Result], tasks: Iterable[Task]) -> Generator[tuple[Task, Future[Result]]]:
        """Do the work on every task; gives each with its finished future, in the order they are finished.

        No more than WAITING_PER_WORKER tasks a worker are handed out. Those not yet begun are called off when the
        caller stops early. Raises WorkersLost.
        """
        left = iter(tasks)
        waiting: dict[Future[Result], Task] = {}
        try:
            while True:
                for task in islice(left, self.number * WAITING_PER_WORKER - len(waiting)):
                    waiting[self.executor.submit(work, task)] = task
                if not waiting:
                    return
                done = wait(waiting, timeout=LOOK_SECONDS, return_when=FIRST_COMPLETED).done
                if not any(map(_brought, done)):
                    self._wait_for_workers()
                for finished in done:
                    yield waiting.pop(finished), finished
        finally:
            for future in waiting:
                future.cancel()

    def _wait_for_workers(self) -> None:
        """Go on as soon as anybody is there. Raises WorkersLost when that takes longer than ``patience_s``."""
        begun = time.monotonic()
        while not self.alive():
            if time.monotonic() - begun > self.patience_s:
                raise WorkersLost(*NOBODY_LEFT)
            time.sleep(min(LOOK_SECONDS, self.patience_s / 4))


def _brought(future: Future[Result]) -> bool:
    """Whether a finished task came back from a living worker."""
    return not future.cancelled() and not was_lost(future.exception())


def was_lost(error: BaseException | None) -> bool:
    """Whether this is no fault of the work: its worker died, or nobody was there."""
    foreign = type(error).__module__.partition(".")[0] == "distributed"
    return foreign or isinstance(error, CancelledError | BrokenExecutor)


def usable_cores() -> int:
    """Processor cores that this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


@contextmanager
def own_threads(workers: int | None = None) -> Iterator[Workers]:
    """Threads of this computer: as many as asked for, else one a core up to MOST_BY_ITSELF."""
    number = workers or min(usable_cores(), MOST_BY_ITSELF)
    with ThreadPoolExecutor(number, thread_name_prefix="patternscan") as executor:
        yield Workers(executor, number)
