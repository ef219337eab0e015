"""How the contact net does on drawn pictures that it was not trained on, by compound and marking."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor

from patternscan.training.contact.given import given_planes, tell_marking
from patternscan.training.contact.net import ContactNet
from patternscan.training.drawn.dice import throw
from patternscan.training.drawn.film import KINDS
from patternscan.training.drawn.pattern import Gaps
from patternscan.training.drawn.pictures import Pictures, draw_pictures

SEED = 999
"""Another than any training's."""
LEAST_PX = 300
"""Pictures with less contact than this say little about its border; left out unless nothing lies on the flank."""


@dataclass(frozen=True, slots=True)
class Found:
    """One picture: what it shows, how far found and true contact overlap (intersection over union), whether the
    compound was named right, and the share of the flank found to touch.
    """

    kind: str
    rub_off: bool
    overlap: float
    named: bool
    coverage: float


def held_out_report(net: ContactNet, gaps: Gaps, count: int, batches: int) -> str:
    """A table of ``batches`` times ``count`` pictures; the net is left ready for reading, not for training."""
    device = str(gaps.gap_um.device)
    dice = throw(count, device, SEED)
    net.eval()
    groups: dict[tuple[str, bool], list[Found]] = defaultdict(list)
    with torch.no_grad():
        for _ in range(batches):
            for found in _tried(net, draw_pictures(dice, gaps)):
                groups[found.kind, found.rub_off].append(found)
    return "\n".join(_row(groups[group]) for group in sorted(groups))


def _tried(net: ContactNet, pictures: Pictures) -> Iterator[Found]:
    """What the net finds without being told the compound."""
    maps, answers = net(given_planes(pictures, tell_marking(pictures)))
    found, true = ((field & (pictures.seen > 0)) for field in (maps[:, 0] > 0, pictures.contact > 0.5))
    overlap = _share(found & true, found | true)
    named = answers[:, :-1].argmax(1) == pictures.kind
    enough = (true.sum((1, 2)) >= LEAST_PX) | (pictures.kind == KINDS.index("none"))
    columns = (pictures.kind, pictures.rub_off > 0, overlap, named, found.float().mean((1, 2)), enough)
    for kind, rub_off, both, right, coverage, counts in zip(*(one.tolist() for one in columns), strict=True):
        if counts:
            yield Found(KINDS[kind], rub_off, both, right, coverage)


def _share(part: Tensor, whole: Tensor) -> Tensor:
    """How much of each whole is part, (n,); 0 where there is no whole."""
    return part.sum((1, 2)).float() / whole.sum((1, 2)).clamp(min=1)


def _row(group: list[Found]) -> str:
    """One line on pictures of the same compound and marking; without compound only the coverage says something."""
    least, median = np.percentile([found.overlap for found in group], (10, 50))
    named = np.mean([found.named for found in group])
    coverage = np.mean([found.coverage for found in group])
    marking = "rub-off" if group[0].rub_off else "transfer"
    figures = (
        f"named {named:.2f}  coverage found {coverage:.3f}  overlap median {median:.3f} 10th percentile {least:.3f}"
    )
    return f"{group[0].kind:6s} {marking:8s} {len(group):4d} pictures  {figures}"
