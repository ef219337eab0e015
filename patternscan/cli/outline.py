"""``patternscan outline``: find the outline of a flank, and a page to correct it by hand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.options import PATH, chosen_flank, flank_options
from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank, percent

if TYPE_CHECKING:
    from patternscan.seeing.geometry.outline import Outline
    from patternscan.seeing.image.photo import Photo


@click.command(short_help="Find the outline of a flank and write a page to correct it.")
@click.argument("photo", type=PATH)
@flank_options
@click.option("--outline", "outline_path", type=PATH, help="Start from this outline file instead of looking.")
@click.option("--out", "folder", type=PATH, default=Path(), help="Folder for both files.  [default: this folder]")
@click.option("--overwrite", is_flag=True, help="Replace files that are already there.")
@click.option("--max-megapixels", type=click.FloatRange(min=0.1), default=250.0, show_default=True,
              help="Refuse photos larger than this.")  # fmt: skip
def outline(photo: Path, **options: Any) -> None:
    """Find the outline of a flank in PHOTO. Writes the outline file and a page to correct it by hand.

    Open the page in any browser, drag the points onto the edges of the flank, and save the outline file.
    When no outline can be trusted, only the page is written.

    Example: patternscan outline left.jpg --flank left --tip up --out marked
    """
    flank = chosen_flank(options["flank_name"], options["end_a"], options["tip"])

    from patternscan.reporting.documents.delivery import deliver
    from patternscan.reporting.pages.marking_page import outline_page
    from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes
    from patternscan.seeing.image.photo import load_photo

    picture = load_photo(photo, options["max_megapixels"])
    outlines, doubt = _first_outlines(picture, flank, options)
    stem = Path(picture.name).stem
    folder = options["folder"]
    files = {folder / f"{stem}.outline.html": outline_page(picture, outlines, flank).encode()}
    if doubt is None:
        document = outline_document(picture.name, outlines)
        files[folder / f"{stem}.outline.json"] = outline_file_bytes(document)
    originals = tuple(path for path in (photo, options["outline_path"]) if path is not None)
    written = deliver(files, options["overwrite"], originals)
    if doubt is not None:
        raise NoTrustworthyOutline(doubt.found, f"Mark it by hand: open {written[0]} in a browser.")
    for path in written:
        click.echo(f"Written: {path}")
    if options["outline_path"] is None:
        sure = percent(outlines[0].confidence)
        click.echo(f"Confidence of the outline: {sure}. Look at it in the page and correct it.")


def _first_outlines(
    photo: Photo, flank: Flank, options: dict[str, Any]
) -> tuple[tuple[Outline, ...], NoTrustworthyOutline | None]:
    """Outlines to start from, and why they are not to be trusted (None when they are)."""
    from patternscan.cli.load import Shot, outlines_of
    from patternscan.seeing.geometry.outline import PictureSide
    from patternscan.seeing.outline_search.search import best_guess

    try:
        return outlines_of(photo, Shot(Path(photo.name), flank, options["outline_path"], options["tip"])), None
    except NoTrustworthyOutline as error:
        if options["outline_path"] is not None:
            raise
        guess = best_guess(photo, flank, PictureSide(options["tip"]))
        return (() if guess is None else (guess,)), error
