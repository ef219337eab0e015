"""Both flanks laid flat, end A on the left for both, with the way the wheel must go."""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw

from patternscan.frame import Flank
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing.flat_flank import (
    GAP_PX,
    METAL,
    TEXT_PX,
    WIDTH_PX,
    Box,
    blank_strip,
    draw_contact,
    draw_middle,
    draw_target,
    flank_box,
    frame_flank,
    headline,
    key_strip,
    paste_flat,
    stack_strips,
    target_sign,
    text_line,
)
from patternscan.reporting.drawing.lettering import (
    DARK,
    Points,
    Sign,
    badge,
    contact_sign,
    fitting_size,
    font,
    hatch_lines,
    hatch_sign,
    middle_sign,
    solid_line,
    write,
)
from patternscan.reporting.drawing.lightened import tone_of
from patternscan.reporting.text.figures.captions import judgement_flank_title, lightened_lines
from patternscan.reporting.text.findings import finding_notes
from patternscan.reporting.text.wording import MOVE_WORDS
from patternscan.seeing.segmentation.contact_shape import without_specks

ONE_TOOTH_PX, SEVERAL_TEETH_PX = 400, 260
"""Height of a rectified flank when it is the only tooth of its flank, and when there are more."""
PLAN_PX = 620
STEEL, SIGNAL, NO_SHIM = (186, 190, 196), (200, 30, 30), (124, 40, 140)
SIGNS: dict[str, Sign] = {
    "worm touched here": contact_sign,
    "cannot be judged": hatch_sign,
    "middle and its doubt": middle_sign,
    "target": target_sign,
}


def draw_pair(judgement: Judgement) -> Image.Image:
    """The picture of both flanks, the target and the move; works with a flank missing."""
    flanks = [_flank_strip(judgement, flank) for flank in Flank]
    return stack_strips([_headline(judgement), *flanks, key_strip(SIGNS), _plan(judgement.advice.move)])


def flank_boxes(teeth: int, top: float, one_px: float = ONE_TOOTH_PX) -> list[Box]:
    """One box a tooth, one below the other from ``top`` on; a missing flank has one box too."""
    height = one_px if teeth <= 1 else min(one_px, SEVERAL_TEETH_PX)
    return [flank_box(top + number * (height + 1.5 * GAP_PX), height) for number in range(max(teeth, 1))]


def arrow_ends(move: Move, middle: tuple[float, float], length: float) -> tuple[Points, Points] | None:
    """Tail and head of the wheel's arrow, end A being on the left; None when the wheel stays or nothing can be said."""
    step = {Move.TOWARD_A: -1.0, Move.TOWARD_B: 1.0}.get(move)
    if step is None:
        return None
    half = np.array([step * length / 2, 0.0])
    return np.array(middle) - half, np.array(middle) + half


def _headline(judgement: Judgement) -> Image.Image:
    advice = judgement.advice
    notes = finding_notes(one.code for one in advice.findings if one.code != advice.because.code)
    machine = [judgement.machine] if judgement.machine else []
    shown = lightened_lines([*judgement.left, *judgement.right])
    return headline(MOVE_WORDS[advice.move], [*machine, *notes, *shown])


def _flank_strip(judgement: Judgement, flank: Flank) -> Image.Image:
    """Title and rectified teeth of one flank."""
    image = draw_teeth(judgement, flank, TEXT_PX * 2.2)
    title = judgement_flank_title(judgement, flank)
    text_line(ImageDraw.Draw(image), (GAP_PX, TEXT_PX * 0.85), title, TEXT_PX, True)
    return image


def draw_teeth(judgement: Judgement, flank: Flank, top: float, one_px: float = ONE_TOOTH_PX) -> Image.Image:
    """The rectified teeth of one flank from ``top`` on, a single one ``one_px`` high."""
    target = judgement.comparison.target
    readings, place = (judgement.left, target.left) if flank is Flank.LEFT else (judgement.right, target.right)
    boxes = flank_boxes(len(readings), top, one_px)
    image, draw = blank_strip(boxes[-1].top + boxes[-1].height + GAP_PX)
    if not readings:
        _draw_missing(draw, boxes[0], flank)
    for reading, box in zip(readings, boxes, strict=False):
        _draw_tooth(image, draw, reading, box)
        draw_target(draw, box, place)
    return image


def _draw_missing(draw: ImageDraw.ImageDraw, box: Box, flank: Flank) -> None:
    draw.rectangle(box.corners, (225, 224, 220), DARK, 4)
    words = f"No reading of the {flank.value} flank"
    size = fitting_size(words, TEXT_PX, box.width - 2 * GAP_PX)
    draw.text((box.left + box.width / 2, box.middle), words, DARK, font(size), "mm")


def _draw_tooth(image: Image.Image, draw: ImageDraw.ImageDraw, reading: Reading, box: Box) -> None:
    """One rectified flank with its contact, what cannot be judged, its centroid and its ends."""
    found, measured = reading.contact_map, reading.measurement
    paste_flat(image, tone_of(reading)[reading.rectified.pixels], box)
    for line in hatch_lines(without_specks(~found.judged), 16):
        solid_line(draw, box.at(line), 2)
    draw_contact(draw, found.contact & found.judged, box)
    frame_flank(draw, box)
    if measured.centroid is not None and measured.along is not None:
        draw_middle(draw, box, (measured.along.low, measured.centroid.along, measured.along.high), measured.centroid.up)


def _plan(move: Move) -> Image.Image:
    """The wheel from above between its two carriers, end A on the left, with the arrow for the move."""
    image, draw = blank_strip(PLAN_PX)
    middle, across = WIDTH_PX / 2, 300.0
    draw.rectangle((140, across - 34, WIDTH_PX - 140, across + 34), STEEL, DARK, 4)
    for left, letter in ((150, "A"), (WIDTH_PX - 290, "B")):
        draw.rectangle((left, across - 120, left + 140, across + 120), STEEL, DARK, 4)
        badge(draw, (left + 70, across), letter, 50)
    _draw_wheel(draw, middle, across)
    draw_move(draw, move, (middle, across))
    text_line(draw, (GAP_PX, PLAN_PX - 2.2 * TEXT_PX), "The wheel seen from above, shaft from end A to end B.", 36)
    return image


def _draw_wheel(draw: ImageDraw.ImageDraw, middle: float, across: float) -> None:
    """The rim edge on, with straight lines for the teeth, whatever the hand."""
    left, right, top, bottom = middle - 190, middle + 190, across - 230, across + 190
    draw.rectangle((left, top, right, bottom), METAL, DARK, 5)
    for y in range(round(top) + 40, round(bottom), 56):
        draw.line([(left + 6, y), (right - 6, y)], (150, 130, 90), 6)


def draw_move(draw: ImageDraw.ImageDraw, move: Move, middle: tuple[float, float]) -> None:
    """The arrow, or what stands in its place: a word, and for flanks that pull apart two arrows that do."""
    ends = arrow_ends(move, middle, 560)
    if move is Move.NOT_BY_SHIM:
        for way in (-1, 1):
            _draw_arrow(draw, middle[0] + way * 60, middle[0] + way * 330, middle[1], NO_SHIM)
        write(draw, (middle[0], middle[1] - 150), "DO NOT SHIM", 72)
        return
    if ends is None:
        write(draw, middle, "STAY" if move is Move.STAY else "?", 110)
        return
    (tail_x, y), (head_x, _) = ends
    _draw_arrow(draw, tail_x, head_x, y, SIGNAL)


def _draw_arrow(draw: ImageDraw.ImageDraw, tail_x: float, head_x: float, y: float, tone: tuple[int, int, int]) -> None:
    way = 1 if head_x > tail_x else -1
    neck = head_x - way * 130
    shape = [
        (tail_x, y - 34),
        (neck, y - 34),
        (neck, y - 90),
        (head_x, y),
        (neck, y + 90),
        (neck, y + 34),
        (tail_x, y + 34),
    ]
    draw.polygon(shape, tone)
    draw.line([*shape, shape[0], shape[1]], DARK, 14, joint="curve")
    draw.line([*shape, shape[0], shape[1]], (255, 255, 255), 6, joint="curve")
