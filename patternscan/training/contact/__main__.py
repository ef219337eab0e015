"""From a seed to the contact net's weights: `python -m patternscan.training.contact --seed 1 --out DIR`.

Computes the wheels, trains on pictures drawn of them, and writes contact_net.onnx, contact_net.json and report.txt,
which names seed, steps and digests of what was drawn, and says how well the net does on other pictures.
Needs the dependency group "training" and, to be quick, graphics cards: `torchrun --nproc-per-node N -m
patternscan.training.contact` uses N of them. A run ended by --pause-after goes on when it is called again.
"""

from __future__ import annotations

import argparse
import math
import time
from pathlib import Path

import torch

from patternscan.training.cards import cards, first_card, leave, own_card, rank, wait_for_all
from patternscan.training.contact.digest import digests
from patternscan.training.contact.export import export
from patternscan.training.contact.held_out import held_out_report
from patternscan.training.contact.net import ContactNet
from patternscan.training.contact.train import contact_lesson
from patternscan.training.descent import train
from patternscan.training.drawn.pattern import read_gaps
from patternscan.training.drawn.wheel_gaps import FLANKS, save_gaps
from patternscan.training.progress import Plan, Progress, keep_state, resume

GAPS, REPORT = "wheel_gaps.npz", "report.txt"
STEPS, USES = 16000, 5
"""Steps that one H200 takes in 14 minutes, and how often a drawn picture is used."""
HELD_OUT = 12
"""Batches for the report at the end."""


def asked_for() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m patternscan.training.contact", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="of wheels, pictures and first weights")
    parser.add_argument("--out", type=Path, required=True, help="folder of all that is made")
    parser.add_argument("--steps", type=int, default=STEPS, help="of the whole training, on every card")
    parser.add_argument("--pause-after", type=float, default=math.inf, help="seconds of this run, the wheels included")
    parser.add_argument("--flanks", type=int, default=FLANKS, help="computed flanks; fewer for a trial")
    parser.add_argument("--pool", type=int, default=1536, help="pictures drawn at once; fewer for a small machine")
    parser.add_argument("--batch", type=int, default=384)
    return parser.parse_args()


def main() -> None:
    """Train as asked on the command line."""
    began, asked, device = time.monotonic(), asked_for(), own_card()
    asked.out.mkdir(parents=True, exist_ok=True)
    if first_card() and not (asked.out / GAPS).exists():
        save_gaps(asked.out / GAPS, asked.flanks, asked.seed)
    wait_for_all()
    seed = 1000 * asked.seed
    torch.manual_seed(seed)
    net = ContactNet().to(device).to(memory_format=torch.channels_last)
    left = asked.pause_after - (time.monotonic() - began)
    plan = Plan(asked.steps, left, seed + rank(), batch=asked.batch, pool=asked.pool, uses=USES)
    progress, plan = resume(Progress(net, plan), plan, asked.out)
    torch.manual_seed(plan.seed)
    gaps = read_gaps(asked.out / GAPS, device)
    over = train(progress, contact_lesson(plan, gaps), plan)
    if first_card():
        keep_state(progress, asked.out, over)
        net.load_state_dict(progress.average.weights)
        export(net, asked.out)
        told = f"seed {asked.seed}, step {progress.step} of {plan.steps}, {cards()} times {plan.batch} pictures a step"
        lines = [told, *digests(asked.out / GAPS), held_out_report(net.to(device), gaps, asked.batch, HELD_OUT)]
        (asked.out / REPORT).write_text("\n".join(lines) + "\n", encoding="utf-8")
        print("\n".join(lines))
    leave()


if __name__ == "__main__":
    main()
