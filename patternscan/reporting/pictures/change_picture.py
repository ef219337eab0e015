"""One flank before and after on the same flat flank, end A on the left, and where contact was gained and lost.

Gained is dark with light strokes, lost is light with dark strokes the other way, so the map reads without colour too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial

import numpy as np
from PIL import Image, ImageDraw

from patternscan.frame import Flank
from patternscan.judging.states.change import Change
from patternscan.reporting.drawing.flat_flank import (
    GAP_PX,
    TEXT_PX,
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
from patternscan.reporting.drawing.lettering import DARK, LIGHT, Points, Sign, contact_sign, hatch_lines, middle_sign
from patternscan.reporting.pictures.bare_flank import KeptTooth
from patternscan.reporting.pictures.contact_change import ContactChange, Mask, find_contact_change
from patternscan.reporting.text.figures.captions import change_flank_title, film_line, moved_title, state_title
from patternscan.seeing.segmentation.contact_shape import trace_border

Tone = tuple[int, int, int]
TeethOf = Callable[[Flank], Sequence[KeptTooth]]
"""The teeth that a state shows of a flank."""

FLANK_PX, FILM_PX = 330, 36
"""Height of a flat flank in the picture, and of the letters of the line on the film."""
GAINED, LOST, KEPT, BARE = (0, 84, 160), (246, 190, 90), (150, 150, 150), (240, 238, 230)
"""Blue and orange are told apart with every common colour blindness (common practice); grey, they are dark and
light."""
STROKE_PX, STROKE_GAP = 3, 9
"""Width of a stroke in the picture, and the way between strokes in cells of a contact map."""


def draw_changes(change: Change, before: TeethOf, after: TeethOf) -> dict[Flank, Image.Image]:
    """The picture of each flank of which both states have teeth; none when a state came without its pictures."""
    flanks = [flank for flank in Flank if before(flank) and after(flank)]
    return {flank: draw_change(change, flank, before(flank), after(flank)) for flank in flanks}


def draw_change(change: Change, flank: Flank, before: Sequence[KeptTooth], after: Sequence[KeptTooth]) -> Image.Image:
    """The picture of one flank: before, after, and the map of what changed. Raises ValueError without teeth."""
    numbers = change.left if flank is Flank.LEFT else change.right
    strips = [headline(change_flank_title(flank, numbers), [film_line(change)], FILM_PX)]
    for title, image in draw_states(change, flank, before, after).items():
        strips += [_title(title), image]
    return stack_strips([*strips, key_strip(SIGNS)])


def draw_states(
    change: Change, flank: Flank, before: Sequence[KeptTooth], after: Sequence[KeptTooth]
) -> dict[str, Image.Image]:
    """One flank before, after, and what changed, each by its title. Raises ValueError without teeth."""
    contact, numbers = find_contact_change(before, after), change.left if flank is Flank.LEFT else change.right
    target = change.target.left if flank is Flank.LEFT else change.target.right
    drawn: dict[str, Image.Image] = {}
    for name, teeth, state in (("Before", before, "before"), ("After", after, "after")):
        middle = None if numbers is None else (getattr(numbers.along, state), getattr(numbers.up, state))
        image, draw, box = _strip()
        _draw_tooth(image, draw, teeth[0], box)
        draw_target(draw, box, target)
        if middle is not None:
            along, up = middle
            draw_middle(draw, box, (along.low, along.value, along.high), up.value)
        drawn[state_title(name, teeth[0].tooth, len(teeth), middle and middle[0])] = image
    image, draw, box = _strip()
    image.paste(_painted(contact, box), (round(box.left), round(box.top)))
    _hatch(draw, contact, box)
    frame_flank(draw, box)
    draw_target(draw, box, target)
    drawn[moved_title(numbers)] = image
    return drawn


def _title(title: str) -> Image.Image:
    image, draw = blank_strip(TEXT_PX * 1.7)
    text_line(draw, (GAP_PX, TEXT_PX * 0.85), title, TEXT_PX, True)
    return image


def _strip() -> tuple[Image.Image, ImageDraw.ImageDraw, Box]:
    """An empty strip with room for one flank."""
    top = TEXT_PX * 0.4
    image, draw = blank_strip(top + FLANK_PX + GAP_PX)
    return image, draw, flank_box(top, FLANK_PX)


def _draw_tooth(image: Image.Image, draw: ImageDraw.ImageDraw, tooth: KeptTooth, box: Box) -> None:
    """One flat flank with its contact."""
    paste_flat(image, tooth.flat, box)
    _cross_out(draw, tooth.contact == 128, box)
    draw_contact(draw, tooth.contact > 128, box)
    frame_flank(draw, box)


def _painted(contact: ContactChange, box: Box) -> Image.Image:
    """The map in its tones, at the size of the box."""
    size = round(box.width), round(box.height)
    image = Image.new("RGB", size, BARE)
    for mask, tone in ((contact.kept, KEPT), (contact.lost, LOST), (contact.gained, GAINED)):
        cells = Image.fromarray((mask * 255).astype(np.uint8)).resize(size, Image.Resampling.BICUBIC)
        image.paste(tone, (0, 0), cells.point(lambda level: 255 if level >= 128 else 0))
    return image


def _hatch(draw: ImageDraw.ImageDraw, contact: ContactChange, box: Box) -> None:
    """Strokes over what was gained and lost, and crossed ones over what could not be judged."""
    _cross_out(draw, contact.hidden, box)
    for mask, tone, falling in ((contact.gained, LIGHT, False), (contact.lost, DARK, True)):
        _draw_lines(draw, box, _strokes(mask, falling), tone)
        _draw_lines(draw, box, trace_border(mask), DARK)


def _cross_out(draw: ImageDraw.ImageDraw, hidden: Mask, box: Box) -> None:
    for falling in (False, True):
        _draw_lines(draw, box, _strokes(hidden, falling), KEPT)


def _draw_lines(draw: ImageDraw.ImageDraw, box: Box, lines: Iterable[Points], tone: Tone) -> None:
    for line in lines:
        draw.line([(float(x), float(y)) for x, y in box.at(line)], tone, STROKE_PX)


def _strokes(mask: Mask, falling: bool) -> list[Points]:
    """Slanted strokes over a mask, rising or falling toward end B."""
    if not falling:
        return hatch_lines(mask, STROKE_GAP)
    return [line * [-1.0, 1.0] + [1.0, 0.0] for line in hatch_lines(mask[:, ::-1], STROKE_GAP)]


def _patch_sign(tone: Tone, stroke: Tone | None, falling: bool, draw: ImageDraw.ImageDraw, line: Points) -> None:
    (left, y), (right, _) = line
    draw.rectangle((left, y - 20, right, y + 20), tone, DARK, 2)
    for x in np.arange(left + 6, right - 30, 20):
        ends = [(x, y - 15), (x + 30, y + 15)] if falling else [(x, y + 15), (x + 30, y - 15)]
        if stroke is not None:
            draw.line(ends, stroke, STROKE_PX)


def _hidden_sign(draw: ImageDraw.ImageDraw, line: Points) -> None:
    _patch_sign(BARE, KEPT, False, draw, line)
    (left, y), (right, _) = line
    for x in np.arange(left + 6, right - 30, 20):
        draw.line([(x, y - 15), (x + 30, y + 15)], KEPT, STROKE_PX)


SIGNS: dict[str, Sign] = {
    "newly touched": partial(_patch_sign, GAINED, LIGHT, False),
    "no longer touched": partial(_patch_sign, LOST, DARK, True),
    "touched both times": partial(_patch_sign, KEPT, None, False),
    "cannot be judged": _hidden_sign,
    "worm touched here": contact_sign,
    "middle and its doubt": middle_sign,
    "target": target_sign,
}
