"""``patternscan shims``: a pack for a wanted thickness, from the shims on hand."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.group import SAFETY_HELP
from patternscan.cli.options.answered import Answered
from patternscan.cli.options.records import Parameter, argument, option, takes
from patternscan.cli.options.types import FOLDER
from patternscan.errors import WrongUse
from patternscan.reporting.text.job.points import at_each_place, point_sentence
from patternscan.setting.log.kinds import THICKNESS
from patternscan.setting.machine.stock import Stock, parse_stock, take_shim_set
from patternscan.setting.mechanics.shim_pack import find_pack
from patternscan.workflow.job.folder import job_sheet_path, stock_on_sheet

STOCK = 'Shims on hand, as "0.10 mm x 4"; repeat for each kind.'
JOB = "Take them from the machine sheet of the job in this folder."
SET = "Take them from a set sold under this name.  [precut-inch, din-988]"
PIECES = "With --set: how many of each thickness are on hand."
PLACES = "Places that all get this pack, such as 2 for upper and lower bolts."


def counted(flag: str, told: str, most: int) -> Parameter:
    """An option for a number of things, one where nothing is said."""
    return option(flag, told, type=click.IntRange(1, most), default=1, show_default=True, metavar="NUMBER")


@dataclass(frozen=True, slots=True)
class ShimsOptions:
    """What the command takes."""

    thickness: Annotated[float, argument(type=Answered(THICKNESS))]
    stock: Annotated[tuple[str, ...], option("--stock", STOCK, metavar="SHIMS")]
    sheet: Annotated[Path | None, option("--sheet", "Take the shims on hand from this machine sheet.")]
    job: Annotated[Path | None, option("--job", JOB, type=FOLDER)]
    set_name: Annotated[str | None, option("--set", SET, metavar="NAME")]
    pieces: Annotated[int, counted("--pieces", PIECES, 100)]
    places: Annotated[int, counted("--places", PLACES, 12)]


@click.command(epilog=SAFETY_HELP)
@takes(ShimsOptions)
def shims(given: ShimsOptions) -> None:
    """Find the pack of THICKNESS with the fewest pieces, exact within 0.01 mm, and print it in mm and inch.

    Example: patternscan shims 0.35mm --stock "0.10 mm x 4" --stock "0.005 in x 6"

    Measure every shim before it goes in, use only sound ones, thin ones inside.
    """
    pack = point_sentence(find_pack(given.thickness, _on_hand(given), given.places).told)
    click.echo(at_each_place(pack, given.places))


def _on_hand(given: ShimsOptions) -> Stock:
    """The stock from the one source that is given. Raises WrongUse for none or several."""
    sources = [one for one in (given.stock, given.sheet, given.job, given.set_name) if one]
    if len(sources) != 1:
        raise WrongUse(
            "It is not said which shims are on hand." if not sources else "Shims on hand are given in two ways.",
            "Give one of --stock, --sheet, --job and --set.",
        )
    if given.stock:
        return parse_stock(given.stock)
    if given.set_name:
        return take_shim_set(given.set_name, given.pieces)
    return stock_on_sheet(given.sheet or job_sheet_path(given.job or Path()))
