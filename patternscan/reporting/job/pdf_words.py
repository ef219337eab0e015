"""Words on printed sheets, set by reportlab: the letters, paragraphs, lists and tables."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Flowable, LongTable, Paragraph

from patternscan.reporting.drawing.lettering import font_path
from patternscan.reporting.text.runs import Run, bound
from patternscan.reporting.text.table import Table

WIDTH_PT = 190 * mm
"""Width of the print area."""
LACKING = "\u25a1"
"""Stands for every sign that the letters lack."""
PLAIN, STRONG = "plain", "strong"
CUTS = [TTFont(name, str(font_path(bold))) for name, bold in ((PLAIN, False), (STRONG, True))]
for _cut in CUTS:
    pdfmetrics.registerFont(_cut)
pdfmetrics.registerFontFamily(PLAIN, PLAIN, STRONG, PLAIN, STRONG)
KNOWN = frozenset.intersection(*(frozenset(cut.face.charToGlyph) for cut in CUTS))
"""Code points that both cuts of the font have."""
INK, RULE = HexColor("#101418"), HexColor("#8b929c")
LEADING = 1.2
"""Height of a line as a part of the size of its letters."""
PADDING_PT, BLANK_PT = 3.4, 31.0
"""Room beside words in a cell, and height of a row to be written in by hand."""
LONG_CELL, LONGEST_CELL = 300, 1500
"""The last rows of a table stay together unless a cell has more letters than the one; a row with a cell of more letters
than the other may be cut, as it can be higher than a sheet.
"""
LAST_ROWS = 3
"""So many go on a sheet together, so that none stands there alone below its head."""
RULED: list[tuple[Any, ...]] = [
    ("GRID", (0, 0), (-1, -1), 0.5, RULE),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), PADDING_PT),
    ("RIGHTPADDING", (0, 0), (-1, -1), PADDING_PT),
    ("TOPPADDING", (0, 0), (-1, -1), 1.0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2.0),
]


def drawable(words: str) -> str:
    """The words with LACKING in place of every sign that cannot be drawn; line ends become spaces.

    >>> drawable("wheel 車")
    'wheel □'
    """
    return "".join(sign if ord(sign) in KNOWN else LACKING for sign in re.sub(r"(?:(?!\u00a0)[\s\x00])+", " ", words))


def paragraph(runs: Iterable[Run], size_pt: float, **look: float) -> Paragraph:
    """Words as a paragraph, the strong ones in bold letters; ``look`` as in reportlab's ParagraphStyle."""
    marked = "".join(f"<b>{_safe(words)}</b>" if strong else _safe(words) for words, strong, _ in runs)
    return Paragraph(marked, _style(size_pt, **look))


def bullet(runs: Iterable[Run], size_pt: float) -> Paragraph:
    """One line of a list."""
    line = paragraph(runs, size_pt, leftIndent=11, bulletIndent=3, spaceAfter=1.5)
    return Paragraph(line.text, line.style, bulletText="\u2022")


def table(content: Table, size_pt: float) -> list[Flowable]:
    """The caption and the table, which takes its head along to every sheet."""
    head = [paragraph([Run(bound(words), True)], size_pt) for words in content.head]
    rows = [_row(row, size_pt, place in content.struck) for place, row in enumerate(content.rows)]
    longest = max((len(words) for row in content.rows for words in row), default=0)
    last = [("NOSPLIT", (0, -LAST_ROWS), (-1, -1))] if longest <= LONG_CELL and len(rows) > LAST_ROWS else []
    ruled = LongTable(
        [head, *rows],
        colWidths=column_widths(content, size_pt),
        minRowHeights=[0.0, *[BLANK_PT if content.blank else 0.0] * len(rows)],
        repeatRows=1,
        splitInRow=int(longest > LONGEST_CELL),
        style=[*RULED, *last],
        spaceAfter=7,
    )
    return [paragraph([Run(content.caption, True)], size_pt, spaceBefore=4, spaceAfter=2), ruled]


def column_widths(content: Table, size_pt: float) -> list[float]:
    """Widths in points that fill the print area; when room is short, the widest columns give way to the same width."""
    columns = range(len(content.head))
    if content.blank:
        return [WIDTH_PT / len(columns) for _ in columns]
    asked = [
        max(width_pt(row[place], size_pt) for row in (content.head, *content.rows)) + 2 * PADDING_PT + 1
        for place in columns
    ]
    if sum(asked) <= WIDTH_PT:
        return [wide * WIDTH_PT / sum(asked) for wide in asked]
    given = dict[int, float]()
    for place in sorted(columns, key=asked.__getitem__):
        given[place] = min(asked[place], (WIDTH_PT - sum(given.values())) / (len(columns) - len(given)))
    return [given[place] for place in columns]


def width_pt(words: str, size_pt: float) -> float:
    """How wide the words are in bold letters on one line."""
    return float(pdfmetrics.stringWidth(drawable(words), STRONG, size_pt))


def _row(cells: Iterable[str], size_pt: float, struck: bool) -> list[Paragraph]:
    """The first cell bold; a struck row has a stroke through all but its last cell, which says why."""
    *rest, last = (_safe(bound(words)) for words in cells)
    marked = [f"<strike>{words}</strike>" if struck else words for words in rest] + [last]
    return [Paragraph(f"<b>{words}</b>" if k == 0 else words, _style(size_pt)) for k, words in enumerate(marked)]


def _style(size_pt: float, **look: float) -> ParagraphStyle:
    return ParagraphStyle(
        "", fontName=PLAIN, bulletFontName=PLAIN, fontSize=size_pt, leading=LEADING * size_pt, textColor=INK, **look
    )


def _safe(words: str) -> str:
    return escape(drawable(words))
