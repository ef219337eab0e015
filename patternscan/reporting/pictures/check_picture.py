"""The machine's eye checked in a few seconds: what it drew on the photo, and beside it the bare flank laid flat."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from PIL import Image, ImageDraw

from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing.flat_flank import GAP_PX, SIDE_PX, TEXT_PX, TITLE_PX, Box, mark_ends
from patternscan.reporting.drawing.lettering import (
    DARK,
    PAPER,
    Points,
    Sign,
    beaded_line,
    contact_sign,
    draw_key,
    fitting_size,
    font,
    hatch_sign,
    solid_line,
    write,
)
from patternscan.reporting.drawing.lightened import tone_of
from patternscan.reporting.drawing.on_photo import (
    MARGIN,
    Window,
    cut_out,
    draw_contact,
    draw_outline,
    hatch_unjudged,
    letter_flank,
)
from patternscan.reporting.text.figures.captions import check_lines, check_title
from patternscan.seeing.geometry.outline import OutlineSource

PHOTO_SIDE_PX = (1300, 1050)
"""Largest width and height of the photo's part."""
FLAT_ENLARGED = 2
"""A cell of the rectified flank becomes so many pixels a side, unchanged, so that nothing is smoothed over."""
TIP_ROOM_PX = 70
HATCH_STEP_PX = 24
"""Between two hatch lines in the picture, so that the metal is seen between them."""
THIN_PX = 2
EDGE_SIGNS = {
    OutlineSource.GIVEN: "edge as marked",
    OutlineSource.FOUND: "edge as found",
    OutlineSource.CORRECTED: "edge as corrected",
}
PULLED_SIGN = "edge as marked, then pulled into place"


def draw_check(reading: Reading) -> Image.Image:
    """The photo around the flank with all that was found, and right of it the rectified flank without any drawing."""
    photo_side, flat_side = _photo_side(reading), _flat_side(reading)
    top = round(1.6 * TITLE_PX)
    size = (photo_side.width + flat_side.width, top + max(photo_side.height, flat_side.height))
    whole = Image.new("RGB", size, PAPER)
    whole.paste(photo_side, (0, top))
    whole.paste(flat_side, (photo_side.width, top))
    title = check_title(reading)
    letters = font(fitting_size(title, TITLE_PX, size[0] - 2 * GAP_PX))
    ImageDraw.Draw(whole).text((GAP_PX, top / 2), title, DARK, letters, "lm")
    return whole


def frame_whole(outline_border: Points) -> Window:
    """The window around all of an outline (n, 2), beyond the border of the photo if need be, so that there is always
    room for the letters beside the flank.
    """
    low, high = outline_border.min(axis=0), outline_border.max(axis=0)
    margin = MARGIN * (high - low).max()
    left, top = np.floor(low - margin).astype(int)
    right, bottom = np.ceil(high + margin).astype(int)
    scale = min(PHOTO_SIDE_PX[0] / (right - left), PHOTO_SIDE_PX[1] / (bottom - top))
    return Window(int(left), int(top), int(right), int(bottom), float(scale))


def flat_box(reading: Reading) -> Box:
    """Where the rectified flank stands on its side of the picture."""
    rows, columns = reading.rectified.pixels.shape[:2]
    return Box(SIDE_PX, TIP_ROOM_PX, columns * FLAT_ENLARGED, rows * FLAT_ENLARGED)


def _photo_side(reading: Reading) -> Image.Image:
    window = frame_whole(reading.outline.border)
    picture = cut_out(reading.photo, window, tone_of(reading))
    draw = ImageDraw.Draw(picture)

    hatch_unjudged(draw, reading, window, _hatch_spacing(reading, window))
    draw_outline(draw, reading.outline, window, THIN_PX)
    if reading.flank_map.pose is not None:
        for edge in reading.flank_map.pose.edges().values():
            beaded_line(draw, window.in_picture(edge))
    draw_contact(draw, reading, window, THIN_PX)
    letter_flank(draw, reading.outline, window)
    return picture


def _hatch_spacing(reading: Reading, window: Window) -> int:
    """Cells of the rectified flank between two hatch lines that lie HATCH_STEP_PX apart in the picture."""
    rows, columns = reading.contact_map.judged.shape
    across = float(reading.outline.width_px * window.scale / columns)
    down = float(reading.outline.height_px * window.scale / rows)
    return max(4, round(HATCH_STEP_PX * math.hypot(across, down) / max(across * down, 1e-9)))


def _flat_side(reading: Reading) -> Image.Image:
    """The rectified flank, its ends and tip named outside it; below it what to look for and what the signs mean."""
    box, lines, signs = flat_box(reading), check_lines(reading), _key(reading)
    row = 1.5 * TEXT_PX
    below = box.top + box.height + row
    height = below + row * (len(lines) + (len(signs) + 1) // 2)
    side = Image.new("RGB", (round(box.width + 2 * SIDE_PX), round(height)), PAPER)
    flat = Image.fromarray(np.ascontiguousarray(tone_of(reading)[reading.rectified.pixels]))
    side.paste(flat.resize((round(box.width), round(box.height)), Image.Resampling.NEAREST), (SIDE_PX, TIP_ROOM_PX))
    draw = ImageDraw.Draw(side)
    mark_ends(draw, box)
    write(draw, (box.left + box.width / 2, box.top / 2), "tip", 50)
    room = side.width - 2 * GAP_PX
    letters = font(min(fitting_size(line, TEXT_PX, room) for line in lines))
    for number, line in enumerate(lines):
        draw.text((GAP_PX, below + number * row), line, DARK, letters, "lm")
    draw_key(draw, signs, (GAP_PX, below + len(lines) * row), (room / 2, row), DARK)
    return side


def _key(reading: Reading) -> dict[str, Sign]:
    """The signs that this picture can show, with their meaning."""
    outline = reading.outline
    edge = PULLED_SIGN if outline.pulled else EDGE_SIGNS[outline.source]
    signs: dict[str, Sign] = {edge: partial(solid_line, width_px=THIN_PX)}
    if reading.flank_map.pose is not None:
        signs["edge as the tooth's shape gives it"] = beaded_line
    return {**signs, "worm touched here": contact_sign, "cannot be judged": hatch_sign}
