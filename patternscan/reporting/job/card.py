"""The job card as a PDF of A5 sheets (ISO 216), to be filled in by hand."""

from __future__ import annotations

import io
from functools import partial

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, KeepTogether, LongTable, PageTemplate

from patternscan.reporting.job.pdf_words import PLAIN, RULED, drawable, paragraph
from patternscan.reporting.text.job.card import TYPE_IN, card_safety, card_tables
from patternscan.reporting.text.runs import Run
from patternscan.reporting.text.table import Table
from patternscan.setting.machine.sheet import Sheet
from patternscan.version import __version__

SHEET_PT, MARGIN_PT = (148 * mm, 210 * mm), 9 * mm
WIDTH_PT = SHEET_PT[0] - 2 * MARGIN_PT
TITLE_PT, WORDS_PT, FOOT_PT = 12.0, 7.5, 6.5
ROW_PT = 17.0
"""A row is high enough to be written in with gloves off and a pencil."""
SHARES = {2: (0.62, 0.38), 3: (0.38, 0.24, 0.38), 6: (0.1, 0.18, 0.18, 0.18, 0.18, 0.18)}
"""Widths of the columns as parts of the print area, by how many there are."""


def job_card(sheet: Sheet) -> bytes:
    """The card of a machine, with its name and limits."""
    memory, name = io.BytesIO(), sheet.machine or "Machine:"
    document = BaseDocTemplate(
        memory,
        pagesize=SHEET_PT,
        title=drawable(f"{name}: job card"),
        creator=f"patternscan {__version__}",
        author="",
        lang="en",
        invariant=1,
    )
    area = Frame(MARGIN_PT, 1.4 * MARGIN_PT, WIDTH_PT, SHEET_PT[1] - 2.4 * MARGIN_PT, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[area], onPage=partial(_draw_foot, name)))
    top = [
        paragraph([Run(f"Job card: {name}", True)], TITLE_PT, spaceAfter=2),
        paragraph([Run(card_safety(), True)], WORDS_PT, spaceAfter=3),
        paragraph([Run(TYPE_IN, False)], WORDS_PT, spaceAfter=4),
    ]
    document.build([*top, *(KeepTogether(_ruled(table)) for table in card_tables(sheet))])
    return memory.getvalue()


def _ruled(table: Table) -> list[Flowable]:
    lines = [table.head, *table.rows]
    rows = [[paragraph([Run(words, place == 0)], WORDS_PT) for words in line] for place, line in enumerate(lines)]
    widths = [share * WIDTH_PT for share in SHARES[len(table.head)]]
    heights = [0.0, *[ROW_PT] * len(table.rows)]
    caption = paragraph([Run(table.caption, True)], WORDS_PT + 1, spaceBefore=3, spaceAfter=2)
    return [caption, LongTable(rows, widths, minRowHeights=heights, style=RULED, spaceAfter=4)]


def _draw_foot(name: str, canvas: Canvas, document: BaseDocTemplate) -> None:
    canvas.setFont(PLAIN, FOOT_PT)
    canvas.drawString(MARGIN_PT, 0.7 * MARGIN_PT, drawable(name)[:80])
    canvas.drawRightString(SHEET_PT[0] - MARGIN_PT, 0.7 * MARGIN_PT, f"Card, sheet {document.page}")
