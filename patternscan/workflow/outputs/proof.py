"""What is handed over of a proof."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from patternscan.judging.proof.checked_flank import CheckedFlank, Deviation
from patternscan.reporting.documents.proof import proof_document
from patternscan.reporting.pages.proof_page import proof_page
from patternscan.reporting.pictures.proof_picture import draw_beside_truth
from patternscan.reporting.text.reports.proof import proof_report, shown_words
from patternscan.workflow.disk.spreadsheet import Cell, CsvStyle, csv_bytes, harmless
from patternscan.workflow.outputs.answer import Answer, Files, inside
from patternscan.workflow.proof.proving import ProofResult

PROOF_NAME = "proof.json"
COLUMNS = (
    "photo", "flank", "tooth", "machine", "marking", "compound", "by", "overlap", "along_error", "along_held",
    "up_error", "up_held", "coverage_error", "coverage_held", "compound_right", "marking_right", "outline_overlap",
    "stop",
)  # fmt: skip


def proof_answer(result: ProofResult) -> Answer:
    """The document and the report."""
    return Answer(proof_document(result.proof, result.made), proof_report(result.proof, result.made))


def proof_files(folder: Path, result: ProofResult, answer: Answer, style: CsvStyle = CsvStyle.POINT) -> Files:
    """The page, a table with a line for each flank, the report and the document."""
    worst = {
        words: draw_beside_truth(one.flat, one.contact, one.truth, words)
        for one in result.worst
        for words in [shown_words(one.truth.photo, one.truth.outline.flank, one.overlap)]
    }
    files = {
        "flanks.csv": csv_bytes([COLUMNS, *map(_line, result.proof.flanks)], style),
        "page.html": proof_page(result.proof, worst, result.made).encode(),
    }
    return inside(folder, answer.beside(files, "report.md", PROOF_NAME))


def _line(one: CheckedFlank) -> tuple[Cell, ...]:
    return (
        *map(harmless, (one.photo, one.flank, one.tooth, one.machine, one.marking, one.compound or "", one.by)),
        _rounded(one.overlap),
        *(cell for deviation in (one.along, one.up, one.coverage) for cell in _told(deviation)),
        *(_yes(right) for right in (one.compound_right, one.marking_right)),
        _rounded(one.outline_overlap),
        harmless(one.stop),
    )


def _told(deviation: Deviation | None) -> Iterator[Cell]:
    yield None if deviation is None else _rounded(deviation.error)
    yield None if deviation is None else _yes(deviation.held)


def _rounded(number: float | None) -> Cell:
    return None if number is None else round(number, 4)


def _yes(right: bool | None) -> Cell:
    return None if right is None else "yes" if right else "no"
