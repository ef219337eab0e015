"""A flank laid flat in a picture, tip on top and end A on the left, and the strips such pictures are made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.reporting.drawing.lettering import (
    CONTACT_TONE,
    DARK,
    PAPER,
    Points,
    Sign,
    Spot,
    badge,
    dashed_line,
    draw_key,
    fitting_size,
    font,
    read_middle,
    solid_line,
    write,
)
from patternscan.seeing.segmentation.contact_shape import trace_border

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


def paste_flat(image: Image.Image, pixels: NDArray[np.uint8], box: Box) -> None:
    """The bare flank, uint8 (rows, cols, 3), at the size of its box."""
    flat = Image.fromarray(np.ascontiguousarray(pixels))
    size = round(box.width), round(box.height)
    image.paste(flat.resize(size, Image.Resampling.LANCZOS), (round(box.left), round(box.top)))


def draw_contact(draw: ImageDraw.ImageDraw, contact: NDArray[np.bool_], box: Box) -> None:
    """The broken line round the contact, a mask (rows, cols)."""
    for loop in trace_border(contact):
        dashed_line(draw, box.at(loop), 4, CONTACT_TONE)


def frame_flank(draw: ImageDraw.ImageDraw, box: Box) -> None:
    """The border of a flank, the letters of its ends, and where its tip is."""
    draw.rectangle(box.corners, None, DARK, 5)
    mark_ends(draw, box)
    write(draw, (box.left + 64, box.top + 34), "tip", 48)


def mark_ends(draw: ImageDraw.ImageDraw, box: Box) -> None:
    """The letters of a flank's ends, beside it."""
    for x, letter in ((box.left - SIDE_PX / 2, "A"), (box.left + box.width + SIDE_PX / 2, "B")):
        badge(draw, (x, box.middle), letter, 50)


def draw_middle(draw: ImageDraw.ImageDraw, box: Box, along: tuple[float, float, float], up: float) -> None:
    """The middle of a pattern that was read, ``along`` with the ends of its interval: low, middle, high."""
    low, at, high = box.at(np.clip([[place, up] for place in along], 0.0, 1.0))
    read_middle(draw, (float(at[0]), float(at[1])), np.array([low, high]), 34)


def draw_target(draw: ImageDraw.ImageDraw, box: Box, target: float) -> None:
    """An upright line where the middle of the pattern belongs, with an arrowhead above and below."""
    (x, bottom), (_, top) = box.at(np.array([[target, 0.0], [target, 1.0]]))
    solid_line(draw, np.array([[x, top], [x, bottom]]), 3)
    for y, way in ((top, 1), (bottom, -1)):
        draw.polygon([(x - 18, y - 22 * way), (x + 18, y - 22 * way), (x, y + 12 * way)], DARK)


def target_sign(draw: ImageDraw.ImageDraw, line: Points) -> None:
    """Where the middle of the pattern belongs."""
    (left, y), (right, _) = line
    draw_target(draw, Box(left, y - 14, right - left, 28), 0.5)


def blank_strip(height: float) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    """An empty strip of the picture and what draws on it."""
    image = Image.new("RGB", (WIDTH_PX, round(height)), PAPER)
    return image, ImageDraw.Draw(image)


def headline(title: str, lines: Sequence[str], size_px: int = TEXT_PX) -> Image.Image:
    """The strip on top: a title in large letters, and lines below it."""
    image, draw = blank_strip(TITLE_PX * 1.9 + TEXT_PX * 1.3 * len(lines))
    text_line(draw, (GAP_PX, TITLE_PX), title, TITLE_PX, True)
    for number, line in enumerate(lines):
        text_line(draw, (GAP_PX, TITLE_PX * 1.9 + TEXT_PX * (0.5 + 1.3 * number)), line, size_px)
    return image


def key_strip(signs: Mapping[str, Sign]) -> Image.Image:
    """The strip that says what the signs mean, two a row."""
    rows = (len(signs) + 1) // 2
    image, draw = blank_strip(TEXT_PX * (0.4 + 1.6 * rows))
    draw_key(draw, signs, (GAP_PX, TEXT_PX * 0.9), (WIDTH_PX / 2, TEXT_PX * 1.6), DARK)
    return image


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
