"""How a training is planned, and what it takes to go on with it another time."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path

import torch
from torch import nn

WARM_UP, DECAY, LONGEST_MEMORY = 300, 1e-3, 0.9995
"""Steps until the rate is full, weight decay, memory of the average weights (own guess)."""
STATE, OPTIMIZER = "state.pt", "optimizer.pt"


@dataclass(frozen=True, slots=True)
class Plan:
    """How to train: ``pool`` pictures are drawn and used ``uses`` times, ``batch`` at a time, for ``steps`` in all;
    what is left after ``pause_after`` seconds is left for another time.
    """

    steps: int
    pause_after: float = math.inf
    seed: int = 0
    peak_rate: float = 3e-3
    batch: int = 192
    pool: int = 768
    uses: int = 4

    def rate(self, step: int) -> float:
        """Learning rate: a short warm-up, then half a cosine over all steps."""
        cosine = 0.5 * (1 + math.cos(math.pi * min(1.0, step / self.steps))) + 1e-3
        return self.peak_rate * min(1.0, (step + 1) / WARM_UP) * cosine


class AverageWeights:
    """Moving average of the net's weights, slow to forget once there is something to remember."""

    def __init__(self, net: nn.Module) -> None:
        now = net.state_dict()
        self.weights = {name: value.clone() for name, value in now.items()}
        names = [name for name, value in now.items() if value.dtype.is_floating_point]
        self._average, self._now = [self.weights[name] for name in names], [now[name] for name in names]

    def follow(self, step: int) -> None:
        """Move toward the net's weights of now."""
        with torch.no_grad():
            torch._foreach_lerp_(self._average, self._now, 1 - min(LONGEST_MEMORY, (step + 1) / (step + 20)))


class Progress:
    """Net, optimizer, average weights, steps so far, and those ``planned``: what it takes to go on."""

    def __init__(self, net: nn.Module, plan: Plan) -> None:
        self.net, self.average, self.planned = net, AverageWeights(net), plan.steps
        self.optimizer = torch.optim.AdamW(net.parameters(), lr=plan.peak_rate, weight_decay=DECAY, fused=True)
        self.step = self.left_out = 0

    def pause(self, folder: Path) -> None:
        """Keep all of it in a folder."""
        state = {
            "net": self.net.state_dict(),
            "average": self.average.weights,
            "step": self.step,
            "planned": self.planned,
        }
        torch.save(state, folder / STATE)
        torch.save(self.optimizer.state_dict(), folder / OPTIMIZER)

    def go_on(self, folder: Path) -> None:
        """Be what was kept."""
        device = next(self.net.parameters()).device
        state, optimizer = (
            torch.load(folder / name, map_location=device, weights_only=True) for name in (STATE, OPTIMIZER)
        )
        self.net.load_state_dict(state["net"])
        self.optimizer.load_state_dict(optimizer)
        for name, value in state["average"].items():
            self.average.weights[name].copy_(value)
        self.step, self.planned = state["step"], state["planned"]


def resume(progress: Progress, plan: Plan, folder: Path) -> tuple[Progress, Plan]:
    """What a paused run has left in the folder, with pictures of its own to come; as given when it left nothing."""
    if not (folder / STATE).exists():
        return progress, plan
    progress.go_on(folder)
    return progress, replace(plan, steps=progress.planned, seed=plan.seed + 100 * progress.step)


def keep_state(progress: Progress, folder: Path, over: bool) -> None:
    """Keep what it takes to go on; nothing when the training is over."""
    if not over:
        return progress.pause(folder)
    for name in (STATE, OPTIMIZER):
        (folder / name).unlink(missing_ok=True)
    return None
