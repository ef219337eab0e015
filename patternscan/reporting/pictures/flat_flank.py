"""A flank laid flat in a picture, tip on top and end A on the left, and the strips such pictures are made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from patternscan.reporting.pictures.lettering import DARK, PAPER, Points, Spot, badge, fitting_size, font, write

WIDTH_PX = 1200
SIDE_PX = 130
"""Room left and right of a flank for the letters A and B."""
TITLE_PX, TEXT_PX, GAP_PX = 66, 42, 36
METAL = (214, 196, 150)


@dataclass(frozen=True, slots=True)
class Box:
    """Where one rectified flank stands in the picture, in pixels: tip on top, end A on the left."""

    left: float
    top: float
    width: float
    height: float

    def at(self, places: Points) -> Points:
        """Places (n, 2) as along, up to pixels of the picture (n, 2)."""
        corner, size = np.array([self.left, self.top + self.height]), np.array([self.width, -self.height])
        points: Points = corner + places * size
        return points

    @property
    def middle(self) -> float:
        """Half-way down."""
        return self.top + self.height / 2

    @property
    def corners(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        return self.left, self.top, self.left + self.width, self.top + self.height


def flank_box(top: float, height: float) -> Box:
    """The box of a flank as wide as the picture allows."""
    return Box(SIDE_PX, top, WIDTH_PX - 2 * SIDE_PX, height)


def frame_flank(draw: ImageDraw.ImageDraw, box: Box) -> None:
    """The border of a flank, the letters of its ends, and where its tip is."""
    draw.rectangle(box.corners, None, DARK, 5)
    mark_ends(draw, box)
    write(draw, (box.left + 64, box.top + 34), "tip", 40)


def mark_ends(draw: ImageDraw.ImageDraw, box: Box) -> None:
    """The letters of a flank's ends, beside it."""
    for x, letter in ((box.left - SIDE_PX / 2, "A"), (box.left + box.width + SIDE_PX / 2, "B")):
        badge(draw, (x, box.middle), letter, 50)


def blank_strip(height: float) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    """An empty strip of the picture and what draws on it."""
    image = Image.new("RGB", (WIDTH_PX, round(height)), PAPER)
    return image, ImageDraw.Draw(image)


def stack_strips(strips: Sequence[Image.Image]) -> Image.Image:
    """The whole picture: the strips one below the other."""
    whole = Image.new("RGB", (WIDTH_PX, sum(strip.height for strip in strips)), PAPER)
    top = 0
    for strip in strips:
        whole.paste(strip, (0, top))
        top += strip.height
    return whole


def text_line(draw: ImageDraw.ImageDraw, at: Spot, words: str, size_px: int, bold: bool = False) -> None:
    """Dark words on the paper, starting at ``at`` (middle of the letters' height), made to fit the width."""
    size = fitting_size(words, size_px, WIDTH_PX - at[0] - GAP_PX, bold)
    draw.text(at, words, DARK, font(size, bold), "lm")
