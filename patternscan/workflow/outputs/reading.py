"""What is handed over of the flanks of one photo."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from patternscan.measuring.reading import Reading
from patternscan.plain_text import file_stem
from patternscan.reporting import drawing, pictures
from patternscan.reporting.documents.reading import reading_document
from patternscan.reporting.text.reports.brief import reading_brief
from patternscan.reporting.text.reports.reading import reading_report
from patternscan.workflow.outputs.answer import Answer, Files, inside
from patternscan.workflow.read import ReadResult


def reading_answer(result: ReadResult) -> Answer:
    """The document and the report."""
    readings, made = result.readings, result.made
    document = reading_document(readings[0].photo, readings, made)
    return Answer(document, reading_report(readings, made), reading_brief(readings, made))


def reading_files(folder: Path, result: ReadResult, answer: Answer) -> Files:
    """The annotated picture, a picture to check each flank by, the report and the document of one photo."""
    photo = result.readings[0].photo
    stem = file_stem(photo.name)
    drawn = {
        f"{stem}.annotated.jpg": drawing.encoding.drawn_jpeg_bytes(
            pictures.annotation.annotate(photo, result.readings)
        ),
        **check_pictures(result.readings),
    }
    return inside(folder, answer.beside(drawn, f"{stem}.report.md", reading_name(photo.name)))


def reading_name(photo: str) -> str:
    """Name of the file of a photo's reading."""
    return f"{file_stem(photo)}.reading.json"


def contact_map_bytes(reading: Reading) -> bytes:
    """The contact map of one flank as PNG."""
    return drawing.encoding.png_bytes(pictures.bare_flank.contact_map_image(reading))


def check_pictures(readings: Sequence[Reading]) -> dict[str, bytes]:
    """One picture per flank by which a person checks what the machine saw."""
    files: dict[str, bytes] = {}
    for reading in readings:
        drawn = pictures.check_picture.draw_check(reading)
        files[fresh_name(files, reading, "check.png")] = drawing.encoding.drawn_png_bytes(drawn)
    return files


def fresh_name(taken: Mapping[str, bytes], reading: Reading, ending: str) -> str:
    """A file name of photo and flank that is not taken: further teeth and photos of the same name get a number.

    Names that differ in capitals alone are the same on some disks.
    """
    stem = f"{file_stem(reading.photo.name)}.{reading.outline.flank}"
    names = (f"{stem}.{ending}", *(f"{stem}.{number}.{ending}" for number in range(2, len(taken) + 3)))
    used = {name.casefold() for name in taken}
    return next(name for name in names if name.casefold() not in used)
