"""Options that several commands share, each group of them as a record."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import click

from patternscan.cli.records import option
from patternscan.errors import WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.units import parse_length
from patternscan.workflow.inputs import FIND_OUT, LARGEST_MEGAPIXELS, SettingsRequest, chosen_flank

PATH = click.Path(path_type=Path)


class Word(click.Choice[str]):
    """A word of an enumeration, by its value."""

    def __init__(self, words: type[StrEnum]) -> None:
        super().__init__([word.value for word in words])
        self.words = words

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> StrEnum:
        """The member that is meant."""
        return self.words(super().convert(str(value), param, ctx))


class MarkingWord(Word):
    """A marking; how it is written does not matter: Transfer, rub off, RUBOFF."""

    def __init__(self) -> None:
        super().__init__(Marking)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> StrEnum:
        """The marking that is meant."""
        meant = {_letters(one): one for one in Marking}.get(_letters(str(value)), value)
        return super().convert(meant, param, ctx)


SIDES = Word(PictureSide)


def _letters(words: str) -> str:
    return re.sub("[^a-z]", "", words.casefold())


class Length(click.ParamType[float]):
    """A length with its unit, in mm; ``least_mm`` and ``most_mm`` are allowed."""

    name = "length"

    def __init__(self, least_mm: float, most_mm: float) -> None:
        self.least_mm, self.most_mm = least_mm, most_mm

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The length in mm; a number without unit, or one that cannot be right, ends with a plain sentence."""
        if isinstance(value, float):
            return value
        try:
            length_mm = parse_length(str(value))
        except WrongUse as fault:
            self.fail(str(fault), param, ctx)
        if not self.least_mm <= length_mm <= self.most_mm:
            self.fail(f"{value} is given, expected {self.least_mm:g} mm to {self.most_mm:g} mm.", param, ctx)
        return length_mm


class Number(click.ParamType[float]):
    """A number from ``low`` to ``high`` of a unit; what is outside, endless or no number is refused."""

    name = "number"

    def __init__(self, low: float, high: float, unit: str) -> None:
        self.low, self.high, self.unit = low, high, unit

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number as it was typed."""
        number = plain_number(str(value))
        if not self.low <= number <= self.high:
            raise click.BadParameter(
                f"{value} is given, expected a number from {self.low:g} to {self.high:g} {self.unit}.", ctx, param
            )
        return number


def plain_number(typed: str) -> float:
    """What a person typed as a number. Raises BadParameter."""
    try:
        return float(typed)
    except ValueError:
        raise click.BadParameter(f"{typed} is not a number; write it with a point, such as 0.25.") from None


FILM = option(
    "--film", metavar="WORDS",
    help="How the film of compound was: how thick, how laid on. Kept with the result; how much was touched is compared "
         "only between equal films.",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PhotoOptions:
    """How photos are to be read."""

    marking: Annotated[
        Marking | None,
        option("--marking", type=MarkingWord(),
               help="How the compound shows contact: 'transfer' = the painted worm printed onto clean teeth; "
                    "'rub-off' = the painted teeth were rubbed bare. Needed here or on the machine sheet."),
    ]  # fmt: skip
    compound: Annotated[
        str | None,
        option("--compound", type=click.Choice([FIND_OUT, *(one.value for one in Compound)]),
               help="Colour of the compound; red covers orange and red lead.  [default: auto]"),
    ]  # fmt: skip
    sheet: Annotated[Path | None, option("--sheet", type=PATH, help="The machine sheet (a TOML file).")]
    snap: Annotated[
        bool,
        option("--snap", is_flag=True,
               help="Pull roughly marked outlines onto the edges in the photo; it is said by how much at most."),
    ]  # fmt: skip
    max_megapixels: Annotated[
        float,
        option("--max-megapixels", type=click.FloatRange(min=0.1), default=LARGEST_MEGAPIXELS, show_default=True,
               help="Refuse photos larger than this."),
    ]  # fmt: skip

    @property
    def request(self) -> SettingsRequest:
        """What was said, for the work to be done."""
        return SettingsRequest(self.marking, self.compound, self.sheet, self.max_megapixels, self.snap)

    @property
    def files(self) -> tuple[Path, ...]:
        """The files that are read and never written over."""
        return () if self.sheet is None else (self.sheet,)


@dataclass(frozen=True, slots=True)
class OutputOptions:
    """How a result is handed over."""

    as_json: Annotated[bool, option("--json", is_flag=True, help="Print the result as JSON and nothing else.")]
    folder: Annotated[Path | None, option("--out", type=PATH, help="Folder for the report and what belongs to it.")]
    overwrite: Annotated[bool, option("--overwrite", is_flag=True, help="Replace files that are already there.")]


@dataclass(frozen=True, slots=True)
class FlankOptions:
    """Which flank a photo shows."""

    flank: Annotated[
        Flank | None,
        option("--flank", type=Word(Flank),
               help="Which flank the photo shows. Look at end face A with the tooth tip up: the right flank is on "
                    "your right hand."),
    ]  # fmt: skip
    end_a: Annotated[
        PictureSide | None,
        option("--end-a", type=SIDES, help="Where end A is seen in the upright photo; serves instead of --flank."),
    ]
    tip: Annotated[
        PictureSide,
        option("--tip", type=SIDES, default=PictureSide.UP.value, show_default=True,
               help="Where the tooth tip points in the upright photo."),
    ]  # fmt: skip

    @property
    def said(self) -> bool:
        """Whether the flank is said at all."""
        return self.flank is not None or self.end_a is not None

    @property
    def chosen(self) -> Flank:
        """The flank that is meant. Raises WrongUse when none is said, InconsistentInputs for a contradiction."""
        return chosen_flank(self.flank, self.end_a, self.tip)
