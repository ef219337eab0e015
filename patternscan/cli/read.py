"""``patternscan read``: one photo, one kind of flank."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.batch import finish, opened, refuse_beside_folder, tell
from patternscan.cli.marking import pages_to_mark
from patternscan.cli.options.batch import BatchOptions
from patternscan.cli.options.records import argument, option, takes
from patternscan.cli.options.shared import BY, FULL, FlankOptions, OutputOptions, PhotoOptions
from patternscan.cli.show import hand_over, write
from patternscan.workflow import batch, disk
from patternscan.workflow.batch.request import BatchRequest, holds_many
from patternscan.workflow.inputs.machine_folder import refuse_other_name
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import load_settings
from patternscan.workflow.outputs.reading import contact_map_bytes, reading_answer, reading_files, reading_name
from patternscan.workflow.read import ReadRequest, read_photo


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """What the command takes."""

    photo: Annotated[Path, argument()]
    flank: FlankOptions
    outline: Annotated[Path | None, option("--outline", "Outline file of this photo; without it the tool looks.")]
    map_path: Annotated[Path | None, option("--map", "Write the contact map of the first flank (PNG, 256 x 128).")]
    reading: PhotoOptions
    output: OutputOptions
    batch: BatchOptions
    by: Annotated[str | None, BY]
    full: Annotated[bool, FULL]


@click.command()
@takes(ReadOptions)
def read(given: ReadOptions) -> None:
    """Read the contact pattern of one flank from PHOTO.

    Example: patternscan read left.jpg --flank left --marking transfer --outline left.outline.json --out report

    PHOTO may also be a folder of photos, with outline files beside them, or a list of photos (a CSV file with the
    columns photo, flank, outline, tip, machine, sheet, marking). All are read, and a table tells what came of each.

    Example: patternscan read site_photos --marking transfer --out site
    """
    if holds_many(given.photo):
        refuse_beside_folder(
            {"--outline": given.outline, "--tooth-at": given.flank.tooth_at, "--map": given.map_path, "--by": given.by}
        )
        finish(batch.readings.read_batch(opened(_batch_request(given)), tell), given.output)
        return
    settings = load_settings(given.reading.request)
    flank = given.flank.chosen(settings.told)
    photo = PhotoInput(given.photo, flank, given.outline, given.flank.sought_tip, given.flank.tooth_at)
    if given.flank.end_a is None:
        refuse_other_name(photo)
    if given.output.folder is not None:
        disk.delivery.refuse_used(given.output.folder, reading_name(photo.name), given.output.overwrite)
    with pages_to_mark([photo], settings, given.output.folder):
        result = read_photo(ReadRequest(photo, settings, given.by))
    answer, files = reading_answer(result), {}
    if given.map_path is not None:
        files[given.map_path] = contact_map_bytes(result.readings[0])
    if given.output.folder is not None:
        files |= reading_files(given.output.folder, result, answer)
    write(files, given.output.overwrite, (*photo.files, *given.reading.files))
    hand_over(answer, given.output.as_json, full=given.full)


def _batch_request(given: ReadOptions) -> BatchRequest:
    flank = given.flank.chosen(given.reading.request.told) if given.flank.said else None
    return given.batch.request(given.photo, given.reading.request, given.output, flank, given.flank.sought_tip)
