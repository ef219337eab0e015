"""From a seed to the contact net's weights: `python -m patternscan.training.contact --seed 1 --out DIR`.

Computes the wheels, trains two nets on pictures drawn of them, and writes contact_net.onnx, which gives the mean of
what both say, contact_net.json and report.txt, which names seed, steps and digests of what was drawn, and says how well
the nets do on other pictures. Needs the dependency group "training" and, to be quick, graphics cards: `torchrun
--nproc-per-node 2 -m patternscan.training.contact` trains each net on a card of its own. A run ended by --pause-after
goes on when it is called again.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from pathlib import Path

import torch

from patternscan.training.cards import cards, first_card, leave, own_card, rank, wait_for_all
from patternscan.training.contact.digest import digests
from patternscan.training.contact.export import export
from patternscan.training.contact.held_out import held_out_report
from patternscan.training.contact.net import ContactNet, MeanNet
from patternscan.training.contact.train import contact_lesson
from patternscan.training.descent import train
from patternscan.training.drawn.pattern import Gaps, read_gaps
from patternscan.training.drawn.wheel_gaps import FLANKS, save_gaps
from patternscan.training.progress import Plan, Progress, keep_state, resume

GAPS, REPORT, TRAINED = "wheel_gaps.npz", "report.txt", "trained.pt"
STEPS = 30000
HELD_OUT = 12
"""Batches for the report at the end."""


def asked_for() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m patternscan.training.contact", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="of wheels, pictures and first weights")
    parser.add_argument("--out", type=Path, required=True, help="folder of all that is made")
    parser.add_argument("--nets", type=int, default=2, help="nets of which the mean is written")
    parser.add_argument("--steps", type=int, default=STEPS, help="of each net's whole training")
    parser.add_argument("--pause-after", type=float, default=math.inf, help="seconds of each net in this run")
    parser.add_argument("--flanks", type=int, default=FLANKS, help="computed flanks; fewer for a trial")
    parser.add_argument("--pool", type=int, default=384, help="pictures drawn at once; fewer for a small machine")
    parser.add_argument("--batch", type=int, default=96)
    return parser.parse_args()


def train_net(asked: argparse.Namespace, number: int, gaps: Gaps) -> None:
    """Train one of the nets until it is trained or time to pause, and keep its average weights."""
    folder, seed = asked.out / f"net{number}", 1000 * asked.seed + number
    folder.mkdir(exist_ok=True)
    torch.manual_seed(seed)
    net = ContactNet().to(gaps.gap_um.device).to(memory_format=torch.channels_last)
    plan = Plan(asked.steps, asked.pause_after, seed, batch=asked.batch, pool=asked.pool, joined=False)
    progress, plan = resume(Progress(net, plan), plan, folder)
    torch.manual_seed(plan.seed)
    over = train(progress, contact_lesson(plan, gaps), plan)
    keep_state(progress, folder, over)
    torch.save(progress.average.weights, folder / TRAINED)


def trained_net(asked: argparse.Namespace) -> MeanNet:
    """All nets as they have been trained so far."""
    nets = [ContactNet() for _ in range(asked.nets)]
    for number, net in enumerate(nets):
        net.load_state_dict(torch.load(asked.out / f"net{number}" / TRAINED, map_location="cpu", weights_only=True))
    return MeanNet(nets)


def told(asked: argparse.Namespace, net: MeanNet, gaps: Gaps) -> Iterator[str]:
    """The report."""
    yield f"seed {asked.seed}, {asked.nets} nets, {asked.steps} steps of {asked.batch} pictures each"
    yield from digests(asked.out / GAPS)
    yield held_out_report(net.to(gaps.gap_um.device), gaps, asked.batch, HELD_OUT)


def main() -> None:
    """Train as asked on the command line."""
    asked, device = asked_for(), own_card()
    asked.out.mkdir(parents=True, exist_ok=True)
    if first_card() and not (asked.out / GAPS).exists():
        save_gaps(asked.out / GAPS, asked.flanks, asked.seed)
    wait_for_all()
    gaps = read_gaps(asked.out / GAPS, device)
    for number in range(rank(), asked.nets, cards()):
        train_net(asked, number, gaps)
    wait_for_all()
    if first_card():
        net = trained_net(asked)
        export(net, asked.out)
        report = "\n".join(told(asked, net, gaps))
        (asked.out / REPORT).write_text(report + "\n", encoding="utf-8")
        print(report)
    leave()


if __name__ == "__main__":
    main()
