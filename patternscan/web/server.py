"""Serving a folder: the address is told, then pages are answered until somebody stops it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from waitress.server import create_server

from patternscan.errors import WrongUse
from patternscan.reporting.text.web.door_words import start_lines
from patternscan.setting.log.job_log import LOG_NAME
from patternscan.web.app import make_app
from patternscan.web.door.address import qr_code, reached_at
from patternscan.web.door.code import Doorkeeper, new_code
from patternscan.web.door.site import Site
from patternscan.web.work.pool import Pool, own_processes
from patternscan.workflow.batch.cluster import cluster_workers
from patternscan.workflow.disk.delivery import try_folder
from patternscan.workflow.inputs.own_proof import own_proof

LOOPBACK = "127.0.0.1"
THREADS = 12
"""Requests answered at the same time: 8 devices, and a slow one does not hold the others up."""
SILENT_SECONDS = 60
MOST_CONNECTIONS = 200


@dataclass(frozen=True, slots=True)
class ServeRequest:
    """The folder with the machines, where to listen, a cluster's scheduler to work on, the file of a kept proof."""

    folder: Path
    host: str | None = None
    port: int = 8080
    scheduler: str | None = None
    proof: Path | None = None


def serve(request: ServeRequest, say: Callable[[str], None], ready: Callable[[str], None]) -> None:
    """Answer pages until the process is told to stop. ``ready`` is called with the address for this computer.

    Raises WrongUse for a folder that is one job, a faulty proof and an address that is taken, CannotWrite.
    """
    if (request.folder / LOG_NAME).exists():
        raise WrongUse(f"{request.folder} is the job of one machine.", "Give the folder that holds the jobs.")
    try_folder(request.folder)
    if request.proof is not None:
        own_proof(request.proof)
    code = new_code()
    with _pool(request.scheduler) as pool:
        app = make_app(Site(request.folder, Doorkeeper(code), pool, request.proof))
        try:
            server = create_server(
                app,
                host=request.host or LOOPBACK,
                port=request.port,
                threads=THREADS,
                channel_timeout=SILENT_SECONDS,
                connection_limit=MOST_CONNECTIONS,
                ident=None,
            )
        except OSError as error:
            raise WrongUse(
                f"Nothing can listen at {request.host or LOOPBACK}, port {request.port}: {error.strerror or error}.",
                "Give another --port, and as --host an address of this computer.",
            ) from error
        for line in _told(request, code):
            say(line)
        ready(reached_at(LOOPBACK, request.port))
        server.run()


@contextmanager
def _pool(scheduler: str | None) -> Iterator[Pool]:
    """Processes of this computer, or the workers of a cluster that sees the same folder."""
    if scheduler is not None:
        with cluster_workers(scheduler) as workers:
            executor: Executor = workers.executor
            yield Pool(lambda: executor, workers.alive)
        return
    pool = Pool(own_processes)
    try:
        yield pool
    finally:
        pool.close()


def _told(request: ServeRequest, code: str) -> Iterator[str]:
    """Line by line address, QR code and code for other devices; the address alone where they are kept out."""
    address = reached_at(request.host or LOOPBACK, request.port)
    if request.host is not None:
        yield from qr_code(address).splitlines()
    yield from start_lines(address, None if request.host is None else code)
