"""One flank before and after on the same flat flank, end A on the left, and where contact was gained and lost.

Gained is dark with light strokes, lost is light with dark strokes the other way, so the map reads without colour too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.frame import Flank
from patternscan.judging.change import Change, FlankChange
from patternscan.reporting.documents.kept_result import KeptResult, KeptTooth
from patternscan.reporting.pictures.flat_flank import (
    GAP_PX,
    TEXT_PX,
    TITLE_PX,
    Box,
    blank_strip,
    flank_box,
    frame_flank,
    stack_strips,
    text_line,
)
from patternscan.reporting.pictures.lettering import (
    CONTACT_TONE,
    DARK,
    LIGHT,
    Points,
    Sign,
    contact_sign,
    dashed_line,
    draw_key,
    hatch_lines,
    middle_sign,
    read_middle,
)
from patternscan.reporting.pictures.pair_picture import draw_target, target_sign
from patternscan.reporting.text.change_report import NOT_SHOWN, PLACE_WORDS
from patternscan.reporting.text.wording import shift_with_doubt, with_doubt
from patternscan.seeing.segmentation.contact_shape import trace_border

Mask = NDArray[np.bool_]
Tone = tuple[int, int, int]

FLANK_PX = 330
"""Height of a flat flank in the picture."""
GAINED, LOST, KEPT, BARE = (0, 84, 160), (246, 190, 90), (150, 150, 150), (240, 238, 230)
"""Blue and orange are told apart with every common colour blindness (common practice); grey, they are dark and
light."""
STROKE_PX, STROKE_GAP = 3, 9
"""Width of a stroke in the picture, and the way between strokes in cells of a contact map."""


@dataclass(frozen=True, slots=True, eq=False)
class ContactChange:
    """Contact of two states, bool masks (rows, cols) that never overlap, row 0 = tip, column 0 = end A."""

    gained: Mask
    lost: Mask
    kept: Mask
    hidden: Mask


def find_contact_change(before: Sequence[KeptTooth], after: Sequence[KeptTooth]) -> ContactChange:
    """Where contact was gained and lost: a place counts as touched when at least half of the teeth seen there were.

    A place that no tooth of one state shows is ``hidden``. Raises ValueError without a tooth on either side.
    """
    (touched_before, seen_before), (touched_after, seen_after) = _touched(before), _touched(after)
    seen = seen_before & seen_after
    return ContactChange(
        gained=seen & touched_after & ~touched_before,
        lost=seen & touched_before & ~touched_after,
        kept=seen & touched_before & touched_after,
        hidden=~seen,
    )


def draw_changes(change: Change, before: KeptResult, after: KeptResult) -> dict[Flank, Image.Image]:
    """The picture of each flank of which both states have teeth; none when a state came without its pictures."""
    flanks = [flank for flank in Flank if before.teeth(flank) and after.teeth(flank)]
    return {flank: draw_change(change, flank, before.teeth(flank), after.teeth(flank)) for flank in flanks}


def no_picture_lines(before: KeptResult, after: KeptResult) -> list[str]:
    """Why there are no pictures of what changed; nothing when there are."""
    reasons = [one.no_pictures for one in (before, after) if one.no_pictures is not None]
    return [f"{reason}, so there is no picture of what changed. Give folders of 'judge --out'." for reason in reasons]


def draw_change(change: Change, flank: Flank, before: Sequence[KeptTooth], after: Sequence[KeptTooth]) -> Image.Image:
    """The picture of one flank: before, after, and the map of what changed. Raises ValueError without teeth."""
    contact, numbers = find_contact_change(before, after), change.left if flank is Flank.LEFT else change.right
    target = change.target.left if flank is Flank.LEFT else change.target.right
    middles = (None, None) if numbers is None else (numbers.along.before, numbers.along.after)
    heights = (None, None) if numbers is None else (numbers.up.before, numbers.up.after)
    strips = [_headline(change, flank, numbers)]
    for name, teeth, along, up in zip(("Before", "After"), (before, after), middles, heights, strict=True):
        image, draw, box = _titled(_state_title(name, teeth, along))
        _draw_tooth(image, draw, teeth[0], box)
        draw_target(draw, box, target)
        if along is not None and up is not None:
            _draw_middle(draw, box, (along.low, along.high), (along.value, up.value))
        strips.append(image)
    image, draw, box = _titled(_change_title(numbers))
    image.paste(_painted(contact, box), (round(box.left), round(box.top)))
    _hatch(draw, contact, box)
    frame_flank(draw, box)
    draw_target(draw, box, target)
    return stack_strips([*strips, image, _key()])


def _touched(teeth: Sequence[KeptTooth]) -> tuple[Mask, Mask]:
    """Where at least half of the teeth seen there were touched, and where any tooth could be judged."""
    if not teeth:
        raise ValueError("a map of what changed needs a tooth on both sides")
    seen = sum((tooth.contact != 128).astype(np.int64) for tooth in teeth)
    touched = sum((tooth.contact > 128).astype(np.int64) for tooth in teeth)
    return np.asarray(2 * touched >= np.maximum(seen, 1)), np.asarray(seen > 0)


def _headline(change: Change, flank: Flank, numbers: FlankChange | None) -> Image.Image:
    image, draw = blank_strip(TITLE_PX * 1.9 + TEXT_PX * 1.4)
    verdict = "" if numbers is None else PLACE_WORDS.get(numbers.verdict, "places cannot be compared")
    name = f"{flank.value.capitalize()} flank"
    text_line(draw, (GAP_PX, TITLE_PX), f"{name}: {verdict}" if verdict else name, TITLE_PX, True)
    text_line(draw, (GAP_PX, TITLE_PX * 1.9 + TEXT_PX * 0.4), _film_line(change), 36)
    return image


def _film_line(change: Change) -> str:
    if not change.coverage_comparable:
        return "Not marked alike: look at the place; a change in size may come from the paint alone."
    if any(caution.code == "film-unknown" for caution in change.cautions):
        return "Film not noted: look at the place; a change in size may come from the paint alone."
    return "Marked alike, as noted: place and size may be compared."


def _titled(title: str) -> tuple[Image.Image, ImageDraw.ImageDraw, Box]:
    """An empty strip with its title and room for one flank."""
    top = TEXT_PX * 2.1
    image, draw = blank_strip(top + FLANK_PX + GAP_PX)
    text_line(draw, (GAP_PX, TEXT_PX * 0.85), title, TEXT_PX, True)
    return image, draw, flank_box(top, FLANK_PX)


def _state_title(name: str, teeth: Sequence[KeptTooth], along: Any) -> str:
    shown = f" (tooth {teeth[0].tooth}, the first of {len(teeth)})" if len(teeth) > 1 else ""
    middle = "" if along is None else f": middle {with_doubt(along)} from end A"
    return f"{name}{shown}{middle}"


def _change_title(numbers: FlankChange | None) -> str:
    if numbers is None:
        return "What changed"
    moved = f"the middle went {shift_with_doubt(numbers.along.change)}" if numbers.along.seen else NOT_SHOWN
    return f"What changed: {moved}"


def _draw_tooth(image: Image.Image, draw: ImageDraw.ImageDraw, tooth: KeptTooth, box: Box) -> None:
    """One flat flank with its contact."""
    flat = Image.fromarray(np.ascontiguousarray(tooth.flat))
    size = round(box.width), round(box.height)
    image.paste(flat.resize(size, Image.Resampling.LANCZOS), (round(box.left), round(box.top)))
    _cross_out(draw, tooth.contact == 128, box)
    for loop in trace_border(tooth.contact > 128):
        dashed_line(draw, box.at(loop), 4, CONTACT_TONE)
    frame_flank(draw, box)


def _draw_middle(draw: ImageDraw.ImageDraw, box: Box, ends: tuple[float, float], at: tuple[float, float]) -> None:
    bar, middle = np.array([[ends[0], at[1]], [ends[1], at[1]]]), np.array([at])
    x, y = box.at(middle)[0]
    read_middle(draw, (float(x), float(y)), box.at(bar), 30)


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


def _key() -> Image.Image:
    image, draw = blank_strip(TEXT_PX * 6.8)
    signs: dict[str, Sign] = {
        "newly touched": partial(_patch_sign, GAINED, LIGHT, False),
        "no longer touched": partial(_patch_sign, LOST, DARK, True),
        "touched both times": partial(_patch_sign, KEPT, None, False),
        "cannot be judged": _hidden_sign,
        "worm touched here": contact_sign,
        "middle and its doubt": middle_sign,
        "target": target_sign,
    }
    draw_key(draw, signs, (GAP_PX, TEXT_PX * 0.9), (560, TEXT_PX * 1.6), DARK)
    return image


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
