"""Trains the contact net on drawn pictures. The net never sees a photograph."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from operator import itemgetter

import torch
from torch import Tensor, nn
from torch.nn import functional

from patternscan.training.contact.given import Told, given_planes, tell
from patternscan.training.descent import Lesson
from patternscan.training.drawn.dice import throw
from patternscan.training.drawn.film import KINDS
from patternscan.training.drawn.pattern import Gaps
from patternscan.training.drawn.pictures import Pictures, draw_pictures
from patternscan.training.progress import Plan

LARGEST_STEP = 2.0
"""Largest norm of a gradient (own guess)."""
WEIGHTS = (1.0, 0.3, 0.3, 0.2, 0.3)
"""Of contact by pixel, contact by overlap, hidden metal, name and marking in the loss (own guess)."""
WORDS = ("by pixel", "by overlap", "hidden", "naming", "marking", "named right")


def contact_lesson(plan: Plan, gaps: Gaps) -> Lesson[Pictures]:
    """What the contact net learns, on the device of the gaps."""
    return Lesson(batches(plan, gaps), picture_losses, WEIGHTS, WORDS, LARGEST_STEP)


def batches(plan: Plan, gaps: Gaps) -> Iterator[Pictures]:
    """Pictures in batches without end; each drawing is used again in other colours, half the time mirrored."""
    device = str(gaps.gap_um.device)
    dice = throw(plan.pool, device, plan.seed)
    while True:
        with torch.no_grad():
            drawn = draw_pictures(dice, gaps)
        for use in range(plan.uses):
            order = torch.randperm(plan.pool, device=device)
            for first in range(0, plan.pool - plan.batch + 1, plan.batch):
                pictures = drawn.each(itemgetter(order[first : first + plan.batch]))
                yield seen_again(pictures) if use else pictures


def seen_again(pictures: Pictures) -> Pictures:
    """The same pictures, half of them mirrored end for end, with other gains of the colours, contrast and noise."""
    count, device = len(pictures.kind), pictures.pixels.device
    mirrored = torch.rand(count, 1, 1, device=device) < 0.5
    pictures = pictures.each(lambda field: _turned_round(field, mirrored))
    gain = torch.exp(0.08 * torch.randn(count, 3, 1, 1, device=device))
    contrast = torch.exp(0.2 * torch.randn(count, 1, 1, 1, device=device))
    noise = 0.02 * torch.rand(count, 1, 1, 1, device=device) * torch.randn_like(pictures.pixels)
    return replace(pictures, pixels=(pictures.pixels.clamp(min=0) ** contrast * gain + noise).clamp(0, 1))


def _turned_round(field: Tensor, mirrored: Tensor) -> Tensor:
    """Ends A and B exchanged in the pictures marked so; what has no ends stays."""
    if field.dim() < 3:
        return field
    return torch.where(mirrored if field.dim() == 3 else mirrored[..., None], field.flip(-1), field)


def losses(maps: Tensor, answers: Tensor, pictures: Pictures, told: Told) -> Tensor:
    """The five parts of the loss and the share named right, (6,). Where the net was told the wrong marking, contact
    does not count; where nothing lies on the flank, the marking does not.
    """
    seen, true = pictures.seen, pictures.contact * pictures.seen
    misled, clean = told.rub_off != pictures.rub_off, pictures.kind == KINDS.index("none")
    counts = (clean | ~misled).float()
    by_pixel = functional.binary_cross_entropy_with_logits(maps[:, 0], pictures.contact, reduction="none") * seen
    by_pixel = by_pixel.sum((1, 2)) / seen.sum((1, 2)).clamp(min=1)
    probability = torch.sigmoid(maps[:, 0]) * seen
    both = probability.sum((1, 2)) + true.sum((1, 2))
    by_overlap = 1 - (2 * (probability * true).sum((1, 2)) + 50) / (both + 50)
    hidden = functional.binary_cross_entropy_with_logits(maps[:, 1], pictures.amount.clamp(0, 1), reduction="none")
    naming = functional.cross_entropy(answers[:, :-1], pictures.kind)
    marking = functional.binary_cross_entropy_with_logits(answers[:, -1], pictures.rub_off, reduction="none")
    right = (answers[:, :-1].argmax(1) == pictures.kind).float().mean()
    contact = ((by_pixel * counts).mean(), (by_overlap * counts).mean())
    return torch.stack([*contact, (hidden * seen).mean(), naming, (marking * ~clean).mean(), right])


def picture_losses(net: nn.Module, pictures: Pictures) -> Tensor:
    """The net's losses on pictures of which it is told what users tell."""
    told = tell(pictures)
    given = given_planes(pictures, told).to(memory_format=torch.channels_last)
    with torch.autocast(given.device.type, dtype=torch.bfloat16):
        maps, answers = net(given)
    return losses(maps.float(), answers.float(), pictures, told)
