"""Sheets of paper filled from top to bottom with blocks; one print area that lies within both A4 and Letter.

The sheet is as wide as A4 (210 mm, ISO 216) and as high as Letter (279.4 mm, ANSI Y14.1), so that either holds it at
its own size.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from PIL import Image

from patternscan.reporting.job.pdf_letters import MM_PER_POINT, Line, drawable, font_path, width_mm
from patternscan.units import MM_PER_INCH

SHEET_MM = (210.0, 279.4)
AREA_MM = (190.0, 255.0)
LEFT_MM, TOP_MM = (SHEET_MM[0] - AREA_MM[0]) / 2, (SHEET_MM[1] - AREA_MM[1]) / 2
HEAD_MM, FOOT_MM = 9.0, 6.0
"""Room for the header and the footer within the print area."""
BODY_MM = AREA_MM[1] - HEAD_MM - FOOT_MM
LEADING, RISE = 1.28, 0.95
"""Height of a line, and of its letters above the line they stand on, as parts of the size."""
STRUCK_AT = 0.28
"""Height of a stroke through letters, as a part of the size."""
DARK, QUIET, RULE = "#101418", "#555b62", "#8b929c"
COLOURS = 255
MOST_LINES = 40
"""A text of more lines is cut into blocks, so that each fits on a sheet."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a sheet, in mm from the left and the top of the print area."""

    figure: Figure
    x_mm: float
    y_mm: float

    def moved(self, x_mm: float = 0.0, y_mm: float = 0.0) -> Spot:
        """So much further right and down."""
        return Spot(self.figure, self.x_mm + x_mm, self.y_mm + y_mm)

    @property
    def part(self) -> tuple[float, float]:
        """Parts of the sheet from the left and from the bottom, as matplotlib counts."""
        return (LEFT_MM + self.x_mm) / SHEET_MM[0], 1 - (TOP_MM + self.y_mm) / SHEET_MM[1]


@dataclass(frozen=True, slots=True)
class Block:
    """What must not be cut: its height, and what draws it. ``keep`` holds it on the sheet of the block below it.

    ``again`` is set on top of the block when it comes first on a sheet: the head of a table that goes on.
    """

    height_mm: float
    draw: Callable[[Spot], None]
    keep: bool = False
    again: Block | None = None


@dataclass(slots=True)
class Sheet:
    """The blocks of one sheet, each with how far below the top it begins."""

    placed: list[tuple[float, Block]] = field(default_factory=list)
    used_mm: float = 0.0

    def put(self, block: Block) -> None:
        """The block below those that are there."""
        self.placed.append((self.used_mm, block))
        self.used_mm += block.height_mm


def fill_sheets(blocks: Sequence[Block]) -> list[Sheet]:
    """The blocks laid on as many sheets as they need, in their order."""
    sheets = [Sheet()]
    for group in _groups(blocks):
        if sheets[-1].placed and sheets[-1].used_mm + _height(group) > BODY_MM:
            sheets.append(Sheet())
            if group[0].again is not None:
                sheets[-1].put(group[0].again)
        for block in group:
            sheets[-1].put(block)
    return sheets


def _groups(blocks: Sequence[Block]) -> list[list[Block]]:
    """Blocks that stay together; those that do not fit on one sheet together stand alone."""
    groups: list[list[Block]] = [[]]
    for block in blocks:
        groups[-1].append(block)
        if not block.keep:
            groups.append([])
    parted = ([group] if _height(group) <= BODY_MM else [[block] for block in group] for group in groups)
    return [group for part in parted for group in part if group]


def _height(group: Sequence[Block]) -> float:
    return sum(block.height_mm for block in group)


def draw_sheet(sheet: Sheet, header: str, footer: str) -> Figure:
    """The sheet as a figure of its size."""
    figure = Figure(figsize=(SHEET_MM[0] / MM_PER_INCH, SHEET_MM[1] / MM_PER_INCH))
    top = Spot(figure, 0.0, 0.0)
    put_words(top, header, 7.5)
    put_rule(top.moved(y_mm=HEAD_MM - 4.0), AREA_MM[0])
    for y_mm, block in sheet.placed:
        block.draw(top.moved(y_mm=HEAD_MM + y_mm))
    below = top.moved(y_mm=AREA_MM[1] - line_height_mm(7.5))
    put_words(below.moved(x_mm=AREA_MM[0] - width_mm(footer, 7.5, False)), footer, 7.5)
    return figure


def line_height_mm(size_pt: float) -> float:
    """Height of a line of words."""
    return size_pt * LEADING * MM_PER_POINT


def cut_lines(lines: Sequence[Line]) -> list[Sequence[Line]]:
    """Lines in parts that fit on a sheet, at least one part."""
    return [lines[first : first + MOST_LINES] for first in range(0, max(1, len(lines)), MOST_LINES)]


def put_words(spot: Spot, words: str, size_pt: float, strong: bool = False) -> None:
    """One line of words whose upper left corner is at the spot."""
    x, y = spot.moved(y_mm=RISE * size_pt * MM_PER_POINT).part
    look = FontProperties(fname=str(font_path(strong)), size=size_pt)
    spot.figure.text(x, y, drawable(words), fontproperties=look, color=DARK, va="baseline", parse_math=False)


def put_lines(spot: Spot, lines: Sequence[Line], size_pt: float, struck: bool = False) -> None:
    """Lines of words one below the other, with a stroke through them when they are struck."""
    for number, line in enumerate(lines):
        begin = spot.moved(y_mm=number * line_height_mm(size_pt))
        for piece in line:
            put_words(begin.moved(x_mm=piece.from_mm), piece.words, size_pt, piece.strong)
        if struck and line:
            put_rule(begin.moved(y_mm=(RISE - STRUCK_AT) * size_pt * MM_PER_POINT), line[-1].to_mm, DARK)


def put_rule(spot: Spot, length_mm: float, tone: str = RULE, down: bool = False) -> None:
    """A thin line to the right, or down."""
    (x, y), (x_end, y_end) = spot.part, spot.moved(*((0.0, length_mm) if down else (length_mm, 0.0))).part
    spot.figure.add_artist(Line2D([x, x_end], [y, y_end], color=tone, linewidth=0.5))


def put_axes(spot: Spot, width_mm: float, height_mm: float) -> Axes:
    """Axes whose upper left corner is at the spot."""
    x, y = spot.moved(y_mm=height_mm).part
    return spot.figure.add_axes((x, y, width_mm / SHEET_MM[0], height_mm / SHEET_MM[1]))


def put_image(spot: Spot, image: Image.Image, width_mm: float, height_mm: float) -> None:
    """A picture at its own pixels, in few colours so that the file stays small.

    Which colours is told from every fourth pixel, in a seventh of the time and as near.
    """
    full = image.convert("RGB")
    every_fourth = full.resize((-(-full.width // 4), -(-full.height // 4)), Image.Resampling.NEAREST)
    few = full.quantize(palette=every_fourth.quantize(COLOURS), dither=Image.Dither.NONE).convert("RGB")
    axes = put_axes(spot, width_mm, height_mm)
    axes.imshow(np.asarray(few), interpolation="none", aspect="auto")
    axes.set_axis_off()
