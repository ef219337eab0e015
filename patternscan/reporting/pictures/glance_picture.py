"""Both flanks at a glance for a phone: flat, end A on the left, and the arrow of the wheel; words stand beside them."""

from __future__ import annotations

from PIL import Image

from patternscan.frame import Flank
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Judgement
from patternscan.reporting.drawing.flat_flank import GAP_PX, WIDTH_PX, blank_strip
from patternscan.reporting.pictures.pair_picture import draw_move, draw_teeth

FLANK_PX, ARROW_PX = 280, 210
"""Height of a flank, and of the strip with the arrow."""


def draw_flank(judgement: Judgement, flank: Flank) -> Image.Image:
    """The teeth of one flank with their contact, middle and target, no words but the letters of the ends."""
    return draw_teeth(judgement, flank, GAP_PX / 2, FLANK_PX)


def draw_arrow(move: Move) -> Image.Image:
    """Which way the wheel goes, end A on the left; what stands in its place without a direction."""
    image, draw = blank_strip(ARROW_PX)
    draw_move(draw, move, (WIDTH_PX / 2, ARROW_PX / 2))
    return image
