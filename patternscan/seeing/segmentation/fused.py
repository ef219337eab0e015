"""Segmentation by colour and by the net, fused into one.

Both say, for each place, how the odds stand that the worm touched there; the mean of the odds counts, in which the net
weighs more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import log

import cv2
import numpy as np

from patternscan.calibration.marking import NET_WEIGHT, UNCLEAR_IOU
from patternscan.frame import Compound, Marking
from patternscan.seeing.segmentation.colour_segmentation import ColourSegmentation
from patternscan.seeing.segmentation.film import Grid, Mask
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, probability_of

LARGEST_LOGIT = 6.0
"""No place is taken for surer than this."""
SCORE_WEIGHT = 1.5
"""Weight of how well a compound's colours fit, against the logarithm of what the net gives its name."""
NET_SHIFT = {Marking.TRANSFER: 0.7, Marking.RUB_OFF: 0.0}
"""The net's logits of a print are raised by this, because it leaves out its thin rims; paint has none. On 23 flanks of
dev, rims and port that were rubbed off, 0.7 made coverage 1.6 points too large in the middle, 0 does 0.9."""
AGREED, DISPUTED = 0.7, 0.6
"""Two ways that find contact which overlaps by the first or more are right together: of 301 painted flanks 9 in 10 lay
within 1.5 points along the face. By less than the second, one of them may be wrong: few flanks that were painted and
declared rightly are disputed, many bare ones and many under the wrong marking."""
FAIR_IOU, PLAIN_IOU = 0.8, 0.85
"""Of 448 painted flanks those with contact of an expected IoU below the first were misplaced by 8 points and more along
the face one time in five; of the others none was, and one by 5 points."""
SPECK, HARDLY = 0.003, 0.05
"""Patches of contact, and holes in it, below this part of the flank are none; the logit they are left with."""
UNFIT = -2.0
"""Score of a compound that parts no colours here."""


@dataclass(frozen=True, slots=True, eq=False)
class FusedSegmentation:
    """``logit``: logarithm of the odds of contact, float32 (rows, cols).

    ``expected_iou``: see ``expected_iou_of``. ``agreement``: intersection over union of the contact that colours and
    net find each by itself, None where colours show no film.
    """

    logit: Grid
    expected_iou: float
    agreement: float | None

    @property
    def contact(self) -> Mask:
        """Where contact is the likelier."""
        return np.asarray(self.logit > 0)

    @property
    def probability(self) -> Grid:
        """How likely each place carried contact."""
        return probability_of(self.logit)

    @property
    def agreed(self) -> bool:
        """Whether both ways find the same contact."""
        return self.agreement is not None and self.agreement >= AGREED

    @property
    def disputed(self) -> bool:
        """Whether one of the two ways may be wrong."""
        return self.agreement is not None and self.agreement < DISPUTED

    @property
    def plain(self) -> bool:
        """Whether contact is plainly told from the rest."""
        return self.expected_iou > PLAIN_IOU and not self.disputed

    @property
    def faint(self) -> bool:
        """Whether contact is not plainly told from the rest."""
        return self.disputed or (self.expected_iou < FAIR_IOU and not self.agreed)

    @property
    def unclear(self) -> bool:
        """Whether contact and the rest may be taken for one another."""
        return self.disputed and self.expected_iou < UNCLEAR_IOU


def fuse(
    by_colour: ColourSegmentation | None, by_net: NetSegmentation, judged: Mask, marking: Marking
) -> FusedSegmentation:
    """Fuse what colours show, None when they show no film, with what the net sees when told of this marking."""
    own = np.clip(by_net.logit + NET_SHIFT[marking], -LARGEST_LOGIT, LARGEST_LOGIT)
    own = np.where(judged, own, -LARGEST_LOGIT)
    if by_colour is None:
        tidied = without_specks(own)
        return FusedSegmentation(tidied, expected_iou_of(tidied), None)
    held = np.clip(np.where(judged, by_colour.probability, 0), 0.02, 0.98)
    logit = without_specks(
        np.asarray(NET_WEIGHT * own + (1 - NET_WEIGHT) * np.log(held / (1 - held)), dtype=np.float32)
    )
    return FusedSegmentation(logit, expected_iou_of(logit), intersection_over_union(own > 0, held > 0.5))


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


def expected_iou_of(logit: Grid) -> float:
    """Intersection over union that the found contact is expected to have with the true one, 0 without contact.

    Taken from the probabilities themselves: what is inside and likely true, over all that is inside or may be true.
    """
    probability = probability_of(logit)
    inside = logit > 0
    true = float(probability[inside].sum())
    return true / max(float(inside.sum()) + float(probability.sum()) - true, 1e-6) if true else 0.0


def name_compound(by_net: NetSegmentation, scores: Mapping[Compound, float]) -> dict[Compound, float]:
    """Probability of each compound, most likely first: the net's names and how well the colours fit, ``scores``."""
    logits = {
        name: log(share + 1e-3) + SCORE_WEIGHT * (max(scores.get(name, UNFIT), UNFIT) if scores else 0.0)
        for name, share in by_net.names.items()
    }
    best = max(logits.values())
    shares = {name: float(np.exp(value - best)) for name, value in logits.items()}
    total = sum(shares.values())
    return {name: shares[name] / total for name in sorted(shares, key=lambda one: -shares[one])}


def intersection_over_union(one: Mask, other: Mask) -> float:
    """Cells in both over cells in either, 0 when there is none."""
    return float((one & other).sum()) / max(int(np.count_nonzero(one | other)), 1)
