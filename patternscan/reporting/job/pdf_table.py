"""Tables on printed sheets: columns as wide as their words ask for, a head that comes again on every sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import zip_longest
from math import sqrt

from patternscan.reporting.job.pdf_letters import Line, drawable, width_mm, wrap
from patternscan.reporting.job.pdf_sheet import (
    AREA_MM,
    RULE,
    Block,
    Spot,
    cut_lines,
    line_height_mm,
    put_lines,
    put_rule,
)
from patternscan.reporting.pages.web_page import Run, Table, bound

PADDING_MM, ROW_GAP_MM, BLANK_MM = 1.2, 1.0, 11.0
"""Room beside and above words in a cell, and height of a row to be written in by hand."""
WHOLE_MM = 95.0
"""A table no higher than this is not cut."""


@dataclass(frozen=True, slots=True)
class RowLook:
    """How a row is set: size of letters, how many of its first cells are bold, whether struck, its least height."""

    size_pt: float
    strong: int = 1
    struck: bool = False
    least_mm: float = 0.0


def table_blocks(table: Table, size_pt: float) -> list[Block]:
    """The caption with the head, then every row."""
    columns = [AREA_MM[0] / len(table.head)] * len(table.head) if table.blank else column_widths(table, size_pt)
    caption = cut_lines(wrap([Run(table.caption, True)], size_pt, AREA_MM[0]))[0]
    head = _rows(table.head, columns, RowLook(size_pt, strong=len(table.head)))[0]
    blocks = [Block(len(caption) * line_height_mm(size_pt) + 1.0, partial(_draw_caption, caption, size_pt), keep=True)]
    blocks.append(Block(head.height_mm, head.draw, keep=True))
    rows = []
    for place, row in enumerate(table.rows):
        look = RowLook(size_pt, struck=place in table.struck, least_mm=BLANK_MM if table.blank else 0.0)
        rows += _rows(row, columns, look)
    whole = sum(row.height_mm for row in rows) <= WHOLE_MM
    blocks += [replace(row, keep=whole and row is not rows[-1], again=head) for row in rows]
    return [*blocks, Block(2.5, lambda _: None)]


def column_widths(table: Table, size_pt: float) -> list[float]:
    """Widths in mm that fill the print area; when room is short, the wider a column the more it gives way."""
    asked = [
        max(width_mm(drawable(bound(row[place])), size_pt, True) for row in (table.head, *table.rows)) + 2 * PADDING_MM
        for place in range(len(table.head))
    ]
    room = AREA_MM[0]
    if sum(asked) <= room:
        return [wide * room / sum(asked) for wide in asked]
    return _shared(asked, room)


def _shared(asked: Sequence[float], room: float) -> list[float]:
    """Widths that fill the room. Columns that ask for less than an equal part get it all; the others share the rest by
    the roots of what they ask for, but none gets more than that.
    """
    given = {place: wide for place, wide in enumerate(asked) if wide <= room / len(asked)}
    while True:
        free = {place: sqrt(wide) for place, wide in enumerate(asked) if place not in given}
        unit = (room - sum(given.values())) / sum(free.values())
        content = {place: asked[place] for place, root in free.items() if asked[place] <= unit * root}
        if not content:
            return [given.get(place, unit * free.get(place, 0.0)) for place in range(len(asked))]
        given |= content


def _rows(cells: Sequence[str], columns: Sequence[float], look: RowLook) -> list[Block]:
    """A row, or several when its words are too many for one."""
    parts = [
        cut_lines(wrap([Run(bound(words), place < look.strong)], look.size_pt, wide - 2 * PADDING_MM))
        for place, (words, wide) in enumerate(zip(cells, columns, strict=True))
    ]
    return [_row(written, columns, look) for written in zip_longest(*parts, fillvalue=())]


def _row(written: Sequence[Sequence[Line]], columns: Sequence[float], look: RowLook) -> Block:
    words_mm = max(map(len, written)) * line_height_mm(look.size_pt)
    height = max(words_mm + ROW_GAP_MM, look.least_mm)
    return Block(height, partial(_draw_row, written, columns, look, height))


def _draw_caption(lines: Sequence[Line], size_pt: float, spot: Spot) -> None:
    put_lines(spot, lines, size_pt)
    put_rule(spot.moved(y_mm=len(lines) * line_height_mm(size_pt) + 1.0), AREA_MM[0])


def _draw_row(
    written: Sequence[Sequence[Line]], columns: Sequence[float], look: RowLook, height_mm: float, spot: Spot
) -> None:
    x = 0.0
    for lines, wide in zip(written, columns, strict=True):
        put_rule(spot.moved(x_mm=x), height_mm, RULE, down=True)
        struck = look.struck and x + wide < AREA_MM[0] - PADDING_MM
        put_lines(spot.moved(x + PADDING_MM, ROW_GAP_MM / 2), lines, look.size_pt, struck)
        x += wide
    put_rule(spot.moved(x_mm=x), height_mm, RULE, down=True)
    put_rule(spot, x)
    put_rule(spot.moved(y_mm=height_mm), x)
