"""Contact as a small neural net sees it, trained on pictures that the project draws itself.

It looks at shapes, streaks and sheen, where segmentation by colour looks at each place by itself; so the two go wrong
on different photos. It has never seen a photograph.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patternscan.frame import Compound, Marking
from patternscan.seeing.packaged_net import PackagedNet
from patternscan.seeing.quality.light import FlankLight, Grid
from patternscan.seeing.segmentation.net_input import NAMES, net_description, net_input

CONTACT_NET = PackagedNet("patternscan.seeing.segmentation", "contact_net.onnx", "contact_net.json", net_description)


@dataclass(frozen=True, slots=True, eq=False)
class NetSegmentation:
    """What the net sees; grids are (WORK_ROWS, WORK_COLUMNS), row 0 = tip, column 0 = end A.

    ``logit``: float32 logarithm of the odds that the worm touched there; ``hidden``: that film hides the metal there.
    ``bare``: probability that there is no compound at all; ``names``: if there is, that of each. ``rubbed``: logarithm
    of the odds that paint was rubbed off here, not printed.
    """

    logit: Grid
    hidden: Grid
    names: dict[Compound, float]
    bare: float
    rubbed: float


def segment_by_net(light: FlankLight, marking: Marking, compound: Compound | None) -> NetSegmentation:
    """Let the net look at a flank; ``compound`` None means that nobody told which. Raises BrokenInstallation."""
    net = CONTACT_NET.net
    net.setInput(net_input(light, marking, compound)[None])
    maps, answers = net.forward(["maps", "answers"])
    *named_or_bare, rubbed = (float(logit) for logit in np.asarray(answers)[0])
    odds = np.exp(np.clip(np.array(named_or_bare), -30, 30))
    *named, bare = (float(share) for share in odds / odds.sum())
    names = {name: share / max(1 - bare, 1e-9) for name, share in zip(NAMES, named, strict=True)}
    contact, hidden = np.asarray(maps, dtype=np.float32)[0]
    return NetSegmentation(contact, hidden, names, bare, rubbed)


def probability_of(logit: Grid) -> Grid:
    """Probability from the logarithm of the odds."""
    return np.asarray(1 / (1 + np.exp(-np.clip(logit, -30, 30))), dtype=np.float32)
