"""How large letters can be so that a page fits on one sheet, A4 or Letter, in two columns."""

from __future__ import annotations

from collections.abc import Sequence

SIZES_PT = (9.0, 8.5, 8.0, 7.75, 7.5, 7.25, 7.0, 6.75, 6.5, 6.25, 6.0, 5.75, 5.5, 5.25, 5.0)
COLUMN_MM = 93.0
"""Width of a column: the narrower A4 (210 mm, ISO 216) less margins and the gap, halved."""
SHEET_MM = 279.4 - 18.0
"""Height of the shorter Letter (11 in, ANSI Y14.1) less margins."""
USED = 0.98
"""Part of the two columns that can be filled: what must not be cut leaves gaps at their feet."""
LETTER, LINE = 0.205, 0.445
"""Width of a letter with its share of the gaps of a line, and height of a line, in mm for each point of size."""
HEADING, ENTRY = 2.4, 0.1
"""Height of a heading with its space, and space between two lines of a list or table, in lines."""


def fitting_letters(lengths: Sequence[int], headings: int, pictures_mm: float) -> float:
    """The largest size in points with which lines of so many letters, headings and pictures fit; else the smallest."""
    room = 2 * SHEET_MM * USED - pictures_mm
    return next((size for size in SIZES_PT if _height_mm(lengths, headings, size) <= room), SIZES_PT[-1])


def _height_mm(lengths: Sequence[int], headings: int, size_pt: float) -> float:
    """Height of all lines one below the other in a column."""
    letters_a_line = COLUMN_MM / (LETTER * size_pt)
    lines = sum(-(-length // letters_a_line) + ENTRY for length in lengths)
    return float(lines + HEADING * headings) * LINE * size_pt
