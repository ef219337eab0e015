"""A flank laid flat with the contact that was read and the contact that a person painted."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.judging.proof.truth import Mask, Truth
from patternscan.reporting.drawing.flat_flank import (
    GAP_PX,
    blank_strip,
    draw_contact,
    flank_box,
    frame_flank,
    headline,
    key_strip,
    paste_flat,
    stack_strips,
)
from patternscan.reporting.drawing.lettering import LIGHT, Sign, contact_sign, solid_line
from patternscan.seeing.segmentation.contact_shape import trace_border

FLANK_PX = 470


def draw_beside_truth(flat: NDArray[np.uint8], contact: Mask, truth: Truth, title: str) -> Image.Image:
    """The picture: the tool's contact in a broken green line, the person's in a white one.

    ``flat`` uint8 (rows, cols, 3) sRGB and ``contact`` bool (rows, cols) are of the flank laid flat.
    """
    image, draw = blank_strip(FLANK_PX + 2 * GAP_PX)
    box = flank_box(GAP_PX, FLANK_PX)
    paste_flat(image, flat, box)
    for loop in trace_border(truth.contact):
        _painted_line(draw, box.at(loop))
    draw_contact(draw, contact, box)
    frame_flank(draw, box)
    signs: dict[str, Sign] = {"what the tool calls contact": contact_sign, "what the person painted": _painted_line}
    return stack_strips([headline(title, ()), image, key_strip(signs)])


_painted_line = partial(solid_line, width_px=5, tone=LIGHT)
