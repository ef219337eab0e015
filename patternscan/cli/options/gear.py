"""Options that give the data of a worm pair; an option goes before the machine sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import click

from patternscan.cli.options.answered import AllowedNumber
from patternscan.cli.options.records import Parameter, option
from patternscan.setting.machine.fields import GEAR


def gear_option(flag: str, key: str, metavar: str | None = None) -> Parameter:
    """An option for a key of the [gear] table; what it means is told as on the sheet."""
    field = GEAR[key]
    kind = click.Choice(field.allowed.choices) if field.allowed.choices else AllowedNumber(field.allowed)
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
