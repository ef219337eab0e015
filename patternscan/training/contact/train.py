"""Trains the contact net on drawn pictures. The net never sees a photograph."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from operator import itemgetter

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.contact.cards import all_agree, first_card, share_gradients
from patternscan.training.contact.given import given_planes, told_to
from patternscan.training.contact.net import ContactNet
from patternscan.training.contact.progress import Plan, Progress
from patternscan.training.drawn.dice import throw
from patternscan.training.drawn.pattern import Gaps
from patternscan.training.drawn.pictures import Pictures, draw_pictures

TOLD = 0.3
"""Share of pictures with which the net is told the compound, as a user may do."""
LARGEST_STEP = 2.0
"""Largest norm of a gradient (own guess)."""
WEIGHTS = (1.0, 0.3, 0.5, 0.2)
"""Of contact by pixel, contact by overlap, hidden metal and name in the loss (own guess)."""
EARLY_REPORTS, REPORT_EVERY, NOTE_EVERY, NOTES, ASK_EVERY = (200, 1000), 2000, 50, 20, 20
"""Steps after which the losses are told, noted (the last so many are averaged), and the clock is asked."""


def batches(plan: Plan, gaps: Gaps) -> Iterator[Pictures]:
    """Pictures in batches without end; at second use mirrored end for end and with other gains and contrast."""
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
    """The same pictures, half the time mirrored end for end, with other gains of the colours and other contrast."""
    if torch.rand(1).item() < 0.5:
        pictures = pictures.each(lambda field: field.flip(-1) if field.dim() >= 3 else field)
    count, device = len(pictures.kind), pictures.pixels.device
    gain = torch.exp(0.08 * torch.randn(count, 3, 1, 1, device=device))
    contrast = torch.exp(0.12 * torch.randn(count, 1, 1, 1, device=device))
    return replace(pictures, pixels=(pictures.pixels.clamp(min=0) ** contrast * gain).clamp(0, 1))


def losses(maps: Tensor, names: Tensor, pictures: Pictures) -> Tensor:
    """The four parts of the loss and the share named right, (5,)."""
    seen, true = pictures.seen, pictures.contact * pictures.seen
    by_pixel = functional.binary_cross_entropy_with_logits(maps[:, 0], pictures.contact, reduction="none") * seen
    by_pixel = by_pixel.sum((1, 2)) / seen.sum((1, 2)).clamp(min=1)
    probability = torch.sigmoid(maps[:, 0]) * seen
    both = probability.sum((1, 2)) + true.sum((1, 2))
    by_overlap = 1 - (2 * (probability * true).sum((1, 2)) + 50) / (both + 50)
    hidden = functional.binary_cross_entropy_with_logits(maps[:, 1], pictures.amount.clamp(0, 1), reduction="none")
    naming = functional.cross_entropy(names, pictures.kind)
    right = (names.argmax(1) == pictures.kind).float().mean()
    return torch.stack([by_pixel.mean(), by_overlap.mean(), (hidden * seen).mean(), naming, right])


def take_step(net: ContactNet, optimizer: torch.optim.Optimizer, pictures: Pictures) -> Tensor:
    """One step down the loss; gives its parts, see ``losses``."""
    given = given_planes(pictures, told_to(pictures.kind, TOLD))
    given = given.to(memory_format=torch.channels_last)
    with torch.autocast(given.device.type, dtype=torch.bfloat16):
        maps, names = net(given)
    parts = losses(maps.float(), names.float(), pictures)
    loss = sum(weight * part for weight, part in zip(WEIGHTS, parts[:4], strict=True))
    optimizer.zero_grad()
    loss.backward()
    share_gradients(net)
    torch.nn.utils.clip_grad_norm_(net.parameters(), LARGEST_STEP)
    optimizer.step()
    return parts.detach()


def train(progress: Progress, gaps: Gaps, plan: Plan) -> bool:
    """Train until the planned time is over or it is time to pause; whether it is over. On the device of the gaps."""
    net, notes = progress.net.train(), []
    began, before = time.monotonic(), progress.seconds
    for count, pictures in enumerate(batches(plan, gaps)):
        if count % ASK_EVERY == 0:
            here = all_agree(time.monotonic() - began)
            progress.seconds = before + here
            if progress.seconds > plan.seconds or here > plan.pause_after:
                break
        for group in progress.optimizer.param_groups:
            group["lr"] = plan.rate(progress.step, progress.seconds / plan.seconds)
        parts = take_step(net, progress.optimizer, pictures)
        progress.average.follow(progress.step)
        if progress.step % NOTE_EVERY == 0:
            notes.append(parts.tolist())
        progress.step += 1
        if progress.step in EARLY_REPORTS or progress.step % REPORT_EVERY == 0:
            report(f"step {progress.step} {progress.seconds:.0f} s", notes)
    report(f"after step {progress.step} {progress.seconds:.0f} s", notes)
    return progress.seconds > plan.seconds


def report(when: str, notes: list[list[float]]) -> None:
    """Print the last losses."""
    if not first_card() or not notes:
        return
    means = [sum(column) / len(column) for column in zip(*notes[-NOTES:], strict=True)]
    words = ("by pixel", "by overlap", "hidden", "naming", "named right")
    figures = "  ".join(f"{word} {mean:.3f}" for word, mean in zip(words, means, strict=False))
    print(when, figures, flush=True)
