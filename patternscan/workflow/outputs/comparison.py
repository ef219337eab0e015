"""What is handed over of a comparison."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from patternscan.reporting.documents.comparison import comparison_document
from patternscan.reporting.drawing.encoding import drawn_png_bytes
from patternscan.reporting.pages.comparison_page import comparison_page
from patternscan.reporting.pictures.change_picture import draw_changes
from patternscan.reporting.text.figures.captions import change_picture_lines, no_picture_lines
from patternscan.reporting.text.reports.about import about_change
from patternscan.reporting.text.reports.brief import change_brief
from patternscan.reporting.text.reports.change import change_report
from patternscan.workflow.compare import CompareResult
from patternscan.workflow.outputs.answer import Answer, Files, inside


def comparison_answer(result: CompareResult, pictures: Sequence[str] | None = None) -> Answer:
    """The document and the report; ``pictures`` says which pictures there are, or why none; None: nothing of them."""
    change, made = result.change, result.made
    about = about_change(result.before.state, result.after.state, made)
    document = comparison_document(change, made)
    return Answer(document, change_report(change, pictures or (), about), change_brief(change, about))


def comparison_with_files(folder: Path, result: CompareResult) -> tuple[Answer, Files]:
    """The answer, and its files: a picture of each flank that changed, the page, the report and the document."""
    change, before, after = result.change, result.before, result.after
    drawn = draw_changes(change, before.teeth, after.teeth)
    pictures = {f"{flank}_change.png": drawn_png_bytes(one) for flank, one in drawn.items()}
    answer = comparison_answer(
        result, no_picture_lines((before.no_pictures, after.no_pictures)) or change_picture_lines(pictures)
    )
    page = comparison_page(change, before, after, result.made).encode()
    files = answer.beside({**pictures, "page.html": page}, "comparison.md", "comparison.json")
    return answer, inside(folder, files)
