"""``patternscan proof``: how right the readings are on one's own photographs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import argument, option, takes
from patternscan.cli.options.shared import BY, MEGAPIXELS, OutputOptions
from patternscan.cli.show import hand_over, progress, say, write
from patternscan.errors import WrongUse
from patternscan.reporting.text import sharing
from patternscan.workflow.disk.delivery import refuse_target
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.disk.spreadsheet import CsvStyle
from patternscan.workflow.inputs.own_proof import kept_bytes
from patternscan.workflow.outputs.proof import proof_answer, proof_files
from patternscan.workflow.proof.proving import ProofRequest, prove_folder
from patternscan.workflow.proof.share import shared_archive
from patternscan.workflow.proof.witnesses import find_witnesses

QUICK = "Do not look for the outlines: read with those in the truth files only."
SHARE = (
    "Archive (a ZIP file) to give away: the photos, cut down to the wheel, and what was painted, without any names. It "
    "is asked twice."
)
KEEP = "File to keep what came out in: 'read', 'judge' and 'compare' with --proof FILE widen their ranges by it."

STYLE = "How the table in --out is written. 'comma' = decimal commas and semicolons."


@dataclass(frozen=True, slots=True)
class ProofOptions:
    """What the command takes."""

    photos: Annotated[Path, argument(metavar="FOLDER")]
    quick: Annotated[bool, option("--quick", QUICK)]
    max_megapixels: Annotated[float, MEGAPIXELS]
    share: Annotated[Path | None, option("--share", SHARE)]
    keep: Annotated[Path | None, option("--keep", KEEP)]
    output: OutputOptions
    csv_style: Annotated[CsvStyle, option("--csv-style", STYLE, default=CsvStyle.POINT, show_default=True)]
    by: Annotated[str | None, BY]


@click.command()
@takes(ProofOptions)
def proof(given: ProofOptions) -> None:
    """Read every photo in FOLDER of which a person has said what is true, and tell how right the readings are.

    The truth of a photo lies beside it in a file whose name ends in .truth.json. The machine of a photo is told there,
    by the only machine sheet beside it, by the photo's name or by its folder.

    Example: patternscan proof painted --out proven
    """
    if given.share is not None:
        give_away(given, given.share)
        return
    request = ProofRequest(given.photos, not given.quick, given.max_megapixels, given.by)
    with progress("Reading") as done:
        result = prove_folder(request, done)
    answer = proof_answer(result)
    files = {} if given.keep is None else {given.keep: kept_bytes(result.proof.figures, result.made)}
    if given.output.folder is not None:
        files |= proof_files(given.output.folder, result, answer, given.csv_style)
    originals = [path for one in result.photos for path in (one.photo, *one.files)]
    write(files, given.output.overwrite, originals)
    hand_over(answer, given.output.as_json)


def give_away(given: ProofOptions, out: Path) -> None:
    """Write the archive, when that was agreed to twice. Raises WrongUse for what does not go together with it."""
    if given.keep or given.output.folder or given.output.as_json:
        raise WrongUse(*sharing.ALONE)
    photos = find_witnesses(given.photos)
    refuse_target(out, given.output.overwrite, [path for one in photos for path in (one.photo, *one.files)])
    asked = (sharing.what_goes(len(photos), len({one.machine for one in photos})), sharing.SURE)
    if not all(click.confirm(question, err=True) for question in asked):
        raise WrongUse(*sharing.NOT_SHARED)
    with progress("Writing") as done, shared_archive(photos, given.max_megapixels, done) as archive:
        replace_file(out, archive)
    say(f"Written: {out}")
    say(sharing.LOOK)
