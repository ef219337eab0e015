"""Who works on many photos: threads of this computer, the cluster of a scheduler, or any executor."""

from __future__ import annotations

import logging
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
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from itertools import islice
from typing import Any, TypeVar

from patternscan.errors import PatternscanError, WrongUse
from patternscan.version import __version__
from patternscan.workflow.batch.request import PATIENCE_SECONDS

Task = TypeVar("Task")
Result = TypeVar("Result")

MOST_BY_ITSELF = 4
"""Threads that are started without being asked for: each may hold a photo of 12 megapixels, up to 350 MB."""
WAITING_PER_WORKER = 2
"""Tasks handed out for each worker: one in work and one to go on with, so that memory stays bounded."""
LOOK_SECONDS = 2.0
"""So often it is looked whether workers that bring nothing are still there."""


class WorkersLost(PatternscanError):
    """Nobody is there any more to do what is left."""

    exit_code = 2

    def __init__(self) -> None:
        super().__init__(
            "The scheduler or all workers of the cluster are gone.",
            "Start them again and repeat the command: what is done is not done twice.",
        )


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
                raise WorkersLost
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


@contextmanager
def cluster_workers(
    address: str, workers: int | None = None, patience_s: float = PATIENCE_SECONDS
) -> Iterator[Workers]:
    """The workers of a Dask cluster, by the address of its scheduler. Raises WrongUse.

    Python's logging is silent meanwhile: the library tells in it of every connection that ends.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise WrongUse(
            "This installation cannot work with a cluster.", "Install 'patternscan[cluster]', or leave --scheduler out."
        ) from error
    silent = logging.root.manager.disable
    logging.disable()
    try:
        client = _connected(Client, address, patience_s)
        try:
            _refuse_other_versions(client)
            number = workers or sum(client.nthreads().values())
            yield Workers(client.get_executor(), number, partial(_has_workers, client), patience_s)
        finally:
            with suppress(
                RuntimeError
            ):  # the library's own, where a connection to a dead cluster just then ran out of time
                client.close(timeout=LOOK_SECONDS)
    finally:
        logging.disable(silent)


def _connected(kind: Any, address: str, patience_s: float) -> Any:
    """A client of the scheduler. Raises WrongUse."""
    try:
        return kind(address, timeout=min(patience_s, PATIENCE_SECONDS))
    except (OSError, ValueError) as error:
        raise WrongUse(
            f"No scheduler of a Dask cluster answers at {address}.",
            "Give the address that the scheduler printed when it started, such as tcp://192.168.0.5:8786.",
        ) from error


def _has_workers(client: Any) -> bool:
    """Whether the scheduler answers and has workers."""
    try:
        return client.status == "running" and bool(client.nthreads())
    except Exception:  # of a scheduler that is gone the library raises many things
        return False


def _refuse_other_versions(client: Any) -> None:
    """Raise WrongUse for a cluster without workers, and for one that would work with another version of this tool."""
    found = client.run(_asked_version(), on_error="return")
    if not found:
        raise WrongUse("The cluster has no workers.", "Start workers first.")
    for worker, version in found.items():
        if version != __version__:
            told = f"version {version} of" if isinstance(version, str) else "no"
            raise WrongUse(
                f"The worker {worker} has {told} patternscan, but this is version {__version__}.",
                "Install the same version for the workers, and start them again.",
            )


def _asked_version() -> Callable[[], str]:
    """What tells the version where it runs; it is sent whole, for a worker may lack all this."""

    def version() -> str:
        return str(import_module("patternscan.version").__version__)

    return version
