"""Options that several commands share, each group of them as a record."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import option
from patternscan.cli.options.types import FOLDER, PIXEL, Choice, LooseWord
from patternscan.frame import Compound, Flank, Marking, Medium, Seen
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.workflow.inputs.settings import FIND_OUT, LARGEST_MEGAPIXELS, SettingsRequest
from patternscan.workflow.inputs.shown_flank import chosen_flank

COLOURS = "Red covers orange and red lead, violet is layout dye."
COMPOUNDS = Choice([FIND_OUT, *(one.value for one in Compound)], COLOURS)
MEGAPIXELS = option(
    "--max-megapixels",
    "Refuse photos larger than this.",
    type=click.FloatRange(min=0.1),
    default=LARGEST_MEGAPIXELS,
    show_default=True,
    metavar="NUMBER",
)
OVERWRITE = option("--overwrite", "Replace files that are already there.")
TIP_FOUND = "as the printed tags of both ends show it, else found out"
TIPS = option("--tip", f"Where the tips point, in every photo.  [default: {TIP_FOUND}]")
FILM = option(
    "--film",
    "How the film of compound was: how thick, how laid on. Kept with the result; how much was touched is compared only "
    "between equal films.",
    metavar="WORDS",
)
BY = option("--by", "Who made this; stands on the report and the page.", metavar="NAME")
FULL = option("--full", "Print the whole report.")
MARKINGS = "'transfer' = the painted worm printed onto clean teeth; 'rub-off' = the painted teeth were rubbed bare."
HOW_MARKED = f"How the compound shows contact: {MARKINGS} Needed here or on the machine sheet."
WHICH_COMPOUND = f"Colour of the compound. {COLOURS}  [default: auto]"
WHAT_PHOTOGRAPHED = (
    "What was photographed: the flank itself, or its print lifted on clear tape or pressed onto paper.  "
    "[default: flank]"
)
WHICH_SIDE = (
    "With tape and paper: 'touched' = the side that touched the tooth is seen, the flank as in a mirror; 'through' = "
    "the compound is seen through the tape or paper."
)
SNAP = "Pull roughly marked outlines onto the edges in the photo; the report says by how much at most."
SHEET = "The machine sheet (a TOML file); 'patternscan sheet FILE --new NAME' writes one to fill in."
OWN_PROOF = (
    "What your own photos showed, as 'patternscan proof --keep' wrote it. It makes ranges wider, never narrower, and "
    "moves no value."
)
WHICH_FLANK = (
    "Which flank the photo shows. Look at end face A with the tooth tip up: the right flank is on your right hand."
)
WHERE_A = "Where end A is seen in the upright photo; serves instead of --flank."
WHERE_TIP = f"Where the tooth tip points in the upright photo.  [default: {TIP_FOUND}; with --end-a: up]"
WHICH_TOOTH = "A pixel of the upright photo on the flank that is meant, where the outline is looked for."


@dataclass(frozen=True, slots=True)
class MediumOptions:
    """What was photographed."""

    medium: Annotated[Medium | None, option("--medium", WHAT_PHOTOGRAPHED)]
    seen: Annotated[Seen | None, option("--seen", WHICH_SIDE)]

    @property
    def told(self) -> ToldMedium:
        """What was said."""
        return ToldMedium(self.medium, self.seen)


@dataclass(frozen=True, slots=True)
class PhotoOptions:
    """How photos are to be read."""

    marking: Annotated[Marking | None, option("--marking", HOW_MARKED, type=LooseWord(Marking, meaning=MARKINGS))]
    compound: Annotated[str | None, option("--compound", WHICH_COMPOUND, type=COMPOUNDS)]
    sheet: Annotated[Path | None, option("--sheet", SHEET)]
    snap: Annotated[bool, option("--snap", SNAP)]
    proof: Annotated[Path | None, option("--proof", OWN_PROOF)]
    photographed: MediumOptions
    max_megapixels: Annotated[float, MEGAPIXELS]

    @property
    def request(self) -> SettingsRequest:
        """What was said, for the work to be done."""
        told, asked = self.photographed.told, self.max_megapixels
        return SettingsRequest(self.marking, self.compound, self.sheet, asked, self.snap, self.proof, told)

    @property
    def files(self) -> tuple[Path, ...]:
        """The files that are read and never written over."""
        return tuple(one for one in (self.sheet, self.proof) if one is not None)


@dataclass(frozen=True, slots=True)
class OutputOptions:
    """How a result is handed over."""

    as_json: Annotated[bool, option("--json", "Print the result as JSON and nothing else.")]
    folder: Annotated[Path | None, option("--out", "Folder for the report and what belongs to it.", type=FOLDER)]
    overwrite: Annotated[bool, OVERWRITE]


@dataclass(frozen=True, slots=True)
class FlankOptions:
    """Which flank a photo shows."""

    flank: Annotated[Flank | None, option("--flank", WHICH_FLANK)]
    end_a: Annotated[PictureSide | None, option("--end-a", WHERE_A)]
    tip: Annotated[PictureSide | None, option("--tip", WHERE_TIP)]
    tooth_at: Annotated[tuple[float, float] | None, option("--tooth-at", WHICH_TOOTH, type=PIXEL, multiple=False)]

    @property
    def said(self) -> bool:
        """Whether the flank is said at all."""
        return self.flank is not None or self.end_a is not None

    def chosen(self, told: ToldMedium) -> Flank:
        """The flank that is meant; ``told``: what was photographed.

        Raises WrongUse when none is said, InconsistentInputs for a contradiction.
        """
        return chosen_flank(self.flank, self.end_a, self.tip or PictureSide.UP, told)

    @property
    def sought_tip(self) -> PictureSide | None:
        """Where the tip points, as it was said or follows from where end A is seen; None is to be found out."""
        return self.tip or (None if self.end_a is None else PictureSide.UP)
