"""``patternscan shims``: a pack for a wanted thickness, from the shims on hand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.job_options import Length
from patternscan.cli.options import PATH
from patternscan.errors import WrongUse

if TYPE_CHECKING:
    from patternscan.setting.machine.stock import Stock


@click.command(short_help="Find a shim pack of a thickness from the shims on hand.")
@click.argument("thickness", type=Length(0, 25))
@click.option("--stock", multiple=True, metavar="SHIMS", help='Shims on hand, as "0.10 mm x 4"; repeat for each kind.')
@click.option("--sheet", "sheet_path", type=PATH, help="Take the shims on hand from this machine sheet.")
@click.option("--job", type=PATH, help="Take them from the machine sheet of the job in this folder.")
@click.option(
    "--set", "set_name", metavar="NAME", help="Take them from a set sold under this name.  [precut-inch, din-988]"
)
@click.option(
    "--pieces",
    type=click.IntRange(1, 100),
    default=1,
    show_default=True,
    help="With --set: how many of each thickness are on hand.",
)
@click.option("--places", type=click.IntRange(1, 12), default=1, show_default=True,
              help="Places that all get this pack, such as 2 for upper and lower bolts.")  # fmt: skip
def shims(thickness: float, pieces: int, places: int, **given: Any) -> None:
    """Find the pack of THICKNESS with the fewest pieces, exact within 0.01 mm, and print it in mm and inch.

    Example: patternscan shims 0.35mm --stock "0.10 mm x 4" --stock "0.005 in x 6"

    Measure every shim before it goes in, use only sound ones, thin ones inside.
    """
    from patternscan.setting.mechanics.shim_pack import find_pack

    click.echo(find_pack(thickness, _on_hand(given, pieces), places).words)


def _on_hand(given: dict[str, Any], pieces: int) -> Stock:
    """The stock from the one source that is given. Raises WrongUse for none or several."""
    sources = [name for name in ("stock", "sheet_path", "job", "set_name") if given[name]]
    if len(sources) != 1:
        raise WrongUse(
            "It is not said which shims are on hand." if not sources else "Shims on hand are given in two ways.",
            "Give one of --stock, --sheet, --job and --set.",
        )
    if given["stock"]:
        from patternscan.setting.machine.stock import parse_stock

        return parse_stock(given["stock"])
    if given["set_name"]:
        from patternscan.setting.machine.stock import take_shim_set

        return take_shim_set(given["set_name"], pieces)
    return _from_sheet(given)


def _from_sheet(given: dict[str, Any]) -> Stock:
    from patternscan.setting.log.job_log import SHEET_NAME
    from patternscan.setting.machine.sheet_file import read_sheet

    path: Path = given["sheet_path"] or given["job"] / SHEET_NAME
    stock = read_sheet(path).shims.stock
    if not stock.kinds:
        raise WrongUse(f"{path.name} names no shims on hand.", "Write them as 'stock' under [shims], or give --stock.")
    return stock
