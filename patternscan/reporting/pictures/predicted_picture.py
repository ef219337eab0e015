"""The computed pattern of both flanks laid flat, end A on the left, before and after a proposed move of the wheel."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact
from patternscan.judging.prediction import Prediction, flank_of
from patternscan.judging.states.judged_state import FlankState
from patternscan.reporting.drawing.flat_flank import (
    GAP_PX,
    TEXT_PX,
    Box,
    blank_strip,
    draw_middle,
    flank_box,
    frame_flank,
    headline,
    key_strip,
    stack_strips,
    text_line,
)
from patternscan.reporting.drawing.lettering import DARK, LIGHT, Points, Sign, Spot, dashes, middle_sign
from patternscan.reporting.text.figures.captions import contact_words, prediction_lines
from patternscan.seeing.segmentation.contact_shape import trace_border

FLANK_PX, CAPTION_PX = 270, 36
CLEAN, TOUCHED = (238, 230, 208), (70, 118, 176)
"""Bare flank and computed contact: far apart in lightness, so that they differ on a grey printer and to every eye."""
FINER = 8
"""The grid of gaps is refined so many times before its border is drawn, so that it shows no steps."""
FAR_FILMS = 4.0
"""Gaps beyond so many films are taken alike, so that places the worm never reaches do not push the border."""


def draw_prediction(prediction: Prediction) -> Image.Image:
    """The picture of both flanks; with a proposed move the pattern after it stands below the present one."""
    flanks = [_flank_strip(prediction, flank) for flank in Flank]
    return stack_strips(
        [headline("Computed pattern", prediction_lines(prediction), CAPTION_PX), *flanks, _key(prediction)]
    )


def contact_cells(contact: FlankContact, film_um: float) -> NDArray[np.bool_]:
    """Where a film prints, (rows, columns) FINER times as fine as the gaps, row 0 at the tip, column 0 at end A."""
    gap = np.minimum(np.nan_to_num(contact.gap_um, nan=np.inf), FAR_FILMS * film_um).astype(np.float32)
    rows, columns = gap.shape
    finer = Image.fromarray(gap).resize((FINER * columns, FINER * rows), Image.Resampling.BILINEAR)
    cells: NDArray[np.bool_] = np.asarray(finer) < film_um
    return cells


def flank_boxes(states: int) -> list[Box]:
    """One box for each state, one below the other with room for a line of words above each."""
    step = FLANK_PX + 2.1 * TEXT_PX
    return [flank_box(3.1 * TEXT_PX + number * step, FLANK_PX) for number in range(states)]


def ring(draw: ImageDraw.ImageDraw, at: Spot, radius_px: float) -> None:
    """The middle of a computed pattern: a light ring with dark rims."""
    x, y = at
    for radius, inner, tone in ((radius_px, 0.4, DARK), (0.85 * radius_px, 0.55, LIGHT)):
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), None, tone, round(radius - inner * radius_px))


def _flank_strip(prediction: Prediction, flank: Flank) -> Image.Image:
    """Title and the flank in each state; what was read from photos stands in the first."""
    boxes, film = flank_boxes(len(prediction.states)), prediction.film_um
    image, draw = blank_strip(boxes[-1].top + boxes[-1].height + GAP_PX)
    text_line(draw, (GAP_PX, TEXT_PX), f"{flank.value.capitalize()} flank", round(1.2 * TEXT_PX), True)
    for state, when, box in zip(prediction.states, ("Now", "After the move"), boxes, strict=False):
        contact = flank_of(state, flank)
        text_line(draw, (box.left, box.top - 0.75 * TEXT_PX), f"{when}: {contact_words(contact, film)}", CAPTION_PX)
        _draw_flank(image, contact, film, box)
    read = prediction.read_from_photos(flank)
    if read is not None:
        _draw_read(draw, read, boxes[0])
    return image


def _draw_flank(image: Image.Image, contact: FlankContact, film_um: float, box: Box) -> None:
    """One flank with its contact tinted and outlined, the middle of the face and the middle of the pattern."""
    draw, cells = ImageDraw.Draw(image), contact_cells(contact, film_um)
    draw.rectangle(box.corners, CLEAN)
    stencil = Image.fromarray(cells).resize((round(box.width), round(box.height)), Image.Resampling.NEAREST)
    image.paste(TOUCHED, (round(box.left), round(box.top)), stencil)
    for loop in trace_border(cells):
        draw.line([(float(x), float(y)) for x, y in box.at(loop)], DARK, 5, joint="curve")
    _dotted(draw, box.at(np.array([[0.5, 1.0], [0.5, 0.0]])))
    frame_flank(draw, box)
    centroid = contact.centroid(film_um)
    if centroid is not None:
        x, y = box.at(np.array([[centroid.along, centroid.up]]))[0]
        ring(draw, (float(x), float(y)), 26)


def _draw_read(draw: ImageDraw.ImageDraw, read: FlankState, box: Box) -> None:
    """The middle that was read from photos and its doubt along the face."""
    draw_middle(draw, box, (read.along.low, read.along.value, read.along.high), read.up.value)


def _dotted(draw: ImageDraw.ImageDraw, line: Points) -> None:
    """A thin broken line."""
    for dash in dashes(line, 10.0):
        draw.line([(float(x), float(y)) for x, y in dash], DARK, 3)


def _key(prediction: Prediction) -> Image.Image:
    """What the signs mean."""
    signs: dict[str, Sign] = {
        "computed contact": _contact_sign,
        "computed middle": _ring_sign,
        "middle of the face": _dotted,
    }
    if prediction.measured is not None:
        signs["middle read from photos"] = middle_sign
    return key_strip(signs)


def _contact_sign(draw: ImageDraw.ImageDraw, line: Points) -> None:
    (left, y), (right, _) = line
    draw.rectangle((left, y - 20, right, y + 20), TOUCHED, DARK, 5)


def _ring_sign(draw: ImageDraw.ImageDraw, line: Points) -> None:
    x, y = line.mean(axis=0)
    ring(draw, (float(x), float(y)), 22)
