"""The record of a setting job as a PDF of real words and lines, in one print area for A4 and Letter."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC
from functools import partial

from matplotlib.backends.backend_pdf import PdfPages

from patternscan import __version__
from patternscan.reporting.job.chapters import Chapter, Plate, chapters, opening
from patternscan.reporting.job.charts import Chart, chart_style
from patternscan.reporting.job.pdf_letters import LACKING, Line, drawable, wrap
from patternscan.reporting.job.pdf_sheet import (
    AREA_MM,
    Block,
    Spot,
    cut_lines,
    draw_sheet,
    fill_sheets,
    line_height_mm,
    put_axes,
    put_image,
    put_lines,
    put_rule,
    put_words,
)
from patternscan.reporting.job.pdf_table import table_blocks
from patternscan.reporting.job.record import JobRecord
from patternscan.reporting.pages.web_page import Run, runs

TITLE_PT, HEADING_PT, WORDS_PT, SMALL_PT = 15.0, 11.0, 8.5, 6.8
INDENT_MM, GAP_MM = 4.0, 4.0
BULLET = "\u2022"
PLATE_MM = (AREA_MM[0] - GAP_MM) / 2
"""Two flanks stand side by side."""


def job_pdf(record: JobRecord) -> bytes:
    """The PDF; a sign that its letters lack is shown as a box, and the first sheet says so."""
    found, memory = chapters(record), io.BytesIO()
    blocks = [*_top(record, found), *(block for chapter in found for block in _chapter(chapter))]
    sheets = fill_sheets(blocks)
    header = f"{record.machine}: setting job, record of {record.made_at:%Y-%m-%d}"
    about = {
        "Title": drawable(header),
        "Creator": f"patternscan {__version__}",
        "CreationDate": record.made_at.astimezone(UTC),
    }
    with chart_style(), PdfPages(memory, metadata=about) as pages:
        for number, sheet in enumerate(sheets, 1):
            pages.savefig(draw_sheet(sheet, _shortened(header), f"Page {number} of {len(sheets)}"))
    return memory.getvalue()


def _top(record: JobRecord, found: Sequence[Chapter]) -> Iterator[Block]:
    top = opening(record)
    yield from _paragraph([Run(f"{top.answer}.", True)], TITLE_PT)
    yield from _paragraph([Run(record.machine, False)], HEADING_PT)
    yield from _paragraph(runs(top.why), WORDS_PT)
    if any(drawable(words) != " ".join(words.split()) for words in _all_words(record, found)):
        yield from _paragraph(
            [Run(f"{LACKING} stands for signs that cannot be printed here; the page has them.", False)], SMALL_PT
        )


def _all_words(record: JobRecord, found: Sequence[Chapter]) -> Iterator[str]:
    yield record.machine
    for chapter in found:
        yield from chapter.lines
        for table in chapter.tables:
            yield table.caption
            for row in table.rows:
                yield from row


def _shortened(header: str) -> str:
    """The header on one line."""
    (first, *more) = wrap([Run(header, False)], 7.5, AREA_MM[0] - 5.0)
    words = "".join(piece.words for piece in first)
    return f"{words} ..." if more else words


def _chapter(chapter: Chapter) -> Iterator[Block]:
    size = SMALL_PT if chapter.small else WORDS_PT
    yield Block(line_height_mm(HEADING_PT) + 4.0, partial(_draw_heading, chapter.title), keep=True)
    yield from _plate_rows(chapter.plates)
    yield from _chart_rows(chapter.charts)
    for table in chapter.tables:
        yield from table_blocks(table, size)
    for line in chapter.lines:
        yield from _bullet(line, size)


def _draw_heading(title: str, spot: Spot) -> None:
    put_words(spot.moved(y_mm=2.0), title, HEADING_PT, strong=True)
    put_rule(spot.moved(y_mm=line_height_mm(HEADING_PT) + 2.6), AREA_MM[0])


def _paragraph(words: Sequence[Run], size_pt: float) -> Iterator[Block]:
    for lines in cut_lines(wrap(words, size_pt, AREA_MM[0])):
        draw = partial(_draw_paragraph, lines, size_pt)
        yield Block(len(lines) * line_height_mm(size_pt) + 1.5, draw)


def _draw_paragraph(lines: Sequence[Line], size_pt: float, spot: Spot) -> None:
    put_lines(spot, lines, size_pt)


def _bullet(line: str, size_pt: float) -> Iterator[Block]:
    for number, lines in enumerate(cut_lines(wrap(runs(line), size_pt, AREA_MM[0] - INDENT_MM))):
        draw = partial(_draw_bullet, lines, size_pt, BULLET if number == 0 else "")
        yield Block(len(lines) * line_height_mm(size_pt) + 0.6, draw)


def _draw_bullet(lines: Sequence[Line], size_pt: float, sign: str, spot: Spot) -> None:
    put_words(spot.moved(x_mm=1.0), sign, size_pt)
    put_lines(spot.moved(x_mm=INDENT_MM), lines, size_pt)


def _plate_rows(plates: Sequence[Plate]) -> Iterator[Block]:
    for first in range(0, len(plates), 2):
        row = _beside([_plate(plate) for plate in plates[first : first + 2]], PLATE_MM + GAP_MM)
        yield replace(row, keep=len(plates) <= 2)


def _plate(plate: Plate) -> Block:
    height = PLATE_MM * plate.image.height / plate.image.width
    caption = wrap([Run(plate.caption, False)], SMALL_PT, PLATE_MM)

    def draw(spot: Spot) -> None:
        put_image(spot, plate.image, PLATE_MM, height)
        put_lines(spot.moved(y_mm=height + 0.8), caption, SMALL_PT)

    return Block(height + 0.8 + len(caption) * line_height_mm(SMALL_PT) + 2.0, draw)


def _chart_rows(charts: Sequence[Chart]) -> Iterator[Block]:
    row: list[Chart] = []
    for chart in charts:
        if row and sum(one.width_mm for one in (*row, chart)) + GAP_MM > AREA_MM[0]:
            yield _beside([_chart(one) for one in row], PLATE_MM + GAP_MM)
            row = []
        row.append(chart)
    if row:
        yield _beside([_chart(one) for one in row], PLATE_MM + GAP_MM)


def _chart(chart: Chart) -> Block:
    caption = wrap([Run(chart.caption, True)], SMALL_PT, chart.width_mm)

    def draw(spot: Spot) -> None:
        left, right, top, bottom = chart.margins_mm
        below = len(caption) * line_height_mm(SMALL_PT)
        put_lines(spot, caption, SMALL_PT)
        size = chart.width_mm - left - right, chart.height_mm - top - bottom
        chart.draw(put_axes(spot.moved(left, below + top), *size))

    return Block(chart.height_mm + len(caption) * line_height_mm(SMALL_PT) + 1.0, draw)


def _beside(blocks: Sequence[Block], apart_mm: float) -> Block:
    """Blocks side by side as one."""

    def draw(spot: Spot) -> None:
        for place, block in enumerate(blocks):
            block.draw(spot.moved(x_mm=place * apart_mm))

    return Block(max(block.height_mm for block in blocks), draw)
