"""Options that give the data of a worm pair; an option goes before the machine sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import click

from patternscan.cli.options import plain_number
from patternscan.cli.records import Parameter
from patternscan.setting.machine.fields import GEAR


class GearNumber(click.ParamType[float]):
    """Takes what the [gear] table of a machine sheet takes under the same name."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number as it was typed, whole where it is whole."""
        number = plain_number(str(value))
        number = int(number) if number.is_integer() else number
        allowed = GEAR[str(param.name) if param else ""].allowed
        if not allowed.holds(number):
            raise click.BadParameter(f"{value} is given, expected {allowed.words}.", ctx, param)
        return number


def gear_option(flag: str, metavar: str | None = None) -> Parameter:
    """An option for the key of the [gear] table that the field is named by; what it means is told as on the sheet."""

    def decorator(key: str) -> Any:
        field = GEAR[key]
        kind = click.Choice(field.allowed.choices) if field.allowed.choices else GearNumber()
        guess = "" if field.guess is None else f"  [when not known: {field.guess_words}]"
        told = f"{field.meaning[:1].upper()}{field.meaning[1:]}.{guess}"
        return click.option(flag, key, type=kind, metavar=metavar, help=told)

    return Parameter(decorator)


@dataclass(frozen=True, slots=True)
class GearOptions:
    """The gear data as far as they are given."""

    module_mm: Annotated[float | None, gear_option("--module", "MM")]
    starts: Annotated[int | None, gear_option("--starts", "NUMBER")]
    teeth: Annotated[int | None, gear_option("--teeth", "NUMBER")]
    worm_diameter_mm: Annotated[float | None, gear_option("--worm-diameter", "MM")]
    pressure_angle_deg: Annotated[float | None, gear_option("--pressure-angle", "DEGREES")]
    face_width_mm: Annotated[float | None, gear_option("--face-width", "MM")]
    hand: Annotated[str | None, gear_option("--hand")]
    profile: Annotated[str | None, gear_option("--profile")]
    hob_oversize: Annotated[float | None, gear_option("--oversize", "FRACTION")]
