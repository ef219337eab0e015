"""``patternscan truth``: a page on which a person paints where a flank carries contact."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import argument, option, takes
from patternscan.cli.options.shared import OVERWRITE, FlankOptions, PhotoOptions
from patternscan.cli.options.types import FOLDER
from patternscan.cli.show import write
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import load_settings
from patternscan.workflow.outputs.truth import painting_files
from patternscan.workflow.proof.truth import bare_flank

PLACE = "Folder for the page.  [default: this folder]"


@dataclass(frozen=True, slots=True)
class TruthOptions:
    """What the command takes."""

    photo: Annotated[Path, argument()]
    flank: FlankOptions
    outline: Annotated[Path, option("--outline", "Outline file of this photo, marked by a person.", required=True)]
    reading: PhotoOptions
    folder: Annotated[Path, option("--out", PLACE, default=Path(), type=FOLDER)]
    overwrite: Annotated[bool, OVERWRITE]


@click.command()
@takes(TruthOptions)
def truth(given: TruthOptions) -> None:
    """Write a page on which a person paints where the flank in PHOTO carries contact, by eye alone.

    Open it in any browser, also on a phone, paint, and save. Only then ask it to show what the tool sees: that trains
    the eye, too. Lay the saved file beside the photo; 'patternscan proof' tells how near the readings come.

    Example: patternscan truth left.jpg --flank left --outline left.outline.json --marking transfer --out painted
    """
    settings = load_settings(given.reading.request)
    photo = PhotoInput(given.photo, given.flank.chosen(settings.told), given.outline, given.flank.sought_tip)
    bare = bare_flank(photo, settings)
    write(painting_files(given.folder, bare), given.overwrite, (*photo.files, *given.reading.files))
