"""Letters and lines that stay readable on blue, yellow, red, white and bronze: light on a dark rim."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import ImageDraw, ImageFont

from patternscan.seeing.image import no_photo

Points = NDArray[np.float64]
Spot = tuple[float, float]
Sign = Callable[[ImageDraw.ImageDraw, Points], None]
"""Draws one sign of a key along a short level line (2, 2) of the picture."""

DARK, PAPER, CONTACT_TONE = no_photo.DARK, no_photo.PAPER, no_photo.CONTACT_TONE
LIGHT = (255, 255, 255)
FONT_FILES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}


def font_path(bold: bool) -> Path:
    """DejaVu Sans as it comes with matplotlib, which need not be loaded for it."""
    found = importlib.util.find_spec("matplotlib")
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / FONT_FILES[bold]


@cache
def font(size_px: int, bold: bool = False) -> ImageFont.FreeTypeFont:
    """The letters of all pictures at a size."""
    return ImageFont.truetype(str(font_path(bold)), size_px)


def fitting_size(text: str, size_px: int, width_px: float, bold: bool = False) -> int:
    """The largest letter size up to ``size_px`` at which the text is no wider than ``width_px``."""
    wide = font(size_px, bold).getbbox(text)[2]
    return size_px if wide <= width_px else max(8, int(size_px * width_px / wide))


def write(draw: ImageDraw.ImageDraw, at: Spot, text: str, size_px: int, anchor: str = "mm") -> None:
    """Light letters with a dark rim; ``anchor`` is Pillow's (mm = middle at ``at``, lm = left middle)."""
    rim = max(2, size_px // 10)
    draw.text(at, text, LIGHT, font(size_px, True), anchor, stroke_width=rim, stroke_fill=DARK)


def badge(draw: ImageDraw.ImageDraw, at: Spot, letter: str, radius_px: float) -> None:
    """One big dark letter on a light disc with a dark rim."""
    x, y = at
    rim = max(3, round(radius_px / 8))
    draw.ellipse((x - radius_px, y - radius_px, x + radius_px, y + radius_px), LIGHT, DARK, rim)
    draw.text(at, letter, DARK, font(round(radius_px * 1.35), True), "mm")


def solid_line(draw: ImageDraw.ImageDraw, points: Points, width_px: int, tone: tuple[int, int, int] = LIGHT) -> None:
    """A light line on a dark rim through points (n, 2)."""
    path = [(float(x), float(y)) for x, y in points]
    draw.line(path, DARK, 2 * width_px + 1, joint="curve")
    draw.line(path, tone, width_px, joint="curve")


def dashed_line(draw: ImageDraw.ImageDraw, points: Points, width_px: int, tone: tuple[int, int, int]) -> None:
    """A dark line through points (n, 2) with light dashes on it, so that it differs from a solid one without colour."""
    path = [(float(x), float(y)) for x, y in thinned(points, width_px)]
    draw.line(path, DARK, 2 * width_px + 1, joint="curve")
    for dash in dashes(points, 5.0 * width_px):
        draw.line([(float(x), float(y)) for x, y in dash], tone, width_px)


def beaded_line(draw: ImageDraw.ImageDraw, points: Points, radius_px: float = 4.5, gap_px: float = 26.0) -> None:
    """Dark beads with a light rim along points (n, 2), seen on a solid line too; the way between is left free."""
    step = np.hypot(*np.diff(points, axis=0).T)
    run = np.concatenate([[0.0], np.cumsum(step)])
    at = np.linspace(0.0, run[-1], max(2, round(float(run[-1]) / gap_px) + 1))
    for x, y in zip(*(np.interp(at, run, points[:, axis]) for axis in (0, 1)), strict=True):
        draw.ellipse((x - radius_px, y - radius_px, x + radius_px, y + radius_px), DARK, LIGHT, 2)


def thinned(points: Points, least_px: float) -> Points:
    """A polyline (n, 2) without the points that follow the one before too closely; both its ends stay."""
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    kept = np.diff(np.floor(run / least_px), prepend=-1.0) > 0
    kept[-1:] = True
    return points[kept]


def dashes(points: Points, dash_px: float) -> list[Points]:
    """The pieces of a polyline that carry dashes: as long as the gaps between them."""
    step = np.hypot(*np.diff(points, axis=0).T)
    run = np.concatenate([[0.0], np.cumsum(step)])
    starts = np.arange(0.0, run[-1], 2 * dash_px)
    pieces = []
    for start in starts:
        at = np.linspace(start, min(start + dash_px, run[-1]), 5)
        pieces.append(np.stack([np.interp(at, run, points[:, axis]) for axis in (0, 1)], axis=1))
    return pieces


def cross(draw: ImageDraw.ImageDraw, at: Spot, arm_px: float, width_px: int) -> None:
    """An upright cross."""
    x, y = at
    for points in ([(x - arm_px, y), (x + arm_px, y)], [(x, y - arm_px), (x, y + arm_px)]):
        draw.line(points, DARK, 3 * width_px)
    for points in ([(x - arm_px, y), (x + arm_px, y)], [(x, y - arm_px), (x, y + arm_px)]):
        draw.line(points, LIGHT, width_px)


def capped_bar(draw: ImageDraw.ImageDraw, points: Points, cap_px: float, width_px: int) -> None:
    """A solid line through points (n, 2) with a short stroke across each of its ends."""
    way = points[-1] - points[0]
    across = np.array([-way[1], way[0]]) / max(float(np.linalg.norm(way)), 1e-9) * cap_px
    for line in (points, *(np.stack([end - across, end + across]) for end in (points[0], points[-1]))):
        solid_line(draw, line, width_px)


def hatch_lines(mask: NDArray[np.bool_], spacing: int) -> list[Points]:
    """Slanted lines over the set cells of a mask (rows, cols), each as two places (2, 2) as along, up."""
    rows, cols = mask.shape
    lines = []
    for start in range(0, rows + cols, spacing):
        row = np.arange(max(0, start - cols + 1), min(rows, start + 1))
        set_here = np.concatenate([[False], mask[row, start - row], [False]])
        changes = np.flatnonzero(set_here[1:] != set_here[:-1])
        for first, last in zip(changes[::2], changes[1::2], strict=True):
            down = row[0] + np.array([first, last], dtype=np.float64)
            lines.append(np.stack([(start - down + 0.5) / cols, 1 - (down + 0.5) / rows], axis=1).clip(0.0, 1.0))
    return lines


def read_middle(draw: ImageDraw.ImageDraw, at: Spot, bar: Points, arm_px: float) -> None:
    """The middle of a pattern that was read from photos: a cross on a capped bar (n, 2) as long as its doubt."""
    capped_bar(draw, bar, 0.55 * arm_px, round(arm_px / 7))
    cross(draw, at, arm_px, round(arm_px / 6))


def contact_sign(draw: ImageDraw.ImageDraw, line: Points) -> None:
    """Where the worm touched."""
    dashed_line(draw, line, 6, CONTACT_TONE)


def middle_sign(draw: ImageDraw.ImageDraw, line: Points) -> None:
    """The middle of a pattern and its doubt."""
    x, y = line.mean(axis=0)
    read_middle(draw, (float(x), float(y)), line, 24)


def hatch_sign(draw: ImageDraw.ImageDraw, line: Points, tone: tuple[int, int, int] = DARK) -> None:
    """What cannot be judged."""
    (left, y), (right, _) = line
    for x in np.arange(left, right, 22):
        draw.line([(x, y + 18), (x + 22, y - 18)], tone, 4)


def draw_key(
    draw: ImageDraw.ImageDraw, signs: Mapping[str, Sign], at: Spot, cell_px: Spot, tone: tuple[int, int, int]
) -> None:
    """Signs with their meaning in words of one tone, two a row; ``at`` is the left middle of the first cell."""
    width, height = cell_px
    size = min(fitting_size(words, round(0.55 * height), width - 180) for words in signs)
    for number, (words, sign) in enumerate(signs.items()):
        x, y = at[0] + width * (number % 2), at[1] + height * (number // 2)
        sign(draw, np.array([[x, y], [x + 110, y]]))
        draw.text((x + 140, y), words, tone, font(size), "lm")
