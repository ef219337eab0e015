"""What a command hands over: the result on standard output, files in a folder, talk on standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from patternscan.judging.judgement import Judgement
    from patternscan.measuring.reading import Reading
    from patternscan.reporting.documents.prediction import Prediction


@dataclass(frozen=True, slots=True)
class Delivery:
    """How files are written: ``originals`` are the inputs; they are never written over."""

    overwrite: bool
    originals: tuple[Path, ...]

    def write(self, files: Mapping[Path, bytes]) -> None:
        """Write all files, or none, and say on standard error where they are."""
        from patternscan.reporting.documents.delivery import deliver

        for path in deliver(files, self.overwrite, self.originals):
            click.echo(f"Written: {path}", err=True)


@contextmanager
def progress(words: str) -> Iterator[Callable[[float], None]]:
    """Show how much of a longer job is done, on standard error, when a person is looking there."""
    looking = sys.stderr.isatty()

    def done(part: float) -> None:
        if looking:
            click.echo(f"\r{words}: {part * 100:3.0f} %", err=True, nl=False)

    try:
        yield done
    finally:
        if looking:
            click.echo(err=True)


def map_file(path: Path, reading: Reading) -> dict[Path, bytes]:
    """The contact map of one flank."""
    from patternscan.reporting.documents.result import contact_map_image
    from patternscan.reporting.pictures.encoding import png_bytes

    return {path: png_bytes(contact_map_image(reading))}


def reading_files(
    folder: Path, readings: Sequence[Reading], document: dict[str, Any], report: str
) -> dict[Path, bytes]:
    """The annotated picture, a picture to check each flank by, the report and the result of one photo."""
    from patternscan.reporting.pictures.annotation import annotate
    from patternscan.reporting.pictures.encoding import jpeg_bytes

    stem = Path(readings[0].photo.name).stem
    return {
        folder / f"{stem}.annotated.jpg": jpeg_bytes(annotate(readings[0].photo, readings)),
        **{folder / name: content for name, content in _checks(readings).items()},
        folder / f"{stem}.report.md": report.encode(),
        folder / f"{stem}.reading.json": _json_bytes(document),
    }


def judgement_files(folder: Path, judgement: Judgement, document: dict[str, Any], report: str) -> dict[Path, bytes]:
    """One annotated picture per photo, one to check each flank by, that of the pair, the report, page and result."""
    from patternscan.reporting.pages.judgement_page import judgement_page
    from patternscan.reporting.pictures.encoding import png_bytes
    from patternscan.reporting.pictures.pair_picture import draw_pair

    files = {
        **_annotated(judgement),
        **_checks((*judgement.left, *judgement.right)),
        **_flat_flanks(judgement),
        "both_flanks.png": png_bytes(draw_pair(judgement)),
        "report.md": report.encode(),
        "page.html": judgement_page(judgement).encode(),
        "judgement.json": _json_bytes(document),
    }
    return {folder / name: content for name, content in files.items()}


def comparison_files(folder: Path, document: dict[str, Any], report: str) -> dict[Path, bytes]:
    """The report and the result of a comparison."""
    return {folder / "comparison.md": report.encode(), folder / "comparison.json": _json_bytes(document)}


def prediction_files(folder: Path, prediction: Prediction, document: dict[str, Any], report: str) -> dict[Path, bytes]:
    """The picture, the report and the result of a computed pattern."""
    from patternscan.reporting.pictures.encoding import png_bytes
    from patternscan.reporting.pictures.predicted_picture import draw_prediction

    return {
        folder / "prediction.png": png_bytes(draw_prediction(prediction)),
        folder / "prediction.md": report.encode(),
        folder / "prediction.json": _json_bytes(document),
    }


def hand_over(document: dict[str, Any], report: Callable[[], str], as_json: bool) -> None:
    """Print the result on standard output: the report, or the JSON document alone."""
    click.echo(json.dumps(document, indent=1, allow_nan=False) if as_json else report())


def _annotated(judgement: Judgement) -> dict[str, bytes]:
    """One annotated picture per photo; photos of the same name in different folders get a number."""
    from patternscan.reporting.pictures.annotation import annotate, group_by_photo
    from patternscan.reporting.pictures.encoding import jpeg_bytes

    files: dict[str, bytes] = {}
    for readings in group_by_photo((*judgement.left, *judgement.right)):
        files[_fresh_name(files, readings[0], "annotated.jpg")] = jpeg_bytes(annotate(readings[0].photo, readings))
    return files


def _checks(readings: Sequence[Reading]) -> dict[str, bytes]:
    """One picture per flank by which a person checks what the machine saw."""
    from patternscan.reporting.pictures.check_picture import draw_check
    from patternscan.reporting.pictures.encoding import png_bytes

    files: dict[str, bytes] = {}
    for reading in readings:
        files[_fresh_name(files, reading, "check.png")] = png_bytes(draw_check(reading))
    return files


def _flat_flanks(judgement: Judgement) -> dict[str, bytes]:
    """Of each flank in the result's order, for later comparison: the bare flank in the photo and laid flat, the map."""
    from patternscan.reporting.documents.result import contact_map_image, flat_image
    from patternscan.reporting.pictures.annotation import cut_bare
    from patternscan.reporting.pictures.encoding import jpeg_bytes, png_bytes

    files: dict[str, bytes] = {}
    for flank, readings in (("left", judgement.left), ("right", judgement.right)):
        for number, reading in enumerate(readings, 1):
            files[f"{flank}_{number}.close_up.jpg"] = jpeg_bytes(cut_bare(reading.photo, [reading.outline]))
            files[f"{flank}_{number}.flat.jpg"] = jpeg_bytes(flat_image(reading))
            files[f"{flank}_{number}.contact.png"] = png_bytes(contact_map_image(reading))
    return files


def _fresh_name(taken: Mapping[str, bytes], reading: Reading, ending: str) -> str:
    """A file name of photo and flank that is not taken: further teeth and photos of the same name get a number."""
    stem = f"{Path(reading.photo.name).stem}.{reading.outline.flank}"
    names = (f"{stem}.{ending}", *(f"{stem}.{number}.{ending}" for number in range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)


def _json_bytes(document: dict[str, Any]) -> bytes:
    return (json.dumps(document, indent=1, allow_nan=False) + "\n").encode()
