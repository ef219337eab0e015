"""Trains the contact net on drawn pictures: `python sample_images/contact_net/train.py --gaps FILE --out DIR`.

Needs the dependency group "training" and, to be quick, graphics cards: `torchrun --nproc-per-node N` before the script
uses N of them, each on pictures of its own. Writes DIR/contact_net.pt (weights) and DIR/report.txt. Where a machine is
lent for a short time only, `--pause-after` ends early and leaves DIR/state.pt and DIR/optimizer.pt, from which `--go-on
DIR` goes on toward the same `--seconds`. The net never sees a photograph.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from operator import itemgetter
from pathlib import Path

import torch
from torch import Tensor, distributed
from torch.nn import functional

sys.path.insert(0, str(Path(__file__).parents[2]))

from sample_images.contact_net.cards import all_agree, first_card, own_card, share_gradients
from sample_images.contact_net.dice import throw
from sample_images.contact_net.film_scene import KINDS
from sample_images.contact_net.held_out import held_out_report
from sample_images.contact_net.net import ContactNet, planes, read_weights
from sample_images.contact_net.pattern_scene import Gaps, read_gaps
from sample_images.contact_net.scene import Pictures, draw_pictures

TOLD = 0.3
"""Share of pictures with which the net is told the compound, as a user may do."""
WARM_UP, DECAY, LONGEST_MEMORY, LARGEST_STEP = 300, 1e-3, 0.9995, 2.0
"""Steps until the rate is full, weight decay, memory of the average weights, largest norm of a gradient."""
WEIGHTS = (1.0, 0.3, 0.5, 0.2)
"""Of contact by pixel, contact by overlap, hidden metal and name in the loss (own guess)."""
EARLY_REPORTS, REPORT_EVERY, NOTE_EVERY, NOTES, ASK_EVERY = (200, 1000), 2000, 50, 20, 20
STATE, OPTIMIZER = "state.pt", "optimizer.pt"
HELD_OUT = 12
"""Batches for the report at the end."""

OnReport = Callable[[ContactNet], str]
"""Looks at the net while it is trained; what it says is added to the line of figures."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How to train: ``pool`` pictures are drawn at once and used ``uses`` times, ``batch`` at a time, for ``seconds``
    in all; ``pause_after`` so many the rest is left for another time.
    """

    seconds: float
    pause_after: float = math.inf
    seed: int = 0
    peak_rate: float = 3e-3
    batch: int = 96
    pool: int = 384
    uses: int = 2

    def rate(self, step: int, part: float) -> float:
        """Learning rate: a short warm-up, then half a cosine over the time, of which ``part`` is gone."""
        cosine = 0.5 * (1 + math.cos(math.pi * min(1.0, part))) + 1e-3
        return self.peak_rate * min(1.0, (step + 1) / WARM_UP) * cosine


class AverageWeights:
    """Moving average of the net's weights, slow to forget once there is something to remember."""

    def __init__(self, net: ContactNet) -> None:
        now = net.state_dict()
        self.weights = {name: value.clone() for name, value in now.items()}
        names = [name for name, value in now.items() if value.dtype.is_floating_point]
        self._average, self._now = [self.weights[name] for name in names], [now[name] for name in names]

    def follow(self, step: int) -> None:
        """Move toward the net's weights of now."""
        with torch.no_grad():
            torch._foreach_lerp_(self._average, self._now, 1 - min(LONGEST_MEMORY, (step + 1) / (step + 20)))


class Progress:
    """Net, optimizer, average weights, steps and seconds so far, and those ``planned``: what it takes to go on."""

    def __init__(self, net: ContactNet, plan: Plan) -> None:
        self.net, self.average, self.planned = net, AverageWeights(net), plan.seconds
        self.optimizer = torch.optim.AdamW(net.parameters(), lr=plan.peak_rate, weight_decay=DECAY)
        self.step, self.seconds = 0, 0.0

    def pause(self, folder: Path) -> None:
        """Keep all of it in a folder."""
        state = {
            "net": self.net.state_dict(),
            "average": self.average.weights,
            "step": self.step,
            "seconds": self.seconds,
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
        self.step, self.seconds, self.planned = state["step"], state["seconds"], state["planned"]


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
    chance = torch.sigmoid(maps[:, 0]) * seen
    both = chance.sum((1, 2)) + true.sum((1, 2))
    by_overlap = 1 - (2 * (chance * true).sum((1, 2)) + 50) / (both + 50)
    hidden = functional.binary_cross_entropy_with_logits(maps[:, 1], pictures.amount.clamp(0, 1), reduction="none")
    naming = functional.cross_entropy(names, pictures.kind)
    right = (names.argmax(1) == pictures.kind).float().mean()
    return torch.stack([by_pixel.mean(), by_overlap.mean(), (hidden * seen).mean(), naming, right])


def told(kind: Tensor) -> Tensor:
    """The compound as the net is told it, (n, 4): zeros for most pictures."""
    known = (torch.rand(len(kind), 1, device=kind.device) < TOLD).float()
    return functional.one_hot(kind, len(KINDS))[:, :4].float() * known


def take_step(net: ContactNet, optimizer: torch.optim.Optimizer, pictures: Pictures) -> Tensor:
    """One step down the loss; gives its parts, see ``losses``."""
    given = planes(pictures.pixels, pictures.seen, pictures.rub_off, told(pictures.kind))
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


def train(progress: Progress, gaps: Gaps, plan: Plan, on_report: OnReport | None = None) -> bool:
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
            report(net, f"step {progress.step} {progress.seconds:.0f} s", notes, on_report)
            net.train()
    report(net, f"after step {progress.step} {progress.seconds:.0f} s", notes, on_report)
    return progress.seconds > plan.seconds


def report(net: ContactNet, when: str, notes: list[list[float]], on_report: OnReport | None) -> None:
    """Print the last losses, and what the onlooker says of the net."""
    if not first_card() or not notes:
        return
    means = [sum(column) / len(column) for column in zip(*notes[-NOTES:], strict=True)]
    words = ("by pixel", "by overlap", "hidden", "naming", "named right")
    figures = "  ".join(f"{word} {mean:.3f}" for word, mean in zip(words, means, strict=False))
    print(when, figures, on_report(net.eval()) if on_report else "", flush=True)


def asked_for() -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--gaps", type=Path, required=True, help="file of wheel_gaps.py")
    beginning = parser.add_mutually_exclusive_group()
    beginning.add_argument("--begin-with", type=Path, help="weights to begin with")
    beginning.add_argument("--go-on", type=Path, help="folder of a training that paused")
    parser.add_argument("--out", type=Path, default=Path("out"))
    parser.add_argument("--seconds", type=float, default=1200, help="of the whole training")
    parser.add_argument("--pause-after", type=float, default=math.inf, help="seconds of this run")
    parser.add_argument("--seed", type=int, default=0, help="of the pictures")
    parser.add_argument("--peak-rate", type=float, default=3e-3)
    parser.add_argument("--pool", type=int, default=384, help="pictures drawn at once; fewer for a small machine")
    parser.add_argument("--batch", type=int, default=96)
    return parser.parse_args()


def main(on_report: OnReport | None = None) -> None:
    """Train as asked on the command line."""
    asked, device = asked_for(), own_card()
    card = distributed.get_rank() if distributed.is_initialized() else 0
    torch.manual_seed(asked.seed)
    gaps, net = read_gaps(asked.gaps, device), ContactNet()
    if asked.begin_with:
        read_weights(net, asked.begin_with)
    net.to(device).to(memory_format=torch.channels_last)
    plan = Plan(asked.seconds, asked.pause_after, 1000 * asked.seed + card, asked.peak_rate, asked.batch, asked.pool)
    progress = Progress(net, plan)
    if asked.go_on:
        progress.go_on(asked.go_on)
        plan = replace(plan, seconds=progress.planned, seed=plan.seed + 100 * progress.step)
    asked.out.mkdir(parents=True, exist_ok=True)
    torch.manual_seed(plan.seed)
    over = train(progress, gaps, plan, on_report)
    if first_card():
        keep(progress, gaps, asked, over)
    if distributed.is_initialized():
        distributed.destroy_process_group()


def keep(progress: Progress, gaps: Gaps, asked: argparse.Namespace, over: bool) -> None:
    """Write the average weights and how they do on pictures that nobody was trained on; the state unless it is over."""
    if over:
        for name in (STATE, OPTIMIZER):
            (asked.out / name).unlink(missing_ok=True)
    else:
        progress.pause(asked.out)
    progress.net.load_state_dict(progress.average.weights)
    torch.save(progress.average.weights, asked.out / "contact_net.pt")
    table = held_out_report(progress.net, gaps, asked.batch, HELD_OUT)
    (asked.out / "report.txt").write_text(table + "\n", encoding="utf-8")
    print(table)


if __name__ == "__main__":
    main()
