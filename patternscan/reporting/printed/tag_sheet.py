"""The sheets of tags and of cards for prints to cut out, for A4 and Letter, as a PDF."""

from __future__ import annotations

import io
from collections.abc import Iterable

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from patternscan.frame import End
from patternscan.reporting.job.pdf_words import PLAIN, STRONG, WIDTH_PT, bullet, drawable, paragraph
from patternscan.reporting.printed.drawn_tag import draw_tag
from patternscan.reporting.printed.print_cards import CARD_MM, draw_cards
from patternscan.reporting.text.runs import Run
from patternscan.reporting.text.tags import BAR_WORDS, HOW_TO, HOW_TO_PRINT, cards_title, sheet_title, size_words
from patternscan.seeing.tags.tag_face import TAG_CELLS
from patternscan.seeing.tags.tag_pair import tag_number
from patternscan.version import __version__

SHEET_PT = (210 * mm, 279.4 * mm)
"""As wide as A4 (ISO 216) and as high as Letter (ANSI Y14.1), so that either holds it at its own size."""
SIDE_PT = (SHEET_PT[0] - WIDTH_PT) / 2
SIZES_MM = (12.0, 16.0, 20.0)
"""Sides of the black squares."""
COPIES = 2
BAR_MM = 50.0
LETTER_PART, LETTERS_PT, SMALL_PT = 0.8, 9.0, 7.0
"""Height of the letter beside a tag over the tag's side; sizes of words."""


def tag_sheet(machine: str | None, pair: int) -> bytes:
    """The PDF: the tags of both ends in three sizes, a bar to check the printer by, and how to fix them; on a second
    page cards for prints on tape and paper.
    """
    memory = io.BytesIO()
    canvas = Canvas(memory, pagesize=SHEET_PT, invariant=1)
    title = drawable(sheet_title(machine, pair))
    canvas.setTitle(title)
    canvas.setCreator(f"patternscan {__version__}")
    top = _words(canvas, SHEET_PT[1] - 16 * mm, title)
    top = _bar(canvas, top - 8 * mm)
    for size_mm in SIZES_MM:
        top = _row(canvas, top, size_mm, pair)
    _bullets(canvas, top, HOW_TO)
    canvas.showPage()
    top = _words(canvas, SHEET_PT[1] - 12 * mm, drawable(cards_title(machine, pair)))
    draw_cards(canvas, _bullets(canvas, top, HOW_TO_PRINT) - 4 * mm, (SHEET_PT[0] - CARD_MM[0] * mm) / 2, pair)
    canvas.save()
    return memory.getvalue()


def cut_mm(size_mm: float) -> float:
    """Width of what is cut out: the tag, a cell of white on either side, and the letter beside it."""
    return size_mm * (1 + 2 / TAG_CELLS + LETTER_PART)


def _words(canvas: Canvas, top: float, title: str) -> float:
    heading = paragraph([Run(title, True)], 14)
    _, height = heading.wrap(WIDTH_PT, SHEET_PT[1])
    heading.drawOn(canvas, SIDE_PT, top - height)
    return float(top - height)


def _bullets(canvas: Canvas, top: float, lines: Iterable[str]) -> float:
    """One line below another; the height below them."""
    for line in lines:
        words = bullet([Run(line, False)], LETTERS_PT)
        _, height = words.wrap(WIDTH_PT, SHEET_PT[1])
        top -= height + 2
        words.drawOn(canvas, SIDE_PT, top)
    return float(top)


def _bar(canvas: Canvas, top: float) -> float:
    """A bar of a known length with what to do with it; the height below it."""
    canvas.setLineWidth(1)
    ends = SIDE_PT, SIDE_PT + BAR_MM * mm
    canvas.line(ends[0], top, ends[1], top)
    for x in ends:
        canvas.line(x, top - 2 * mm, x, top + 2 * mm)
    words = paragraph([Run(BAR_WORDS, False)], LETTERS_PT)
    width = WIDTH_PT - BAR_MM * mm - 6 * mm
    _, height = words.wrap(width, SHEET_PT[1])
    words.drawOn(canvas, ends[1] + 6 * mm, top - height / 2)
    return float(top - 9 * mm)


def _row(canvas: Canvas, top: float, size_mm: float, pair: int) -> float:
    """The tags of one size side by side, A and B in turn; the height below them."""
    canvas.setFont(PLAIN, SMALL_PT)
    canvas.drawString(SIDE_PT, top - SMALL_PT, size_words(size_mm, cut_mm(size_mm)))
    size, bottom = size_mm * mm, top - SMALL_PT - 2 * mm - size_mm * mm * (1 + 2 / TAG_CELLS)
    for place, end in enumerate([*End] * COPIES):
        _tag(canvas, (SIDE_PT + place * (cut_mm(size_mm) * mm + 3 * mm), bottom), size, tag_number(pair, end), end)
    return float(bottom - 4 * mm)


def _tag(canvas: Canvas, corner: tuple[float, float], size: float, number: int, end: End) -> None:
    """One tag with its letter and the line to cut along; ``corner`` is at its bottom left."""
    x, y = corner
    cell, letter = size / TAG_CELLS, LETTER_PART * size
    canvas.setDash(2, 2)
    canvas.setLineWidth(0.4)
    canvas.rect(x, y, size + 2 * cell + letter, size + 2 * cell)
    canvas.setDash()
    draw_tag(canvas, (x + cell, y + cell), size, number)
    middle = x + size + 1.5 * cell + letter / 2
    canvas.setFont(STRONG, letter)
    canvas.drawCentredString(middle, y + cell + 0.2 * size, end.value)
