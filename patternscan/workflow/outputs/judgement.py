"""What is handed over of a judgement."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from patternscan.judging.judgement import Judgement
from patternscan.reporting import drawing, pages, pictures
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.kept.judgement import JUDGEMENT_NAME
from patternscan.reporting.pages.parts import WebPage
from patternscan.reporting.text.reports.brief import judgement_brief
from patternscan.reporting.text.reports.judgement import judgement_report
from patternscan.workflow.judge import JudgeResult
from patternscan.workflow.outputs.answer import Answer, Files, inside
from patternscan.workflow.outputs.reading import check_pictures, contact_map_bytes, fresh_name


def judgement_answer(result: JudgeResult) -> Answer:
    """The document and the report."""
    judgement, made = result.judgement, result.made
    return Answer(
        judgement_document(judgement, made),
        judgement_report(judgement, made),
        judgement_brief(judgement, made),
    )


def judgement_files(
    folder: Path, copies: Mapping[str, bytes], result: JudgeResult, answer: Answer, page: WebPage | None = None
) -> Files:
    """The copies, a picture per photo, per flank and of the pair, what comparisons need, report, page and document.

    ``page`` is what the page says, where that is made already.
    """
    judgement = result.judgement
    page = page or pages.judgement_page.judgement_content(judgement, result.made)
    files = {
        **copies,
        **_annotated(judgement),
        **check_pictures((*judgement.left, *judgement.right)),
        **_flat_flanks(judgement),
        "both_flanks.png": drawing.encoding.drawn_png_bytes(pictures.pair_picture.draw_pair(judgement)),
        "page.html": pages.web_page.web_page(page).encode(),
    }
    return inside(folder, answer.beside(files, "report.md", JUDGEMENT_NAME))


def _annotated(judgement: Judgement) -> dict[str, bytes]:
    """One annotated picture per photo; photos of the same name in different folders get a number."""
    files: dict[str, bytes] = {}
    for readings in pictures.annotation.group_by_photo((*judgement.left, *judgement.right)):
        files[fresh_name(files, readings[0], "annotated.jpg")] = drawing.encoding.drawn_jpeg_bytes(
            pictures.annotation.annotate(readings[0].photo, readings)
        )
    return files


def _flat_flanks(judgement: Judgement) -> dict[str, bytes]:
    """Of each flank in the result's order, for later comparison: the bare flank in the photo and laid flat, the map."""
    files: dict[str, bytes] = {}
    for flank, readings in (("left", judgement.left), ("right", judgement.right)):
        for number, reading in enumerate(readings, 1):
            files[f"{flank}_{number}.close_up.jpg"] = drawing.encoding.jpeg_bytes(
                pictures.annotation.cut_bare(reading.photo, [reading.outline])
            )
            files[f"{flank}_{number}.flat.jpg"] = drawing.encoding.jpeg_bytes(pictures.bare_flank.flat_image(reading))
            files[f"{flank}_{number}.contact.png"] = contact_map_bytes(reading)
    return files
