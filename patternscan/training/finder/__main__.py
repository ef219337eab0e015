"""From a seed to the finder net's weights: `python -m patternscan.training.finder --seed 1 --out DIR`.

Computes the wheels, trains on scenes drawn of them, and writes finder_net.onnx and finder_net.json. Needs the
dependency group "training" and, to be quick, graphics cards: `torchrun --nproc-per-node N -m
patternscan.training.finder` uses N of them. A run ended by --pause-after goes on when it is called again.
"""

from __future__ import annotations

import argparse
import math
from pathlib import Path

import torch

from patternscan.training.cards import first_card, leave, own_card, rank, wait_for_all
from patternscan.training.descent import train
from patternscan.training.finder.export import export
from patternscan.training.finder.left_out import INGREDIENTS, leave_out
from patternscan.training.finder.net import FinderNet
from patternscan.training.finder.train import finder_lesson
from patternscan.training.progress import Plan, Progress, keep_state, resume
from patternscan.training.scenes.wheel_pool import WHEELS, read_wheels, save_wheels

POOL = "wheels.npz"
PEAK_RATE, USES = 3e-3, 4
"""Highest learning rate, and how often a drawn scene is used (own guess)."""


def asked_for() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m patternscan.training.finder", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="of wheels, scenes and first weights")
    parser.add_argument("--out", type=Path, required=True, help="folder of all that is made")
    parser.add_argument("--steps", type=int, default=7000, help="of the whole training, on every card")
    parser.add_argument("--pause-after", type=float, default=math.inf, help="seconds of this run")
    parser.add_argument("--wheels", type=int, default=WHEELS, help="computed wheels; fewer for a trial")
    parser.add_argument("--pool", type=int, default=512, help="scenes drawn before they are used again")
    parser.add_argument("--batch", type=int, default=64)
    parser.add_argument("--without", choices=INGREDIENTS, help="leave this out of the scenes, to see what it brings")
    return parser.parse_args()


def main() -> None:
    """Train as asked on the command line."""
    asked, device = asked_for(), own_card()
    if asked.without:
        leave_out(asked.without)
    asked.out.mkdir(parents=True, exist_ok=True)
    if first_card() and not (asked.out / POOL).exists():
        save_wheels(asked.out / POOL, asked.wheels, asked.seed)
    wait_for_all()
    torch.manual_seed(asked.seed)
    net = FinderNet().to(device).to(memory_format=torch.channels_last)
    seed = 1000 * asked.seed + rank()
    plan = Plan(asked.steps, asked.pause_after, seed, PEAK_RATE, asked.batch, asked.pool, USES)
    progress, plan = resume(Progress(net, plan), plan, asked.out)
    torch.manual_seed(plan.seed)
    over = train(progress, finder_lesson(plan, read_wheels(asked.out / POOL), device), plan)
    if first_card():
        keep_state(progress, asked.out, over)
        net.load_state_dict(progress.average.weights)
        export(net, asked.out)
    leave()


if __name__ == "__main__":
    main()
