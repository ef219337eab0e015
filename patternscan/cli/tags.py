"""``patternscan tags``: tags to print that tell end A from end B in a photo."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import option, takes
from patternscan.cli.options.shared import OVERWRITE
from patternscan.cli.show import refuse_other_ending, say, write
from patternscan.reporting.text.tags import kept_words
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.outputs.tags import tag_files
from patternscan.workflow.tags import TagsRequest, choose_tags

SHEET = (
    "The machine sheet (a TOML file). Its pair of tags is printed; where it names none, one is drawn and added to it."
)
MACHINE = "What the machine is called, where no sheet tells."


@dataclass(frozen=True, slots=True)
class TagsOptions:
    """What the command takes."""

    pdf: Annotated[Path, option("--out", "The PDF to write; prints on A4 and Letter.", required=True)]
    machine: Annotated[str | None, option("--machine", MACHINE, metavar="NAME")]
    sheet: Annotated[Path | None, option("--sheet", SHEET)]
    overwrite: Annotated[bool, OVERWRITE]


@click.command()
@takes(TagsOptions)
def tags(given: TagsOptions) -> None:
    """Write a sheet of small square tags for end A and end B of one machine, to print and cut out.

    A tag that is seen whole in a photo shows which end is A: then no painted letter has to be looked for, and swapped
    ends, a mirrored photo and the photo of another machine are refused. Tags are never needed.

    Example: patternscan tags --machine "Goods lift" --out tags.pdf
    """
    refuse_other_ending(given.pdf, ".pdf")
    result = choose_tags(TagsRequest(given.machine, given.sheet))
    write(tag_files(given.pdf, result), given.overwrite, () if given.sheet is None else (given.sheet,))
    if given.sheet is not None and result.new_sheet is not None:
        deliver({given.sheet: result.new_sheet}, overwrite=True)
    say(kept_words(None if given.sheet is None else given.sheet.name, result.pair, result.new_sheet is not None))
