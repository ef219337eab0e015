"""Who works on many photos: threads of this computer, the cluster of a scheduler, or any executor."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ThreadPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from typing import TypeVar

from patternscan.errors import WrongUse

Task = TypeVar("Task")
Result = TypeVar("Result")

MOST_BY_ITSELF = 4
"""Threads that are started without being asked for: each may hold a photo of 12 megapixels, up to 350 MB."""
WAITING_PER_WORKER = 2
"""Tasks handed out for each worker: one in work and one to go on with, so that memory stays bounded."""
PATIENCE_SECONDS = 10


@dataclass(frozen=True, slots=True)
class Workers:
    """An executor and how many tasks it works on at the same time."""

    executor: Executor
    number: int

    def each(self, work: Callable[[Task], Result], tasks: Iterable[Task]) -> Generator[tuple[Task, Future[Result]]]:
        """Do the work on every task; gives each with its finished future, in the order they are finished.

        No more than WAITING_PER_WORKER tasks a worker are handed out. Those not yet begun are called off when the
        caller stops early.
        """
        left = iter(tasks)
        waiting: dict[Future[Result], Task] = {}
        try:
            while True:
                for task in islice(left, self.number * WAITING_PER_WORKER - len(waiting)):
                    waiting[self.executor.submit(work, task)] = task
                if not waiting:
                    return
                for finished in wait(waiting, return_when=FIRST_COMPLETED).done:
                    yield waiting.pop(finished), finished
        finally:
            for future in waiting:
                future.cancel()


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


@contextmanager
def cluster_workers(address: str, workers: int | None = None) -> Iterator[Workers]:
    """The workers of a Dask cluster, by the address of its scheduler. Raises WrongUse."""
    try:
        from distributed import Client
    except ImportError as error:
        raise WrongUse(
            "This installation cannot work with a cluster.", "Install 'patternscan[cluster]', or leave --scheduler out."
        ) from error
    try:
        client = Client(address, timeout=PATIENCE_SECONDS)
    except (OSError, ValueError) as error:
        raise WrongUse(
            f"No scheduler of a Dask cluster answers at {address}.",
            "Give the address that the scheduler printed when it started, such as tcp://192.168.0.5:8786.",
        ) from error
    with client:
        number = workers or sum(client.nthreads().values())
        if not number:
            raise WrongUse(f"The cluster at {address} has no workers.", "Start workers first.")
        with client.get_executor() as executor:
            yield Workers(executor, number)
