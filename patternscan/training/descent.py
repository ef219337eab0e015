"""The way down the loss, the same for every net that is trained here."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Generic, TypeVar

import torch
from torch import Tensor, nn

from patternscan.training.cards import all_agree, first_card, share_gradients
from patternscan.training.progress import Plan, Progress

Batch = TypeVar("Batch")
REPORT_EVERY, NOTE_EVERY, NOTES, ASK_EVERY = 500, 20, 20, 20
"""Steps after which the losses are told, noted (the last so many are averaged), and the clock is asked."""


@dataclass(frozen=True, slots=True, eq=False)
class Lesson(Generic[Batch]):
    """What a net is to learn. ``batches`` without end; ``losses`` of net and batch: the parts of the loss, then other
    figures to be told, as many as there are ``words``; ``weights`` of those parts; ``largest_step``: the largest norm
    that a gradient may have.
    """

    batches: Iterator[Batch]
    losses: Callable[[nn.Module, Batch], Tensor]
    weights: tuple[float, ...]
    words: tuple[str, ...]
    largest_step: float


def train(progress: Progress, lesson: Lesson[Batch], plan: Plan) -> bool:
    """Train until all planned steps are taken or it is time to pause; whether they are. Steps whose gradient is no
    number are left out and counted.
    """
    progress.net.train()
    notes, began = list[Tensor](), time.monotonic()
    for count, batch in enumerate(lesson.batches):
        if progress.step >= plan.steps or (
            count % ASK_EVERY == 0 and all_agree(time.monotonic() - began) > plan.pause_after
        ):
            break
        for group in progress.optimizer.param_groups:
            group["lr"] = plan.rate(progress.step)
        parts = _take_step(progress, lesson, batch)
        progress.average.follow(progress.step)
        progress.step += 1
        if progress.step % NOTE_EVERY == 0:
            notes = [*notes[1 - NOTES :], parts]
        if progress.step % REPORT_EVERY == 0:
            report(progress, time.monotonic() - began, lesson.words, notes)
    report(progress, time.monotonic() - began, lesson.words, notes)
    return progress.step >= plan.steps


def _take_step(progress: Progress, lesson: Lesson[Batch], batch: Batch) -> Tensor:
    """One step down the loss; gives its parts and figures."""
    parts = lesson.losses(progress.net, batch)
    loss = torch.stack([weight * part for weight, part in zip(lesson.weights, parts, strict=False)]).sum()
    progress.optimizer.zero_grad()
    loss.backward()
    share_gradients(progress.net)
    size = torch.nn.utils.clip_grad_norm_(progress.net.parameters(), lesson.largest_step)
    if torch.isfinite(size):
        progress.optimizer.step()
    else:
        progress.left_out += 1
    return parts.detach()


def report(progress: Progress, seconds: float, words: tuple[str, ...], notes: list[Tensor]) -> None:
    """Print the mean of the last losses."""
    if not first_card() or not notes:
        return
    means = torch.stack(notes).mean(0).tolist()
    told = "  ".join(f"{word} {mean:.3f}" for word, mean in zip(words, means, strict=True))
    left_out = f"  steps left out {progress.left_out}" if progress.left_out else ""
    print(f"step {progress.step} {seconds:.0f} s  {told}{left_out}", flush=True)
