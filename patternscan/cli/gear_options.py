"""Options that give the data of a worm pair; an option goes before the machine sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.options import PATH, several
from patternscan.errors import WrongUse

if TYPE_CHECKING:
    from patternscan.setting.machine.sheet import Gear


Check = Callable[[click.Context, click.Parameter, str | None], float | None]
"""A callback of click: from what a person typed to a number, None when nothing was typed."""


def number_within(low: float, high: float, unit: str) -> Check:
    """Takes numbers from ``low`` to ``high``; refuses what is outside, endless or no number."""

    def check(_: click.Context, __: click.Parameter, typed: str | None) -> float | None:
        number = plain_number(typed)
        if number is not None and not low <= number <= high:
            raise click.BadParameter(f"{typed} is given, expected a number from {low:g} to {high:g} {unit}.")
        return number

    return check


def gear_number(_: click.Context, parameter: click.Parameter, typed: str | None) -> float | None:
    """Takes what the [gear] table of a machine sheet takes under the same name."""
    from patternscan.setting.machine.fields import GEAR, fault_of

    number = plain_number(typed)
    if number is None:
        return None
    number = int(number) if number.is_integer() else number
    expected = fault_of(GEAR[str(parameter.name)], number)
    if expected is not None:
        raise click.BadParameter(f"{typed} is given, expected {expected}.")
    return number


def plain_number(typed: str | None) -> float | None:
    """What a person typed as a number. Raises BadParameter."""
    try:
        return None if typed is None else float(typed)
    except ValueError:
        raise click.BadParameter(f"{typed} is not a number; write it with a point, such as 0.25.") from None


GEAR_OPTIONS = {
    "module_mm": ("the module", "--module"),
    "starts": ("the number of starts", "--starts"),
    "teeth": ("the number of wheel teeth", "--teeth"),
    "worm_diameter_mm": ("the pitch diameter of the worm", "--worm-diameter"),
    "pressure_angle_deg": ("the pressure angle", "--pressure-angle"),
    "face_width_mm": ("the face width", "--face-width"),
    "hand": ("the hand", "--hand"),
    "profile": ("the thread form", "--profile"),
    "hob_oversize": ("the oversize of the hob", "--oversize"),
}
"""Keys of the [gear] table, what they are, and the option that goes before the sheet."""

gear_options = several(
    click.option("--module", "module_mm", callback=gear_number, metavar="MM", help="Axial module."),
    click.option("--starts", callback=gear_number, metavar="NUMBER", help="Starts (threads) of the worm."),
    click.option("--teeth", callback=gear_number, metavar="NUMBER", help="Teeth of the wheel."),
    click.option("--worm-diameter", "worm_diameter_mm", callback=gear_number, metavar="MM",
                 help="Pitch diameter of the worm."),
    click.option("--pressure-angle", "pressure_angle_deg", callback=gear_number, metavar="DEGREES",
                 help="Pressure angle: axial for za, normal for zi and zn.  [when not known: 20]"),
    click.option("--face-width", "face_width_mm", callback=gear_number, metavar="MM",
                 help="Face width of the wheel."),
    click.option("--hand", type=click.Choice(["right", "left"]), help="Hand of the worm."),
    click.option("--profile", type=click.Choice(["za", "zi", "zn"]),
                 help="Form of the thread: za = straight in the axial section, zi = involute, zn = straight in the "
                      "normal section.  [when not known: zi]"),
    click.option("--oversize", "hob_oversize", callback=gear_number, metavar="FRACTION",
                 help="How much larger than the worm the hob was: 0.02 is 2 %.  [when not known: 0.04]"),
    click.option("--sheet", "sheet_path", type=PATH,
                 help="The machine sheet (a TOML file); its [gear] table gives what no option gives."),
)  # fmt: skip


def chosen_gear(options: dict[str, Any], on_sheet: Gear) -> Gear:
    """The gear data from options and sheet. Raises WrongUse, naming all that is missing and where it may be given."""
    given = {key: options[key] for key in GEAR_OPTIONS if options[key] is not None}
    gear = replace(on_sheet, **given)
    if gear.missing:
        lacking = [f"{GEAR_OPTIONS[key][0]} ({GEAR_OPTIONS[key][1]}, or {key} on the sheet)" for key in gear.missing]
        raise WrongUse(
            f"To compute the pattern these gear data are missing: {', '.join(lacking)}.",
            "Give them as options, or in the [gear] table of a machine sheet that you give with --sheet.",
        )
    return gear
