"""Options that several commands share, each group of them as a record."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.records import option
from patternscan.cli.types import PIXEL, LooseWord
from patternscan.frame import Compound, Flank, Marking
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.workflow.inputs import FIND_OUT, LARGEST_MEGAPIXELS, SettingsRequest, chosen_flank

COMPOUNDS = click.Choice([FIND_OUT, *(one.value for one in Compound)])
MEGAPIXELS = option(
    "--max-megapixels",
    "Refuse photos larger than this.",
    type=click.FloatRange(min=0.1),
    default=LARGEST_MEGAPIXELS,
    show_default=True,
)
OVERWRITE = option("--overwrite", "Replace files that are already there.")
TIPS = option("--tip", "Where the tips point, in every photo.", default=PictureSide.UP, show_default=True)
FILM = option(
    "--film",
    "How the film of compound was: how thick, how laid on. Kept with the result; how much was touched is compared only "
    "between equal films.",
    metavar="WORDS",
)
BY = option("--by", "Who made this; stands on the report and the page.", metavar="NAME")
FULL = option("--full", "Print the whole report.")
HOW_MARKED = (
    "How the compound shows contact: 'transfer' = the painted worm printed onto clean teeth; 'rub-off' = the painted "
    "teeth were rubbed bare. Needed here or on the machine sheet."
)
WHICH_COMPOUND = "Colour of the compound; red covers orange and red lead.  [default: auto]"
SNAP = "Pull roughly marked outlines onto the edges in the photo; it is said by how much at most."
OWN_PROOF = (
    "What your own photos showed, as 'patternscan proof --keep' wrote it. It makes ranges wider, never narrower, and "
    "moves no value."
)
WHICH_FLANK = (
    "Which flank the photo shows. Look at end face A with the tooth tip up: the right flank is on your right hand."
)
WHERE_A = "Where end A is seen in the upright photo; serves instead of --flank."
WHERE_TIP = "Where the tooth tip points in the upright photo."
WHICH_TOOTH = "A pixel of the upright photo on the flank that is meant, where the outline is looked for."


@dataclass(frozen=True, slots=True)
class PhotoOptions:
    """How photos are to be read."""

    marking: Annotated[Marking | None, option("--marking", HOW_MARKED, type=LooseWord(Marking))]
    compound: Annotated[str | None, option("--compound", WHICH_COMPOUND, type=COMPOUNDS)]
    sheet: Annotated[Path | None, option("--sheet", "The machine sheet (a TOML file).")]
    snap: Annotated[bool, option("--snap", SNAP)]
    proof: Annotated[Path | None, option("--proof", OWN_PROOF)]
    max_megapixels: Annotated[float, MEGAPIXELS]

    @property
    def request(self) -> SettingsRequest:
        """What was said, for the work to be done."""
        return SettingsRequest(self.marking, self.compound, self.sheet, self.max_megapixels, self.snap, self.proof)

    @property
    def files(self) -> tuple[Path, ...]:
        """The files that are read and never written over."""
        return tuple(one for one in (self.sheet, self.proof) if one is not None)


@dataclass(frozen=True, slots=True)
class OutputOptions:
    """How a result is handed over."""

    as_json: Annotated[bool, option("--json", "Print the result as JSON and nothing else.")]
    folder: Annotated[Path | None, option("--out", "Folder for the report and what belongs to it.")]
    overwrite: Annotated[bool, OVERWRITE]


@dataclass(frozen=True, slots=True)
class FlankOptions:
    """Which flank a photo shows."""

    flank: Annotated[Flank | None, option("--flank", WHICH_FLANK)]
    end_a: Annotated[PictureSide | None, option("--end-a", WHERE_A)]
    tip: Annotated[PictureSide, option("--tip", WHERE_TIP, default=PictureSide.UP, show_default=True)]
    tooth_at: Annotated[tuple[float, float] | None, option("--tooth-at", WHICH_TOOTH, type=PIXEL, multiple=False)]

    @property
    def said(self) -> bool:
        """Whether the flank is said at all."""
        return self.flank is not None or self.end_a is not None

    @property
    def chosen(self) -> Flank:
        """The flank that is meant. Raises WrongUse when none is said, InconsistentInputs for a contradiction."""
        return chosen_flank(self.flank, self.end_a, self.tip)
