"""Options that give the data of a worm pair; an option goes before the machine sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any

import click

from patternscan.cli.options.records import Parameter, option
from patternscan.plain_text import shortened
from patternscan.setting.machine.fields import GEAR


class GearNumber(click.ParamType[float]):
    """Takes what the [gear] table of a machine sheet takes under the same name."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number as it was typed, whole where it is whole."""
        allowed = GEAR[str(param.name) if param else ""].allowed
        try:
            number = float(value)
            number = int(number) if number.is_integer() else number
        except ValueError:
            number = math.nan
        if not allowed.holds(number):
            self.fail(f"{shortened(str(value))} is given, expected {allowed.words}.", param, ctx)
        return number


def gear_option(flag: str, key: str, metavar: str | None = None) -> Parameter:
    """An option for a key of the [gear] table; what it means is told as on the sheet."""
    field = GEAR[key]
    kind = click.Choice(field.allowed.choices) if field.allowed.choices else GearNumber()
    guess = "" if field.guess is None else f"  [when not known: {field.guess_words}]"
    told = f"{field.meaning[:1].upper()}{field.meaning[1:]}.{guess}"
    return option(flag, told, type=kind, metavar=metavar)


@dataclass(frozen=True, slots=True)
class GearOptions:
    """The gear data as far as they are given."""

    module_mm: Annotated[float | None, gear_option("--module", "module_mm", "MM")]
    starts: Annotated[int | None, gear_option("--starts", "starts", "NUMBER")]
    teeth: Annotated[int | None, gear_option("--teeth", "teeth", "NUMBER")]
    worm_diameter_mm: Annotated[float | None, gear_option("--worm-diameter", "worm_diameter_mm", "MM")]
    pressure_angle_deg: Annotated[float | None, gear_option("--pressure-angle", "pressure_angle_deg", "DEGREES")]
    face_width_mm: Annotated[float | None, gear_option("--face-width", "face_width_mm", "MM")]
    hand: Annotated[str | None, gear_option("--hand", "hand")]
    profile: Annotated[str | None, gear_option("--profile", "profile")]
    hob_oversize: Annotated[float | None, gear_option("--oversize", "hob_oversize", "FRACTION")]
    rim: Annotated[str | None, gear_option("--rim", "rim")]
