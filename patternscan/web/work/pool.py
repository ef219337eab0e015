"""A small pool of processes for what takes long, so that pages answer meanwhile; each piece of work has a name."""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from enum import StrEnum
from functools import partial

from patternscan.handles import at_door
from patternscan.reporting.text.web.page_names import name_on_pages
from patternscan.seeing.image.threads import use_one_thread

WORKERS = 2
"""Each may hold a photo of 12 megapixels, some 250 MB with the program: with the server together below 1 GB."""
MOST_WAITING = 80
"""Pieces of work that may wait: 40 photos at once from every side, and their answers."""
MOST_TRIES = 2
"""A piece of work that took its process down so often is not tried again."""
POLITENESS = 5
"""Step down in priority (POSIX nice) that leaves the processor to the pages."""
WATCH_SECONDS = 1.0


class State(StrEnum):
    """How far a piece of work is."""

    WAITING = "waiting"
    RUNNING = "running"
    FAILED = "failed"
    REFUSED = "refused"


@dataclass(slots=True)
class Pool:
    """Does each named piece of work once at a time; its result is what it lays down on the disk.

    ``alive`` tells whether anybody is there to work, where that is not this computer itself.
    """

    make: Callable[[], Executor]
    alive: Callable[[], bool] = lambda: True
    _executor: Executor | None = None
    _futures: dict[str, Future[None]] = field(default_factory=dict)
    _tries: dict[str, int] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def ask(self, name: str, work: Callable[..., None], *given: object) -> State:
        """Have it done unless it is being done already, and say how far it is.

        FAILED for work that raised or took its process down MOST_TRIES times, REFUSED where too much is waiting.
        """
        with self._lock:
            future = self._futures.get(name)
            if future is None or _was_lost(future):
                return self._begin(name, work, given)
            if future.done():
                if future.exception() is not None:
                    return State.FAILED
                del self._futures[name]
                return State.RUNNING
            return State.RUNNING if future.running() else State.WAITING

    def before(self, name: str) -> int:
        """How many pieces of work stand in the queue before this one."""
        with self._lock:
            names = [one for one, future in self._futures.items() if not future.done()]
        return names.index(name) if name in names else 0

    def warm(self, work: Callable[[], None]) -> None:
        """Have the processes started with what this needs, before anybody waits for them."""
        with self._lock:
            for _ in range(WORKERS):
                self._submitted(work, ())

    def close(self) -> None:
        """Let what has not begun go, and end."""
        if self._executor is not None:
            self._executor.shutdown(wait=False, cancel_futures=True)

    def _begin(self, name: str, work: Callable[..., None], given: tuple[object, ...]) -> State:
        tries = self._tries.get(name, 0)
        if tries >= MOST_TRIES:
            return State.FAILED
        self._futures = {one: kept for one, kept in self._futures.items() if not kept.done() or kept.exception()}
        if sum(not one.done() for one in self._futures.values()) >= MOST_WAITING:
            return State.REFUSED
        self._tries[name] = tries + 1
        self._futures[name] = self._submitted(work, given)
        self._futures[name].add_done_callback(partial(_noted, name, time.monotonic()))
        return State.WAITING

    def _submitted(self, work: Callable[..., None], given: tuple[object, ...]) -> Future[None]:
        """The work handed over; where the processes are gone, to new ones."""
        for _ in range(2):
            if self._executor is None:
                self._executor = self.make()
            try:
                return self._executor.submit(_for_pages, work, *given)
            except (BrokenExecutor, RuntimeError):
                self._executor = None
        raise RuntimeError("no process can be started")


def _for_pages(work: Callable[..., None], *given: object) -> None:
    """The work, with what it says in the words of the pages."""
    with at_door(name_on_pages):
        work(*given)


def _noted(name: str, asked_at: float, _: Future[None]) -> None:
    logging.getLogger(__name__).info("%s: %.2f s from asking to the end", name, time.monotonic() - asked_at)


def own_processes() -> Executor:
    """Processes of this computer that end with it."""
    return ProcessPoolExecutor(
        WORKERS, multiprocessing.get_context("spawn"), initializer=_prepared, initargs=(os.getpid(),)
    )


def _prepared(parent: int) -> None:
    """One thread, low priority, no end by Ctrl-C (that is the server's), and an end when the server is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    use_one_thread()
    if hasattr(os, "nice"):
        with suppress(OSError):
            os.nice(POLITENESS)
    if hasattr(os, "getppid"):
        threading.Thread(target=_watch, args=(parent,), daemon=True).start()


def _watch(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(WATCH_SECONDS)
    os._exit(1)


def _was_lost(future: Future[None]) -> bool:
    """Whether the process died, not the work itself."""
    return future.cancelled() or (future.done() and isinstance(future.exception(), BrokenExecutor))
