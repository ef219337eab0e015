"""``patternscan serve``: pages for a phone on the local network."""

from __future__ import annotations

import webbrowser
from pathlib import Path

import click

from patternscan.cli.group import SAFETY_HELP
from patternscan.cli.options.types import PATH
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


@click.command(short_help="Serve pages: photograph with the phone, read the answer there.", epilog=SAFETY_HELP)
@click.argument("folder", type=PATH, default=Path())
@click.option("--host", help=HOST, metavar="ADDRESS")
@click.option("--port", type=click.IntRange(1, 65535), default=8080, show_default=True, help="Port to listen at.")
@click.option("--scheduler", metavar="ADDRESS", help=SCHEDULER)
@click.option("--browser/--no-browser", default=True, help="Whether to open the pages on this computer.")
def serve(folder: Path, host: str | None, port: int, scheduler: str | None, browser: bool) -> None:
    """Serve pages that keep machines and readings in FOLDER (where you are, if not given), until Ctrl-C.

    Example: patternscan serve site --host 0.0.0.0

    Without --host only this computer can open them. With it an address, a QR code for the phone's camera and a code
    are shown; every other device is asked for the code once.
    """
    if MISSING is not None:
        raise WrongUse(f"To serve pages {MISSING} is missing.", "Install it with: pip install 'patternscan[web]'")
    serve_pages(ServeRequest(folder, host, port, scheduler), say, _open if browser else _leave)


def _open(address: str) -> None:
    webbrowser.open(address)


def _leave(_: str) -> None:
    """Open no browser."""
