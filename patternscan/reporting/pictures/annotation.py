"""The photo as it was read: outline, contact, centroid, end letters and numbers drawn over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing.lettering import (
    DARK,
    LIGHT,
    Sign,
    contact_sign,
    draw_key,
    fitting_size,
    font,
    hatch_sign,
    middle_sign,
    read_middle,
    solid_line,
)
from patternscan.reporting.drawing.lightened import tone_of_photo
from patternscan.reporting.drawing.on_photo import (
    Window,
    cut_out,
    draw_contact,
    draw_outline,
    draw_used_edge,
    frame_outlines,
    hatch_unjudged,
    in_picture,
    letter_flank,
)
from patternscan.reporting.text.figures.captions import lightened_lines, reading_lines
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.photo import Photo

Points = NDArray[np.float64]

HATCH_SPACING = 16
"""Cells of the rectified flank between two hatch lines."""
LINE_PX, LEGEND_LETTERS_PX = 5, 50
LARGEST_UNREAD_PX = 1600
KEY: dict[str, Sign] = {
    "edge of the flank": partial(solid_line, width_px=6),
    "worm touched here": contact_sign,
    "cannot be judged": partial(hatch_sign, tone=LIGHT),
    "middle, bar = doubt": middle_sign,
}


def annotate(photo: Photo, readings: Sequence[Reading]) -> Image.Image:
    """The flanks of one photo with what was read drawn over them; a fresh picture with nothing but pixels.

    Raises ValueError without a reading.
    """
    return _with_legend(draw_on_photo(photo, readings), readings)


def draw_on_photo(photo: Photo, readings: Sequence[Reading]) -> Image.Image:
    """The same without a word below it. Raises ValueError without a reading."""
    if not readings:
        raise ValueError("a picture needs at least one reading")
    window = frame_outlines([reading.outline for reading in readings], photo.held_px)
    picture = cut_out(photo, window, tone_of_photo(readings))
    draw = ImageDraw.Draw(picture)
    for reading in readings:
        _draw_reading(draw, reading, window)
    return picture


def draw_unread(photo: Photo, outlines: Sequence[Outline]) -> Image.Image:
    """A photo that could not be read: round what was outlined, with the outline drawn; all of it where nothing was."""
    if not outlines:
        whole = Image.fromarray(photo.pixels)
        whole.thumbnail((LARGEST_UNREAD_PX, LARGEST_UNREAD_PX), Image.Resampling.LANCZOS, reducing_gap=2.0)
        return whole
    window = frame_outlines(outlines, photo.held_px)
    picture = cut_out(photo, window)
    draw = ImageDraw.Draw(picture)
    for outline in outlines:
        draw_outline(draw, outline, window, LINE_PX)
        letter_flank(draw, outline, window)
    return picture


def group_by_photo(readings: Sequence[Reading]) -> list[list[Reading]]:
    """The readings of each photo together, in the order in which the photos come first."""
    by_photo: dict[int, list[Reading]] = {}
    for reading in readings:
        by_photo.setdefault(id(reading.photo), []).append(reading)
    return list(by_photo.values())


def cut_bare(photo: Photo, outlines: Sequence[Outline]) -> Image.Image:
    """The piece of the photo that ``annotate`` shows of these outlines, as large as it is held, with no drawing."""
    window = frame_outlines(outlines, photo.held_px)
    return cut_out(photo, replace(window, scale=1.0))


def _draw_reading(draw: ImageDraw.ImageDraw, reading: Reading, window: Window) -> None:
    hatch_unjudged(draw, reading, window, HATCH_SPACING)
    draw_used_edge(draw, reading, window, LINE_PX)
    draw_contact(draw, reading, window, LINE_PX)
    _draw_centroid(draw, reading, window)
    letter_flank(draw, reading.outline, window)


def _draw_centroid(draw: ImageDraw.ImageDraw, reading: Reading, window: Window) -> None:
    """The cross at the middle of the pattern and a capped bar as long as its doubt along the face."""
    centroid, along = reading.measurement.centroid, reading.measurement.along
    if centroid is None or along is None:
        return
    bar = np.stack([np.linspace(along.low, along.high, 21), np.full(21, centroid.up)], axis=1)
    ((x, y),) = in_picture(reading, window, np.array([[centroid.along, centroid.up]]))
    read_middle(draw, (float(x), float(y)), in_picture(reading, window, bar), 40)


def _with_legend(picture: Image.Image, readings: Sequence[Reading]) -> Image.Image:
    """The picture with a dark strip below it: the numbers, then what each sign means."""
    lines = [*reading_lines(readings), *lightened_lines(readings)]
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
