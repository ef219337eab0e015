"""Two ways of looking at one flank, made one: the parting of colours, and what the net sees.

Both say, for each place, how the odds stand that the worm touched there. A net that is sure of what it sees is right
more often than colours alone, one that is not sure knows little, and even a sure one may err where colours are plain.
So its word counts by its own trust, and less the more plainly colours speak.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import log

import cv2
import numpy as np

from patternscan.frame import Compound, Marking
from patternscan.seeing.segmentation.film import Grid, Mask
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, probability_of

SURE, UNSURE = 0.75, 0.5
"""A net that trusts its contact this much is heard most, one that trusts it less than the second hardly."""
LEAST_HEARD = 0.1
"""Weight of the net's odds when it is not sure; the rest is the weight of the colours."""
FAINT_COLOURS, PLAIN_COLOURS = -1.5, 1.5
"""Merits of the reading of the colours; of 365 painted flanks 7 lay below the first and 80 above the second."""
MOST_HEARD, HEARD_IF_PLAIN = 0.9, 0.5
"""Weight of the net's odds when it is sure, where colours are faint and where they are plain. Nine in ten of those
flanks overlapped with the true contact by 0.28 and more, as colours saw it, where their merit was below 0, and by 0.81
and more where it was above 1.5; as the net saw it, by 0.80 and 0.81."""
LARGEST_LOGIT = 6.0
"""No place is taken for surer than this (logarithm of the odds)."""
MERIT_HEARD = 1.5
"""Weight of how well a compound's colours fit, against the logarithm of what the net gives its name."""
SHYNESS = {Marking.TRANSFER: 0.7, Marking.RUB_OFF: 0.3}
"""The net's odds are raised by this, because it leaves out the thin rims of a print. Chosen on painted and rendered
flanks."""
AGREED, DISPUTED = 0.7, 0.6
"""Two ways that find contact which overlaps by the first or more are right together: of 301 painted flanks 9 in 10 lay
within 1.5 points along the face. By less than the second, one of them may be wrong: few flanks that were painted and
declared rightly are disputed, many bare ones and many under the wrong marking."""
TRUST_IF_AGREED, TRUST_IF_DISPUTED = 0.8, 0.72
"""Trust is at least, and at most, this much then."""
SPECK, HARDLY = 0.003, 0.05
"""Patches of contact, and holes in it, below this part of the flank are none; the odds they are left with."""
UNFIT = -2.0
"""What a compound that parts no colours here is worth."""


@dataclass(frozen=True, slots=True, eq=False)
class ColourLook:
    """``chance`` of contact by colour, 0..1, float32 (rows, cols), and the ``merit`` of the reading it comes from."""

    chance: Grid
    merit: float


@dataclass(frozen=True, slots=True, eq=False)
class JointLook:
    """``logit``: logarithm of the odds of contact, float32 (rows, cols).

    ``trust``: 0..1, how far to trust it: see ``trust_in``, raised where both ways agree and lowered where they do not.
    """

    logit: Grid
    trust: float

    @property
    def contact(self) -> Mask:
        """Where contact is the likelier."""
        return np.asarray(self.logit > 0)

    @property
    def chance(self) -> Grid:
        """How likely each place carried contact."""
        return probability_of(self.logit)


def join_looks(parted: ColourLook | None, learned: NetSegmentation, judged: Mask, marking: Marking) -> JointLook:
    """Join what colours show, None when they show no film, with the net's look."""
    own = np.clip(learned.logit + SHYNESS[marking], -LARGEST_LOGIT, LARGEST_LOGIT)
    own = np.where(judged, own, -LARGEST_LOGIT)
    if parted is None:
        tidied = without_specks(own)
        return JointLook(tidied, trust_in(tidied))
    most = np.interp(parted.merit, (FAINT_COLOURS, PLAIN_COLOURS), (MOST_HEARD, HEARD_IF_PLAIN))
    sure = np.interp(trust_in(own), (UNSURE, SURE), (LEAST_HEARD, most))
    held = np.clip(np.where(judged, parted.chance, 0), 0.02, 0.98)
    logit = without_specks(np.asarray(sure * own + (1 - sure) * np.log(held / (1 - held)), dtype=np.float32))
    agreement = _overlap(own > 0, held > 0.5)
    trust = trust_in(logit)
    if agreement >= AGREED:
        trust = max(trust, TRUST_IF_AGREED)
    elif agreement < DISPUTED:
        trust = min(trust, TRUST_IF_DISPUTED)
    return JointLook(logit, trust)


def without_specks(logit: Grid) -> Grid:
    """The same, with holes in a print and specks beside it that are too small to mean anything taken back."""
    tidied = logit.copy()
    for sign in (1, -1):
        patch = (sign * tidied > 0).astype(np.uint8)
        _, labels, stats, _ = cv2.connectedComponentsWithStats(patch, connectivity=8 if sign > 0 else 4)
        small = stats[:, cv2.CC_STAT_AREA] < SPECK * logit.size
        small[0] = False
        tidied[small[labels]] = -sign * HARDLY
    return tidied


def trust_in(logit: Grid) -> float:
    """Overlap over union that the found contact is expected to have with the true one, 0 without contact.

    Taken from the chances themselves: what is inside and likely true, over all that is inside or may be true.
    """
    chance = probability_of(logit)
    inside = logit > 0
    true = float(chance[inside].sum())
    return true / max(float(inside.sum()) + float(chance.sum()) - true, 1e-6) if true else 0.0


def name_compound(learned: NetSegmentation, merits: Mapping[Compound, float]) -> dict[Compound, float]:
    """How likely each compound is, most likely first: the net's names and how well the colours fit, ``merits``."""
    worth = {
        name: log(share + 1e-3) + MERIT_HEARD * (max(merits.get(name, UNFIT), UNFIT) if merits else 0.0)
        for name, share in learned.names.items()
    }
    best = max(worth.values())
    shares = {name: float(np.exp(value - best)) for name, value in worth.items()}
    total = sum(shares.values())
    return {name: shares[name] / total for name in sorted(shares, key=lambda one: -shares[one])}


def _overlap(one: Mask, other: Mask) -> float:
    return float((one & other).sum()) / max(int(np.count_nonzero(one | other)), 1)
