"""Trains the finder net on drawn scenes. The net never sees a photograph."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace

import torch
from torch import Tensor, nn
from torch.nn import functional

from patternscan.seeing.outline_search.finder_net import (
    COMPOUND,
    CORNER_PX,
    CORNER_SPREAD,
    CORNERS,
    MARKED,
    PART,
    PLACE,
    PLACE_SPREAD,
    STEP,
)
from patternscan.training.descent import Lesson
from patternscan.training.drawn.dice import throw
from patternscan.training.progress import Plan
from patternscan.training.scenes.pictures import Scenes, draw_scenes
from patternscan.training.scenes.wheel_pool import Wheels
from patternscan.training.scenes.wheel_solid import Part

LARGEST_STEP = 3.0
"""Largest norm of a gradient (own guess)."""
PART_WEIGHTS = (1.0, 1.5, 1.0, 1.5, 1.0, 0.7)
"""What a pixel of each part counts for (own guess)."""
WEIGHTS = (1.0, 1.0, 0.5, 1.0, 0.5)
"""Of part, marked, compound, place and corners in the loss (own guess)."""
MARKED_COUNTS, BESIDE = 2.0, 0.1
"""What a pixel of a marked flank counts for more, and what one off the flanks counts for in telling compound."""
FARTHEST_PX = 480.0
"""Corners farther off are not learned."""
LEAST_SPREAD = -4.0
TURNED, UNTOLD = 0.15, -100
"""Share of scenes whose tips do not point up, and the part of pixels of which nothing is learned."""
WORDS = ("part", "marked", "compound", "place", "corners", "named right", "off", "astray px")


def finder_lesson(plan: Plan, pool: Wheels, device: str) -> Lesson[Scenes]:
    """What the finder net learns."""
    return Lesson(batches(plan, pool, device), scene_losses, WEIGHTS, WORDS, LARGEST_STEP)


def batches(plan: Plan, pool: Wheels, device: str) -> Iterator[Scenes]:
    """Scenes in batches without end; each drawing is used again in other colours, half the time mirrored."""
    dice = throw(plan.batch, device, plan.seed)
    while True:
        drawn = [draw_scenes(dice, pool) for _ in range(max(1, plan.pool // plan.batch))]
        for use in range(plan.uses):
            for number in torch.randperm(len(drawn)).tolist():
                yield _some_turned(seen_again(drawn[number], mirrored=(use + number) % 2 > 0), 1 + number % 3)


def seen_again(scenes: Scenes, mirrored: bool) -> Scenes:
    """The same scenes with other gains of the colours and other contrast."""
    if mirrored:
        scenes = _mirrored(scenes)
    count, device = len(scenes.part), scenes.pixels.device
    gain = torch.exp(0.08 * torch.randn(count, 3, 1, 1, device=device))
    contrast = torch.exp(0.25 * torch.randn(count, 1, 1, 1, device=device))
    return replace(scenes, pixels=(scenes.pixels.clamp(min=0) ** contrast * gain).clamp(0, 1))


def _some_turned(scenes: Scenes, quarters: int) -> Scenes:
    """The first of the scenes turned by so many quarters anticlockwise: their flanks are none with the tip up, and what
    becomes of their backs is not learned.
    """
    count = round(TURNED * len(scenes.part))
    turned = scenes.each(lambda field: field[:count].rot90(quarters, (-2, -1)))
    reversed_axes = {1: (-2,), 2: (-2, -1), 3: (-1,)}[quarters]
    pixels = turned.pixels.roll([1 - STEP] * len(reversed_axes), reversed_axes)
    part = torch.where(turned.part == Part.BACK_FLANK, UNTOLD, turned.part)
    part = torch.where(part == Part.FLANK, int(Part.BACK_FLANK), part)
    turned = replace(turned, pixels=pixels, part=part)
    return Scenes(
        *(torch.cat([getattr(turned, field.name), getattr(scenes, field.name)[count:]]) for field in fields(Scenes))
    )


def _mirrored(scenes: Scenes) -> Scenes:
    """Left and right exchanged, which shows a left flank of a wheel of the other hand."""
    turned = scenes.each(lambda field: field.flip(-1))
    left_right = torch.tensor([-1.0, 1.0], device=turned.corners.device).repeat(4)[None, :, None, None]
    exchanged = turned.corners[:, [2, 3, 0, 1, 6, 7, 4, 5]] * left_right
    place = torch.stack([1 - turned.place[:, 0], turned.place[:, 1]], 1)
    pixels = turned.pixels.roll(1 - STEP, -1)
    return replace(turned, pixels=pixels, place=place, corners=exchanged)


def net_picture(pixels: Tensor) -> Tensor:
    """The net's input of pixels from 0 to 1."""
    return 2 * pixels - 1


def losses(maps: Tensor, scenes: Scenes) -> Tensor:
    """The five parts of the loss, the share of parts named right, mean errors of place and of corners in pixels."""
    part, flank = scenes.part.long(), (scenes.part == Part.FLANK).float()
    weights = torch.tensor(PART_WEIGHTS, device=maps.device)
    naming = functional.cross_entropy(maps[:, PART], part, weights)
    weight = flank * (1 + (MARKED_COUNTS - 1) * scenes.marked)
    total = weight.sum().clamp(min=1)
    marked = functional.binary_cross_entropy_with_logits(maps[:, MARKED], scenes.marked, reduction="none")
    on_flank = flank + BESIDE
    compound = (
        functional.binary_cross_entropy_with_logits(maps[:, COMPOUND], scenes.compound, on_flank) / on_flank.mean()
    )
    off = (maps[:, PLACE] - scenes.place).abs().mean(1)
    near = (scenes.corners.abs().amax(1) < FARTHEST_PX).float()
    astray = (maps[:, CORNERS] - scenes.corners / CORNER_PX).abs().mean(1).nan_to_num(0, 0, 0)
    place = _told(off, maps[:, PLACE_SPREAD], weight)
    corners = _told(astray, maps[:, CORNER_SPREAD], weight * near)
    right = (maps[:, PART].argmax(1) == part).float().mean()
    errors = [
        (off * flank).sum() / flank.sum().clamp(min=1),
        CORNER_PX * (astray * flank * near).sum() / flank.sum().clamp(min=1),
    ]
    return torch.stack([naming, (marked * weight).sum() / total, compound, place, corners, right, *errors])


def _told(error: Tensor, spread: Tensor, weight: Tensor) -> Tensor:
    """Loss of errors whose size the net tells itself (Laplace's law)."""
    spread = spread.clamp(LEAST_SPREAD, 3)
    return ((error * torch.exp(-spread) + spread) * weight).sum() / weight.sum().clamp(min=1)


def scene_losses(net: nn.Module, scenes: Scenes) -> Tensor:
    """The net's losses on scenes."""
    picture = net_picture(scenes.pixels).to(memory_format=torch.channels_last)
    with torch.autocast(picture.device.type, dtype=torch.bfloat16):
        maps = net(picture)
    return losses(maps.float(), scenes)
