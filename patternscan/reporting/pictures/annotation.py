"""The photo as it was read: outline, contact, centroid, end letters and numbers drawn over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.frame import End
from patternscan.measuring.reading import Reading
from patternscan.reporting.pictures.lettering import (
    CONTACT_TONE,
    DARK,
    LIGHT,
    PAPER,
    Sign,
    badge,
    contact_sign,
    dashed_line,
    draw_key,
    fitting_size,
    font,
    hatch_lines,
    hatch_sign,
    middle_sign,
    read_middle,
    solid_line,
    write,
)
from patternscan.reporting.text.wording import place_words, with_doubt
from patternscan.seeing.geometry.outline import Outline, resampled
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.segmentation.contact_shape import trace_border

Points = NDArray[np.float64]

PICTURE_WIDTH_PX = 1600
TALLEST, WIDEST = 1.3, 2.0
"""Limits of height over width and of width over height, so that a phone shows the picture large."""
MARGIN = 0.22
"""Surroundings kept on each side, as a part of the outline's longer side."""
BADGE_RADIUS_PX = 62
HATCH_SPACING = 16
"""Cells of the rectified flank between two hatch lines."""
LEGEND_LETTERS_PX = 50
KEY: dict[str, Sign] = {
    "edge of the flank": partial(solid_line, width_px=6),
    "worm touched here": contact_sign,
    "cannot be judged": partial(hatch_sign, tone=LIGHT),
    "middle, bar = doubt": middle_sign,
}


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


def annotate(photo: Photo, readings: Sequence[Reading]) -> Image.Image:
    """The flanks of one photo with what was read drawn over them; a fresh picture with nothing but pixels.

    Raises ValueError without a reading.
    """
    if not readings:
        raise ValueError("a picture needs at least one reading")
    window = frame_outlines([reading.outline for reading in readings], (photo.width_px, photo.height_px))
    picture = cut_out(photo, window)
    draw = ImageDraw.Draw(picture)
    for reading in readings:
        _draw_reading(draw, reading, window)
    return _with_legend(picture, readings)


def group_by_photo(readings: Sequence[Reading]) -> list[list[Reading]]:
    """The readings of each photo together, in the order in which the photos come first."""
    by_photo: dict[int, list[Reading]] = {}
    for reading in readings:
        by_photo.setdefault(id(reading.photo), []).append(reading)
    return list(by_photo.values())


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


def cut_out(photo: Photo, window: Window) -> Image.Image:
    """The window's part of the photo at the window's scale, plain paper where it reaches beyond the photo."""
    left, top = max(window.left, 0), max(window.top, 0)
    part = photo.pixels[top : max(window.bottom, 0), left : max(window.right, 0)]
    picture = Image.new("RGB", window.size_px, PAPER)
    if part.size:
        size = [max(1, round(side * window.scale)) for side in part.shape[1::-1]]
        at = round((left - window.left) * window.scale), round((top - window.top) * window.scale)
        picture.paste(Image.fromarray(np.ascontiguousarray(part)).resize(size, Image.Resampling.LANCZOS), at)
    return picture


def cut_bare(photo: Photo, outlines: Sequence[Outline]) -> Image.Image:
    """The piece of the photo that ``annotate`` shows of these outlines, at the photo's own size, with no drawing."""
    window = frame_outlines(outlines, (photo.width_px, photo.height_px))
    return cut_out(photo, replace(window, scale=1.0))


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


def _draw_reading(draw: ImageDraw.ImageDraw, reading: Reading, window: Window) -> None:
    def seen(places: Points) -> Points:
        return window.in_picture(reading.flank_map.to_photo(places))

    for line in hatch_lines(~reading.contact_map.judged, HATCH_SPACING):
        solid_line(draw, seen(line), 2)
    border = reading.outline.border
    solid_line(draw, window.in_picture(np.vstack([border, border[:2]])), 5)
    for loop in trace_border(reading.contact_map.contact & reading.contact_map.judged):
        dashed_line(draw, seen(loop), 5, CONTACT_TONE)
    _draw_centroid(draw, reading, window)
    for end, place in letter_places(reading.outline, window).items():
        badge(draw, place, end.value, BADGE_RADIUS_PX)
    write(draw, tip_place(reading.outline, window), "tip", 60)


def _draw_centroid(draw: ImageDraw.ImageDraw, reading: Reading, window: Window) -> None:
    """The cross at the middle of the pattern and a capped bar as long as its doubt along the face."""
    centroid, along = reading.measurement.centroid, reading.measurement.along
    if centroid is None or along is None:
        return
    bar = np.stack([np.linspace(along.low, along.high, 21), np.full(21, centroid.up)], axis=1)
    x, y = window.in_picture(reading.flank_map.to_photo(np.array([[centroid.along, centroid.up]])))[0]
    read_middle(draw, (float(x), float(y)), window.in_picture(reading.flank_map.to_photo(bar)), 40)


def legend_lines(readings: Sequence[Reading]) -> list[str]:
    """The numbers of each flank in words, two lines a flank."""
    lines = []
    for reading in readings:
        flank, measured = reading.outline.flank.value.capitalize(), reading.measurement
        lines.append(f"{flank} flank, tooth {reading.outline.tooth}: touched {with_doubt(measured.coverage)}")
        words = place_words(measured)
        lines.append(words[0].upper() + words[1:])
    return lines


def _with_legend(picture: Image.Image, readings: Sequence[Reading]) -> Image.Image:
    """The picture with a dark strip below it: the numbers, then what each sign means."""
    lines = legend_lines(readings)
    row = round(LEGEND_LETTERS_PX * 1.5)
    whole = Image.new("RGB", (picture.width, picture.height + row * (len(lines) + 2) + row // 2), DARK)
    whole.paste(picture, (0, 0))
    draw = ImageDraw.Draw(whole)
    top = picture.height + row * 3 / 4
    for number, line in enumerate(lines):
        size = fitting_size(line, LEGEND_LETTERS_PX, picture.width - 60)
        draw.text((30, top + number * row), line, LIGHT, font(size), "lm")
    draw_key(draw, KEY, (30, top + len(lines) * row), (picture.width / 2, row), LIGHT)
    return whole
