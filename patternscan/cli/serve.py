"""``patternscan serve``: pages for a phone on the local network."""

from __future__ import annotations

import webbrowser
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.group import SAFETY_HELP
from patternscan.cli.options.records import argument, option, takes
from patternscan.cli.options.shared import OWN_PROOF
from patternscan.cli.show import say
from patternscan.errors import WrongUse

try:
    from patternscan.web.server import ServeRequest
    from patternscan.web.server import serve as serve_pages
except ModuleNotFoundError as error:
    if error.name not in {"flask", "waitress", "segno", "werkzeug", "jinja2"}:
        raise
    MISSING: str | None = error.name
else:
    MISSING = None

HOST = "Let other devices in: the address of this computer in its network, or 0.0.0.0 for all it has."
SCHEDULER = "Read on a Dask cluster that sees the same folder: the address of its scheduler."
PORT = option(
    "--port",
    "Port to listen at.",
    type=click.IntRange(1, 65535),
    default=8080,
    show_default=True,
    metavar="NUMBER",
)


@dataclass(frozen=True, slots=True)
class ServeOptions:
    """What is served, and to whom."""

    folder: Annotated[Path, argument(default=Path())]
    host: Annotated[str | None, option("--host", HOST, metavar="ADDRESS")]
    port: Annotated[int, PORT]
    scheduler: Annotated[str | None, option("--scheduler", SCHEDULER, metavar="ADDRESS")]
    proof: Annotated[Path | None, option("--proof", OWN_PROOF)]
    browser: Annotated[
        bool, option("--browser/--no-browser", "Whether to open the pages on this computer.", default=True)
    ]


@click.command(epilog=SAFETY_HELP)
@takes(ServeOptions)
def serve(given: ServeOptions) -> None:
    """Serve pages that keep machines and readings in FOLDER (where you are, if not given), until Ctrl-C.

    Example: patternscan serve site --host 0.0.0.0

    Without --host only this computer can open them. With it an address, a QR code for the phone's camera and a code
    are shown; every other device is asked for the code once.
    """
    if MISSING is not None:
        raise WrongUse(f"To serve pages {MISSING} is missing.", 'Install it with: pip install "patternscan[web]"')
    request = ServeRequest(given.folder, given.host, given.port, given.scheduler, given.proof)
    serve_pages(request, say, _open if given.browser else _leave)


def _open(address: str) -> None:
    webbrowser.open(address)


def _leave(_: str) -> None:
    """Open no browser."""
