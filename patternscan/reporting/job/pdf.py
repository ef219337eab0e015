"""The record of a setting job as a PDF of real words, with bookmarks, in one print area for A4 and Letter."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from functools import partial
from math import inf

from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CallerMacro,
    CondPageBreak,
    Flowable,
    Frame,
    HRFlowable,
    Image,
    KeepTogether,
    LongTable,
    PageTemplate,
)

from patternscan.reporting.drawing.encoding import jpeg_bytes
from patternscan.reporting.job.chapters import Chapter, Plate, chapters, opening
from patternscan.reporting.job.pdf_words import LACKING, PLAIN, RULE, WIDTH_PT, bullet, drawable, paragraph, table
from patternscan.reporting.job.record import JobRecord
from patternscan.reporting.pictures.charts import Chart, chart_png
from patternscan.reporting.text.runs import Run, runs
from patternscan.reporting.text.safety import safety_lines
from patternscan.version import __version__

SHEET_PT = (210 * mm, 279.4 * mm)
"""As wide as A4 (ISO 216) and as high as Letter (ANSI Y14.1), so that either holds it at its own size."""
SIDE_PT, TOP_PT, FOOT_PT = (SHEET_PT[0] - WIDTH_PT) / 2, 20 * mm, 18 * mm
"""Margins of the words; header and footer stand in them, no nearer to the edge than desk printers reach."""
EDGE_PT = 12.2 * mm
TITLE_PT, HEADING_PT, WORDS_PT, HEADER_PT, SMALL_PT = 15.0, 11.0, 9.0, 9.0, 9.0
WHOLE_PT, BEGUN_PT = 95 * mm, 45 * mm
"""What is no higher than the one is not cut; what is cut has as much room as the other on the sheet it begins on."""
ABREAST_PT = WIDTH_PT / 2
GAP_PT = 4 * mm
UNRULED = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]
COUNT = "sheets"
"""Name within the file of what says how many sheets there are; it can hold no space."""


def job_pdf(record: JobRecord) -> bytes:
    """The PDF; a sign that its letters lack is shown as a box, and the first sheet says so."""
    memory, header = io.BytesIO(), f"{record.machine}: setting job, record of {record.made_at:%Y-%m-%d}"
    document = BaseDocTemplate(
        memory,
        pagesize=SHEET_PT,
        title=drawable(header),
        creator=f"patternscan {__version__}",
        author="",
        subject="Setting of a worm wheel",
        lang="en",
        invariant=1,
    )
    area = Frame(SIDE_PT, FOOT_PT, WIDTH_PT, SHEET_PT[1] - TOP_PT - FOOT_PT, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[area], onPage=partial(_draw_edges, header)))
    document.build([*_story(record), CallerMacro(partial(_finish, record.made_at))])
    return memory.getvalue()


def _story(record: JobRecord) -> Iterator[Flowable]:
    found, top = chapters(record), opening(record)
    yield paragraph([Run(f"{top.answer}.", True)], TITLE_PT, spaceAfter=3)
    yield paragraph([Run(record.machine, False)], HEADING_PT, spaceAfter=3)
    for words in (*safety_lines(), top.why):
        yield paragraph(runs(words), WORDS_PT, spaceAfter=3)
    if any(LACKING in drawable(words) for words in _all_words(record, found)):
        lacking = f"{LACKING} stands for signs that cannot be printed here; the page has them."
        yield paragraph([Run(lacking, False)], SMALL_PT)
    *others, safety, sources = map(_parts, found)
    for parts in (*others, [*safety, *sources]):
        yield from _together(parts)


def _all_words(record: JobRecord, found: Sequence[Chapter]) -> Iterator[str]:
    yield record.machine
    for chapter in found:
        yield from chapter.lines
        for one in chapter.tables:
            yield from (one.caption, *(words for row in one.rows for words in row))


def _parts(chapter: Chapter) -> list[list[Flowable]]:
    """What is not to be parted; the heading goes with the first thing under it."""
    size = SMALL_PT if chapter.small else WORDS_PT
    parts = [*_abreast([_plate(plate) for plate in chapter.plates]), *_abreast([_chart(c) for c in chapter.charts])]
    parts += [table(one, size) for one in chapter.tables]
    parts += [[bullet(runs(line), size)] for line in chapter.lines]
    return [[*_heading(chapter.title), *parts[0]], *parts[1:]]


def _heading(title: str) -> list[Flowable]:
    return [
        CallerMacro(partial(_bookmark, title)),
        paragraph([Run(title, True)], HEADING_PT, spaceBefore=5),
        HRFlowable("100%", 0.5, color=RULE, spaceBefore=1, spaceAfter=4),
    ]


def _together(parts: Sequence[list[Flowable]]) -> Iterator[Flowable]:
    """All parts on one sheet when they are low together, else each of them begun where there is room."""
    whole = [flowable for part in parts for flowable in part]
    for group in [whole] if _height_pt(whole) <= WHOLE_PT else parts:
        low = _height_pt(group) <= WHOLE_PT
        yield from [KeepTogether(group)] if low else [CondPageBreak(BEGUN_PT), *group]


def _height_pt(flowables: Sequence[Flowable]) -> float:
    return float(sum(one.wrap(WIDTH_PT, inf)[1] + one.getSpaceAfter() for one in flowables))


def _plate(plate: Plate) -> list[Flowable]:
    width = ABREAST_PT - GAP_PT
    height = width * plate.image.height / plate.image.width
    picture = Image(io.BytesIO(jpeg_bytes(plate.image)), width, height, hAlign="LEFT")
    return [picture, paragraph([Run(plate.caption, False)], SMALL_PT, spaceBefore=2)]


def _chart(chart: Chart) -> list[Flowable]:
    picture = Image(io.BytesIO(chart_png(chart)), chart.width_mm * mm, chart.height_mm * mm, hAlign="LEFT")
    return [picture, paragraph([Run(chart.caption, True)], SMALL_PT, spaceBefore=2)]


def _abreast(cells: Sequence[list[Flowable]]) -> Iterator[list[Flowable]]:
    """Rows of two cells."""
    for first in range(0, len(cells), 2):
        row = [*cells[first : first + 2], []][:2]
        yield [LongTable([row], [ABREAST_PT, ABREAST_PT], style=UNRULED, spaceAfter=3)]


def _bookmark(title: str, spot: Flowable) -> None:
    key = f"chapter {spot.canv.getPageNumber()} {title}"
    spot.canv.bookmarkHorizontal(key, 0, 0)
    spot.canv.addOutlineEntry(drawable(title), key)


def _draw_edges(header: str, canvas: Canvas, document: BaseDocTemplate) -> None:
    """The header and the number of the sheet; how many there are is filled in when all are laid out."""
    first, *more = simpleSplit(drawable(header), PLAIN, HEADER_PT, WIDTH_PT - 14)
    canvas.setFont(PLAIN, HEADER_PT)
    canvas.drawString(SIDE_PT, SHEET_PT[1] - EDGE_PT - HEADER_PT, f"{first} ..." if more else first)
    canvas.setStrokeColor(RULE)
    canvas.setLineWidth(0.5)
    canvas.line(SIDE_PT, SHEET_PT[1] - TOP_PT + 6, SHEET_PT[0] - SIDE_PT, SHEET_PT[1] - TOP_PT + 6)
    canvas.drawRightString(SHEET_PT[0] - SIDE_PT - 14, EDGE_PT, f"{document.page} of")
    canvas.doForm(COUNT)


def _finish(made_at: datetime, spot: Flowable) -> None:
    """Fill in the count of sheets, and the date in UTC as PDF writes it (ISO 32000-1, 7.9.4)."""
    canvas = spot.canv
    canvas.beginForm(COUNT)
    canvas.setFont(PLAIN, HEADER_PT)
    canvas.drawString(SHEET_PT[0] - SIDE_PT - 12, EDGE_PT, str(canvas.getPageNumber()))
    canvas.endForm()
    canvas.setDateFormatter(lambda *_: f"D:{made_at.astimezone(UTC):%Y%m%d%H%M%S}Z")
