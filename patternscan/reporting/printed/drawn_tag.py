"""One tag on a page."""

from __future__ import annotations

from reportlab.pdfgen.canvas import Canvas

from patternscan.seeing.tags.tag_face import TAG_CELLS, tag_cells

HAIR_PT = 0.02
"""A cell is drawn so much larger than it is on each side, so that no light line stands between two."""


def draw_tag(canvas: Canvas, corner: tuple[float, float], size: float, number: int) -> None:
    """The black square of a tag, its bottom left at ``corner`` and its side ``size``, both in points."""
    x, y = corner
    cell = size / TAG_CELLS
    for row, cells in enumerate(tag_cells(number)):
        for column, black in enumerate(cells):
            if black:
                place = x + column * cell - HAIR_PT, y + (TAG_CELLS - 1 - row) * cell - HAIR_PT
                canvas.rect(*place, cell + 2 * HAIR_PT, cell + 2 * HAIR_PT, stroke=0, fill=1)
