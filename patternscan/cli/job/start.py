"""``patternscan start`` and ``patternscan sheet``: a new setting job, and its machine sheet."""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from patternscan.cli.options.types import LINE, PATH
from patternscan.cli.show import say, write
from patternscan.plain_text import printable
from patternscan.setting.machine.sheet_file import blank_sheet, read_sheet
from patternscan.workflow.job.folder import start_job


@click.command()
@click.argument("folder", type=PATH)
@click.option("--machine", type=LINE, metavar="NAME", help="Name of the machine.  [default: name of the folder]")
@click.option("--sheet", "sheet_path", type=PATH, help="A machine sheet to copy into the folder.")
def start(folder: Path, machine: str | None, sheet_path: Path | None) -> None:
    """Begin a setting job in FOLDER, with a machine sheet to fill in and an empty log.

    Example: patternscan start north_lift --machine "Goods lift, north shaft"
    """
    for path in start_job(folder, machine, sheet_path):
        say(f"Written: {path}")
    click.echo(
        f"Fill in the machine sheet, then ask what to do first: patternscan next {shlex.quote(printable(str(folder)))}"
    )


@click.command()
@click.argument("path", type=PATH, metavar="FILE")
@click.option("--new", metavar="NAME", help="Write a sheet to fill in for the machine of this name.")
@click.option("--overwrite", is_flag=True, help="Replace a sheet that is already there.")
def sheet(path: Path, new: str | None, overwrite: bool) -> None:
    """Check the machine sheet FILE and name every fault; with --new write one to fill in.

    Example: patternscan sheet north_lift.toml --new "Goods lift, north shaft"
    """
    if new is not None:
        write({path: blank_sheet(new).encode()}, overwrite)
        return
    read_sheet(path)
    click.echo(f"{printable(path.name)} is in order.")
