"""The workers of a Dask cluster."""

from __future__ import annotations

import gc
import logging
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from importlib import import_module
from typing import Any

from patternscan.errors import WorkersLost, WrongUse
from patternscan.version import __version__
from patternscan.workflow.batch.executor import LOOK_SECONDS, NOBODY_LEFT, Workers
from patternscan.workflow.batch.request import PATIENCE_SECONDS

NOT_BEGUN = (AssertionError, RuntimeError)
"""What the library raises where its own thread has not begun after ten seconds, or has just ended."""
TOO_BUSY = (
    "This computer is too busy to begin work with the cluster.",
    "End other programs and repeat the command: what is done is not done twice.",
)


@contextmanager
def cluster_workers(
    address: str, workers: int | None = None, patience_s: float = PATIENCE_SECONDS
) -> Iterator[Workers]:
    """The workers of a Dask cluster, by the address of its scheduler. Raises WrongUse, WorkersLost.

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
            # A connection to a dead cluster may run out of time just then.
            with _uncollected(), suppress(RuntimeError, OSError):
                client.close(timeout=LOOK_SECONDS)
    finally:
        logging.disable(silent)


def _connected(kind: Any, address: str, patience_s: float) -> Any:
    """A client of the scheduler. Raises WrongUse for an address where none answers, WorkersLost for a library whose
    own thread does not begin in that time, as may be on a computer that is too busy.
    """
    most_s = min(patience_s, PATIENCE_SECONDS)
    deadline = time.monotonic() + most_s
    while True:
        try:
            with _uncollected():
                return kind(address, timeout=most_s)
        except (OSError, ValueError) as error:
            raise WrongUse(
                f"No scheduler of a Dask cluster answers at {address}.",
                "Give the address that the scheduler printed when it started, such as tcp://192.168.0.5:8786.",
            ) from error
        except NOT_BEGUN as error:
            if time.monotonic() > deadline:
                raise WorkersLost(*TOO_BUSY) from error


@contextmanager
def _uncollected() -> Iterator[None]:
    """Meanwhile no garbage is collected. A client of the library that was left open is closed when it is collected,
    and then waits without end for the lock that another holds while it begins or ends.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def _has_workers(client: Any) -> bool:
    """Whether the scheduler answers and has workers."""
    try:
        return client.status == "running" and bool(client.nthreads())
    except Exception:  # of a scheduler that is gone the library raises many things
        return False


def _refuse_other_versions(client: Any) -> None:
    """Raise WrongUse for a cluster without workers, and for one that would work with another version of this tool;
    WorkersLost for one that went away meanwhile.
    """
    try:
        found = client.run(_asked_version(), on_error="return")
    except (OSError, RuntimeError) as error:
        raise WorkersLost(*NOBODY_LEFT) from error
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
