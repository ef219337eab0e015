"""What was read drawn onto the photo itself: the piece that is shown, and lines and letters on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from patternscan.frame import End
from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing.lettering import (
    CONTACT_TONE,
    PAPER,
    Points,
    badge,
    dashed_line,
    hatch_lines,
    solid_line,
    write,
)
from patternscan.reporting.drawing.lightened import AS_IT_IS, Levels
from patternscan.seeing.geometry.outline import Outline, resampled
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.segmentation.contact_shape import trace_border, without_specks

PICTURE_WIDTH_PX = 1600
TALLEST, WIDEST = 1.3, 2.0
"""Limits of height over width and of width over height, so that a phone shows the picture large."""
MARGIN = 0.22
"""Surroundings kept on each side, as a part of the outline's longer side."""
BADGE_RADIUS_PX = 70
HATCH_PX = 2
"""Width of a hatch line."""


@dataclass(frozen=True, slots=True)
class Window:
    """The part of the photo that is shown, in whole pixels (right and bottom not included), and its enlargement."""

    left: int
    top: int
    right: int
    bottom: int
    scale: float

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of the picture made from this window."""
        return round((self.right - self.left) * self.scale), round((self.bottom - self.top) * self.scale)

    def in_picture(self, points: Points) -> Points:
        """Pixels of the photo (n, 2) as pixels of the picture."""
        places: Points = (points - np.array([self.left, self.top]) + 0.5) * self.scale - 0.5
        return places


def frame_outlines(outlines: Sequence[Outline], photo_size_px: tuple[int, int]) -> Window:
    """The window around all outlines with a margin, no slimmer than TALLEST and WIDEST where the photo allows it."""
    borders = np.concatenate([outline.border for outline in outlines])
    low, high = borders.min(axis=0), borders.max(axis=0)
    margin = MARGIN * (high - low).max()
    wanted = high - low + 2 * margin
    wanted = np.maximum(wanted, [wanted[1] / TALLEST, wanted[0] / WIDEST])
    middle, limit = (low + high) / 2, np.array(photo_size_px)
    first = np.clip(np.floor(middle - wanted / 2), 0, limit - 1).astype(int)
    last = np.clip(np.ceil(middle + wanted / 2), first + 1, limit).astype(int)
    width, height = last - first
    scale = min(PICTURE_WIDTH_PX / width, TALLEST * PICTURE_WIDTH_PX / height)
    return Window(int(first[0]), int(first[1]), int(last[0]), int(last[1]), float(scale))


def cut_out(photo: Photo, window: Window, tone: Levels = AS_IT_IS) -> Image.Image:
    """The window's part of the photo at the window's scale, plain paper where it reaches beyond the photo; ``tone``:
    the level at which each of its levels is shown.
    """
    left, top = max(window.left, 0), max(window.top, 0)
    part = photo.pixels[top : max(window.bottom, 0), left : max(window.right, 0)]
    picture = Image.new("RGB", window.size_px, PAPER)
    if part.size:
        size = [max(1, round(side * window.scale)) for side in part.shape[1::-1]]
        at = round((left - window.left) * window.scale), round((top - window.top) * window.scale)
        how = Image.Resampling.LANCZOS if window.scale < 1 else Image.Resampling.BICUBIC
        picture.paste(Image.fromarray(np.ascontiguousarray(tone[part])).resize(size, how), at)
    return picture


def in_picture(reading: Reading, window: Window, places: Points) -> Points:
    """Places (n, 2) as along, up on the flank as pixels of the picture."""
    return window.in_picture(reading.flank_map.to_photo(places))


def hatch_unjudged(draw: ImageDraw.ImageDraw, reading: Reading, window: Window, spacing: int) -> None:
    """Slanted lines, so many cells of the rectified flank apart, over what cannot be judged."""
    for line in hatch_lines(without_specks(~reading.contact_map.judged), spacing):
        solid_line(draw, in_picture(reading, window, line), HATCH_PX)


def draw_outline(draw: ImageDraw.ImageDraw, outline: Outline, window: Window, width_px: int) -> None:
    """The border of the flank as it was marked or found."""
    solid_line(draw, window.in_picture(np.vstack([outline.border, outline.border[:2]])), width_px)


def draw_used_edge(draw: ImageDraw.ImageDraw, reading: Reading, window: Window, width_px: int) -> None:
    """The border of the flank that places were worked out by, whatever was marked."""
    run = np.linspace(0.0, 1.0, 40)
    sides = ((run, 0 * run), (0 * run + 1, run), (run[::-1], 0 * run + 1), (0 * run, run[::-1]))
    solid_line(draw, in_picture(reading, window, np.vstack([np.column_stack(side) for side in sides])), width_px)


def draw_contact(draw: ImageDraw.ImageDraw, reading: Reading, window: Window, width_px: int) -> None:
    """The broken line round the contact."""
    for loop in trace_border(reading.contact_map.contact & reading.contact_map.judged):
        dashed_line(draw, in_picture(reading, window, loop), width_px, CONTACT_TONE)


def letter_flank(draw: ImageDraw.ImageDraw, outline: Outline, window: Window) -> None:
    """The letters of the ends and the word 'tip', outside the flank."""
    for end, place in letter_places(outline, window).items():
        badge(draw, place, end.value, BADGE_RADIUS_PX)
    write(draw, tip_place(outline, window), "tip", 92)


def letter_places(outline: Outline, window: Window) -> dict[End, tuple[float, float]]:
    """Where the letters A and B stand in the picture: outside the middle of each end edge."""
    mid_a, mid_b = (resampled(edge, np.array([0.5]))[0] for edge in (outline.end_a, outline.end_b))
    outward = (mid_a - mid_b) / max(float(np.linalg.norm(mid_a - mid_b)), 1e-9)
    step = 1.35 * BADGE_RADIUS_PX / window.scale
    places = {End.A: mid_a + step * outward, End.B: mid_b - step * outward}
    return {end: _kept_inside(place, window, BADGE_RADIUS_PX) for end, place in places.items()}


def tip_place(outline: Outline, window: Window) -> tuple[float, float]:
    """Where the word 'tip' stands in the picture: square to the tip edge beyond its middle, away from the root."""
    before, tip, after = resampled(outline.tip, np.array([0.4, 0.5, 0.6]))
    root = resampled(outline.root, np.array([0.5]))[0]
    across = np.array([before[1] - after[1], after[0] - before[0]])
    across *= np.sign(across @ (tip - root)) / max(float(np.linalg.norm(across)), 1e-9)
    return _kept_inside(tip + 1.15 * BADGE_RADIUS_PX / window.scale * across, window, BADGE_RADIUS_PX)


def _kept_inside(place: Points, window: Window, room_px: float) -> tuple[float, float]:
    """A photo pixel as a place in the picture, at least ``room_px`` from its border."""
    x, y = window.in_picture(place[None])[0]
    width, height = window.size_px
    return float(np.clip(x, room_px, width - room_px)), float(np.clip(y, room_px, height - room_px))
