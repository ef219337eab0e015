"""Options that give the data of a worm pair; an option goes before the machine sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import click

from patternscan.cli.options import plain_number
from patternscan.cli.records import option
from patternscan.setting.machine.fields import GEAR, fault_of


class GearNumber(click.ParamType[float]):
    """Takes what the [gear] table of a machine sheet takes under the same name."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number as it was typed, whole where it is whole."""
        number = plain_number(str(value))
        number = int(number) if number.is_integer() else number
        expected = fault_of(GEAR[str(param.name) if param else ""], number)
        if expected is not None:
            raise click.BadParameter(f"{value} is given, expected {expected}.", ctx, param)
        return number


NUMBER = GearNumber()


@dataclass(frozen=True, slots=True)
class GearOptions:
    """The gear data as far as they are given."""

    module_mm: Annotated[float | None, option("--module", type=NUMBER, metavar="MM", help="Axial module.")]
    starts: Annotated[
        int | None, option("--starts", type=NUMBER, metavar="NUMBER", help="Starts (threads) of the worm.")
    ]
    teeth: Annotated[int | None, option("--teeth", type=NUMBER, metavar="NUMBER", help="Teeth of the wheel.")]
    worm_diameter_mm: Annotated[
        float | None, option("--worm-diameter", type=NUMBER, metavar="MM", help="Pitch diameter of the worm.")
    ]
    pressure_angle_deg: Annotated[
        float | None,
        option("--pressure-angle", type=NUMBER, metavar="DEGREES",
               help="Pressure angle: axial for za, normal for zi and zn.  [when not known: 20]"),
    ]  # fmt: skip
    face_width_mm: Annotated[
        float | None, option("--face-width", type=NUMBER, metavar="MM", help="Face width of the wheel.")
    ]
    hand: Annotated[str | None, option("--hand", type=click.Choice(["right", "left"]), help="Hand of the worm.")]
    profile: Annotated[
        str | None,
        option("--profile", type=click.Choice(["za", "zi", "zn"]),
               help="Form of the thread: za = straight in the axial section, zi = involute, zn = straight in the "
                    "normal section.  [when not known: zi]"),
    ]  # fmt: skip
    hob_oversize: Annotated[
        float | None,
        option("--oversize", type=NUMBER, metavar="FRACTION",
               help="How much larger than the worm the hob was: 0.02 is 2 %.  [when not known: 0.04]"),
    ]  # fmt: skip
