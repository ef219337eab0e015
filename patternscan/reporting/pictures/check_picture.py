"""The machine's eye checked in a few seconds: what it drew on the photo, and beside it the bare flank laid flat."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from PIL import Image, ImageDraw

from patternscan.frame import Marking, percent
from patternscan.measuring.reading import Reading
from patternscan.reporting.pictures.annotation import BADGE_RADIUS_PX, MARGIN, Window, cut_out, letter_places, tip_place
from patternscan.reporting.pictures.flat_flank import GAP_PX, SIDE_PX, TEXT_PX, TITLE_PX, Box, mark_ends
from patternscan.reporting.pictures.lettering import (
    CONTACT_TONE,
    DARK,
    PAPER,
    Points,
    Sign,
    badge,
    beaded_line,
    contact_sign,
    dashed_line,
    draw_key,
    fitting_size,
    font,
    hatch_lines,
    hatch_sign,
    solid_line,
    write,
)
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.pose import PosedFlank
from patternscan.seeing.segmentation.contact_shape import trace_border

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
    OutlineSource.FITTED: "edge as marked, then pulled into place",
}


def draw_check(reading: Reading) -> Image.Image:
    """The photo around the flank with all that was found, and right of it the rectified flank without any drawing."""
    photo_side, flat_side = _photo_side(reading), _flat_side(reading)
    top = round(1.6 * TITLE_PX)
    size = (photo_side.width + flat_side.width, top + max(photo_side.height, flat_side.height))
    whole = Image.new("RGB", size, PAPER)
    whole.paste(photo_side, (0, top))
    whole.paste(flat_side, (photo_side.width, top))
    title = _title(reading)
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
    picture = cut_out(reading.photo, window)
    draw = ImageDraw.Draw(picture)

    def seen(places: Points) -> Points:
        return window.in_picture(reading.flank_map.to_photo(places))

    found = reading.contact_map
    for line in hatch_lines(~found.judged, _hatch_spacing(reading, window)):
        solid_line(draw, seen(line), THIN_PX)
    border = reading.outline.border
    solid_line(draw, window.in_picture(np.vstack([border, border[:2]])), THIN_PX)
    if isinstance(reading.flank_map, PosedFlank):
        for edge in reading.flank_map.pose.edges().values():
            beaded_line(draw, window.in_picture(edge))
    for loop in trace_border(found.contact & found.judged):
        dashed_line(draw, seen(loop), THIN_PX, CONTACT_TONE)
    for end, place in letter_places(reading.outline, window).items():
        badge(draw, place, end.value, BADGE_RADIUS_PX)
    write(draw, tip_place(reading.outline, window), "tip", 60)
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
    flat = Image.fromarray(np.ascontiguousarray(reading.rectified.pixels))
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


def check_lines(reading: Reading) -> list[str]:
    """What a person has to compare, and how much of the flank was not judged."""
    found, unjudged = reading.contact_map, 1 - reading.measurement.judged_fraction
    around = "the bare metal" if found.marking is Marking.RUB_OFF else f"the {found.compound} compound"
    contact = f"The broken line must run round {around}."
    if not (found.contact & found.judged).any():
        contact = "No contact was seen: the bare flank here must show none either."
    hidden = f"{percent(unjudged)} of the flank could not be judged."
    return [
        contact,
        "The lines round the flank must lie on its edges.",
        hidden if percent(unjudged) != "0 %" else "All of the flank could be judged.",
    ]


def _key(reading: Reading) -> dict[str, Sign]:
    """The signs that this picture can show, with their meaning."""
    signs: dict[str, Sign] = {EDGE_SIGNS[reading.outline.source]: partial(solid_line, width_px=THIN_PX)}
    if isinstance(reading.flank_map, PosedFlank):
        signs["edge as the tooth's shape gives it"] = beaded_line
    return {**signs, "worm touched here": contact_sign, "cannot be judged": hatch_sign}


def _title(reading: Reading) -> str:
    outline = reading.outline
    return f"{outline.flank.value.capitalize()} flank, tooth {outline.tooth}: {reading.photo.name}"
