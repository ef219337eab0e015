"""``patternscan outline``: find the outline of a flank, and a page to correct it by hand."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import argument, option, takes
from patternscan.cli.options.shared import MEGAPIXELS, OVERWRITE, FlankOptions, MediumOptions
from patternscan.cli.options.types import FOLDER
from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.plain_text import printable
from patternscan.reporting.text.wording import sure_words
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.mark import MarkRequest, find_outline
from patternscan.workflow.outputs.outline import outline_files

PLACE = "Folder for both files.  [default: this folder]"


@dataclass(frozen=True, slots=True)
class OutlineOptions:
    """What the command takes."""

    photo: Annotated[Path, argument()]
    flank: FlankOptions
    outline: Annotated[Path | None, option("--outline", "Start from this outline file instead of looking.")]
    photographed: MediumOptions
    max_megapixels: Annotated[float, MEGAPIXELS]
    folder: Annotated[Path, option("--out", PLACE, default=Path(), type=FOLDER)]
    overwrite: Annotated[bool, OVERWRITE]


@click.command()
@takes(OutlineOptions)
def outline(given: OutlineOptions) -> None:
    """Find the outline of a flank in PHOTO. Writes the outline file and a page to correct it by hand.

    Open the page in any browser, drag the points onto the edges of the flank, and save the outline file.
    When no outline can be trusted, or the flank is not said, only the page is written; it asks which flank it is.

    Example: patternscan outline left.jpg --flank left --tip up --out marked
    """
    told = given.photographed.told
    asks = not given.flank.said and given.outline is None
    flank = Flank.RIGHT if asks else given.flank.chosen(told)
    photo = PhotoInput(given.photo, flank, given.outline, given.flank.sought_tip, given.flank.tooth_at)
    result = find_outline(MarkRequest(photo, given.max_megapixels, asks, told))
    written = deliver(outline_files(given.folder, result), given.overwrite, photo.files)
    if result.untrusted is not None:
        raise NoTrustworthyOutline(result.untrusted.found, f"Mark it by hand: open {written[0]} in a browser.")
    for path in written:
        click.echo(printable(f"Written: {path}"))
    if given.outline is None:
        sure = sure_words(result.outlines[0].confidence)
        asked = "say there which flank it is, correct it and save it" if asks else "correct it and save it"
        click.echo(f"The tool is {sure} of the outline. Open the page in a browser, {asked}.")
