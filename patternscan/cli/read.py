"""``patternscan read``: one photo, one kind of flank."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from patternscan.cli.folder import folder_options, holds_many, read_many
from patternscan.cli.load import Shot, load_setup, read_shot
from patternscan.cli.options import PATH, chosen_flank, flank_options, output_options, photo_options
from patternscan.cli.show import Delivery, hand_over, map_file, reading_files


@click.command(short_help="Read the contact pattern of one flank.")
@click.argument("photo", type=PATH)
@flank_options
@click.option("--outline", "outline_path", type=PATH, help="Outline file of this photo; without it the tool looks.")
@click.option("--map", "map_path", type=PATH, help="Write the contact map of the first flank (PNG, 256 x 128).")
@photo_options
@output_options
@folder_options
def read(photo: Path, **options: Any) -> None:
    """Read the contact pattern of one flank from PHOTO.

    Example: patternscan read left.jpg --flank left --marking transfer --outline left.outline.json --out report

    PHOTO may also be a folder of photos, with outline files beside them, or a list of photos (a CSV file with the
    columns photo, flank, outline, tip, machine, sheet, marking). All are read, and a table tells what came of each.

    Example: patternscan read site_photos --marking transfer --out site
    """
    if holds_many(photo):
        read_many(photo, options)
        return
    about = (options["marking"], options["compound"], options["sheet_path"], options["max_megapixels"])
    setup = load_setup(*about, options["snap"])
    flank = chosen_flank(options["flank_name"], options["end_a"], options["tip"])
    readings = read_shot(Shot(photo, flank, options["outline_path"], options["tip"]), setup)

    from patternscan.reporting.documents.result import reading_document

    def report() -> str:
        from patternscan.reporting.text.report import reading_report

        return reading_report(readings)

    originals = [path for path in (photo, options["outline_path"], options["sheet_path"]) if path is not None]
    document = reading_document(readings[0].photo, readings)
    files: dict[Path, bytes] = {}
    if options["map_path"] is not None:
        files |= map_file(options["map_path"], readings[0])
    if options["folder"] is not None:
        files |= reading_files(options["folder"], readings, document, report())
    Delivery(options["overwrite"], tuple(originals)).write(files)
    hand_over(document, report, options["as_json"])
