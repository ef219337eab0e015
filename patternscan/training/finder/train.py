"""Trains the finder net on drawn scenes. The net never sees a photograph."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

import torch
from torch import Tensor, nn
from torch.nn import functional

from patternscan.seeing.outline_search.net_output import (
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
from patternscan.training.contact.cards import all_agree, first_card, share_gradients
from patternscan.training.contact.progress import Plan, Progress
from patternscan.training.drawn.dice import throw
from patternscan.training.scenes.pictures import Scenes, draw_scenes
from patternscan.training.scenes.wheel_pool import Wheels
from patternscan.training.scenes.wheel_solid import Part

LARGEST_STEP = 3.0
"""Largest norm of a gradient (own guess)."""
PART_WEIGHTS = (1.0, 1.5, 1.0, 1.5, 1.0, 0.7)
"""What a pixel of each part counts for (own guess)."""
WEIGHTS = (1.0, 0.3, 0.2, 0.5, 0.5)
"""Of part, marked, compound, place and corners in the loss (own guess)."""
MARKED_COUNTS = 2.0
"""What a pixel of a marked flank counts for more."""
FARTHEST_PX = 480.0
"""Corners farther off are not learned."""
LEAST_SPREAD = -4.0
REPORT_EVERY, NOTE_EVERY, NOTES, ASK_EVERY = 200, 20, 10, 10
"""Steps after which the losses are told, noted (the last so many are averaged), and the clock is asked."""


def batches(plan: Plan, pool: Wheels, device: str) -> Iterator[Scenes]:
    """Scenes in batches without end; each drawing is used again in other colours, half the time mirrored."""
    dice = throw(plan.batch, device, plan.seed)
    while True:
        drawn = [draw_scenes(dice, pool) for _ in range(max(1, plan.pool // plan.batch))]
        for use in range(plan.uses):
            for number in torch.randperm(len(drawn)).tolist():
                yield seen_again(drawn[number], mirrored=(use + number) % 2 > 0)


def seen_again(scenes: Scenes, mirrored: bool) -> Scenes:
    """The same scenes with other gains of the colours and other contrast."""
    if mirrored:
        scenes = _mirrored(scenes)
    count, device = len(scenes.part), scenes.pixels.device
    gain = torch.exp(0.08 * torch.randn(count, 3, 1, 1, device=device))
    contrast = torch.exp(0.15 * torch.randn(count, 1, 1, 1, device=device))
    return replace(scenes, pixels=(scenes.pixels.clamp(min=0) ** contrast * gain).clamp(0, 1))


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
    compound = functional.binary_cross_entropy_with_logits(maps[:, COMPOUND], scenes.compound)
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


def take_step(net: nn.Module, optimizer: torch.optim.Optimizer, scenes: Scenes) -> Tensor:
    """One step down the loss; gives its parts, see ``losses``."""
    picture = net_picture(scenes.pixels).to(memory_format=torch.channels_last)
    with torch.autocast(picture.device.type, dtype=torch.bfloat16):
        maps = net(picture)
    parts = losses(maps.float(), scenes)
    loss = sum(weight * part for weight, part in zip(WEIGHTS, parts[: len(WEIGHTS)], strict=True))
    optimizer.zero_grad()
    loss.backward()
    share_gradients(net)
    size = torch.nn.utils.clip_grad_norm_(net.parameters(), LARGEST_STEP)
    if torch.isfinite(size):
        optimizer.step()
    return parts.detach()


def train(progress: Progress, pool: Wheels, plan: Plan) -> bool:
    """Train until all planned steps are taken or it is time to pause; whether they are."""
    net, notes = progress.net.train(), list[list[float]]()
    began = time.monotonic()
    device = str(next(net.parameters()).device)
    for count, scenes in enumerate(batches(plan, pool, device)):
        if progress.step >= plan.steps:
            break
        if count % ASK_EVERY == 0 and all_agree(time.monotonic() - began) > plan.pause_after:
            break
        for group in progress.optimizer.param_groups:
            group["lr"] = plan.rate(progress.step)
        parts = take_step(net, progress.optimizer, scenes)
        progress.average.follow(progress.step)
        if progress.step % NOTE_EVERY == 0:
            notes.append(parts.tolist())
        progress.step += 1
        if progress.step % REPORT_EVERY == 0:
            report(f"step {progress.step} {time.monotonic() - began:.0f} s", notes)
    report(f"after step {progress.step} {time.monotonic() - began:.0f} s", notes)
    return progress.step >= plan.steps


def report(when: str, notes: list[list[float]]) -> None:
    """Print the last losses."""
    if not first_card() or not notes:
        return
    means = [sum(column) / len(column) for column in zip(*notes[-NOTES:], strict=True)]
    words = ("part", "marked", "compound", "place", "corners", "named right", "off", "astray px")
    print(when, "  ".join(f"{word} {mean:.3f}" for word, mean in zip(words, means, strict=True)), flush=True)
