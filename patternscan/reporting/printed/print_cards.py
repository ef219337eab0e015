"""Cards for prints on tape and paper: one for each flank and medium, with the tags of both ends where those belong."""

from __future__ import annotations

from itertools import product

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from patternscan.frame import End, Flank, Lift, Medium, Seen
from patternscan.reporting.job.pdf_words import PLAIN, STRONG
from patternscan.reporting.printed.drawn_tag import draw_tag
from patternscan.reporting.text.tags import CARD_BLANKS, TIP_WORD, card_reading_words, card_words
from patternscan.seeing.geometry.outline import PictureSide, flank_shown
from patternscan.seeing.tags.tag_face import TAG_CELLS
from patternscan.seeing.tags.tag_pair import tag_number

CARD_MM = (150.0, 52.0)
"""Between its tags a print of a face of 90 mm has room."""
TAG_MM = 14.0
GAP_MM, MARK_MM, MARGIN_MM = 3.0, 2.0, 4.0
"""Between cards, length of a cutting mark, and from a card's border to what stands on it."""
WORDS_PT, LETTER_PT = 8.0, 26.0
LIFTS = (Lift(Medium.TAPE, Seen.THROUGH), Lift(Medium.PAPER, Seen.TOUCHED))
"""Tape is stuck on with the compound down, paper with the compound up."""


def draw_cards(canvas: Canvas, top: float, left: float, pair: int) -> None:
    """All cards one below another; ``top`` and ``left`` of the first in points."""
    for place, (flank, lift) in enumerate(product(Flank, LIFTS)):
        bottom = top - (place + 1) * CARD_MM[1] * mm - place * GAP_MM * mm
        _cutting_marks(canvas, left, bottom)
        _words(canvas, (left, bottom), flank, lift)
        for end in End:
            _end(canvas, (left, bottom), end, on_left(end, flank, lift), pair)


def on_left(end: End, flank: Flank, lift: Lift) -> bool:
    """Whether a print with its tip up shows this end on the left (ISO 1122-1, and the other way in a mirror)."""
    a_on_left = flank_shown(PictureSide.UP, PictureSide.LEFT, lift.mirrored) is flank
    return (end is End.A) is a_on_left


def _cutting_marks(canvas: Canvas, left: float, bottom: float) -> None:
    """Short lines that run into the corners from outside: a border would look like a drawn frame."""
    canvas.setLineWidth(0.4)
    wide, high, mark = CARD_MM[0] * mm, CARD_MM[1] * mm, MARK_MM * mm
    for (x, out), y in product(((left, -mark), (left + wide, mark)), (bottom, bottom + high)):
        canvas.line(x, y, x + out, y)


def _words(canvas: Canvas, corner: tuple[float, float], flank: Flank, lift: Lift) -> None:
    left, bottom = corner
    margin, wide, top = MARGIN_MM * mm, CARD_MM[0] * mm, bottom + CARD_MM[1] * mm - MARGIN_MM * mm - WORDS_PT / 2
    canvas.setFont(STRONG, WORDS_PT)
    canvas.drawString(left + margin, top, card_words(flank, lift))
    canvas.drawCentredString(left + wide / 2, top, TIP_WORD)
    canvas.setFont(PLAIN, WORDS_PT)
    canvas.drawString(left + margin, bottom + margin, card_reading_words(flank, lift))
    canvas.drawRightString(left + wide - margin, bottom + margin, CARD_BLANKS)


def _end(canvas: Canvas, corner: tuple[float, float], end: End, first: bool, pair: int) -> None:
    """The tag of an end with its letter below."""
    left, bottom = corner
    size, cell = TAG_MM * mm, TAG_MM * mm / TAG_CELLS
    x = left + (MARGIN_MM * mm + cell if first else CARD_MM[0] * mm - MARGIN_MM * mm - cell - size)
    y = bottom + CARD_MM[1] * mm / 2 - size / 4
    draw_tag(canvas, (x, y), size, tag_number(pair, end))
    canvas.setFont(STRONG, LETTER_PT)
    canvas.drawCentredString(x + size / 2, y - cell - LETTER_PT * 0.8, end.value)
