"""Whether a flank looks marked in the way that a person said.

Told the other way, contact is taken where none was: it fills what the true contact leaves, so it runs along the border
of the flank, the net is surer of the other way, and there is too much film for a print or too little for paint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patternscan.frame import Marking
from patternscan.seeing.segmentation.film import Mask

BORDER_CELLS = 6
"""Width of the flank's border."""
EVEN_FILM = 0.45
"""Part of the flank under film between the usual print, a third, and the usual paint, six tenths."""
USUAL_FILM, USUAL_AGREEMENT, MOST_AGREEMENT = 0.4, 0.7, 0.75
"""Taken where colours show no film; and what agreement counts as at most, since more of it proves nothing."""
START, SURER, BORDER, FILM, AGREED = 2.2, 7.8, 7.9, 11.4, -4.2
"""Logistic regression on the 66 photographs of dev, rims and port and 224 paintings of dev, under both markings."""
RAISED = 0.7
"""Added to the odds, because a wrong answer costs more than another photo: so 1 in 10 of those that were told rightly
and read are doubted. Machine by machine, each left out in turn: of 66 photographs told wrongly none was believed."""


@dataclass(frozen=True, slots=True)
class MarkingSigns:
    """What tells the markings apart. ``surer``: how much more IoU the net expects when told the other way; ``border``:
    part of the flank's border in contact; ``film``: part of the flank under film, None where colours show none;
    ``agreement``: IoU of the contact that colours and net find, None likewise.
    """

    surer: float
    border: float
    film: float | None
    agreement: float | None


def other_marking_logit(signs: MarkingSigns, told: Marking) -> float:
    """Logarithm of the odds that the flank was marked in the other way than the one told."""
    film = (USUAL_FILM if signs.film is None else signs.film) - EVEN_FILM
    agreement = USUAL_AGREEMENT if signs.agreement is None else min(signs.agreement, MOST_AGREEMENT)
    against = film if told is Marking.TRANSFER else -film
    return RAISED + START + SURER * signs.surer + BORDER * signs.border + FILM * against + AGREED * agreement


def joint_logit(logits: Sequence[float]) -> float:
    """The same for several flanks that were marked alike; 0 for none."""
    return sum(logits) - RAISED * max(len(logits) - 1, 0)


def border_share(contact: Mask) -> float:
    """Part of the border of a flank (rows, cols) that is contact."""
    border = np.ones_like(contact)
    border[BORDER_CELLS:-BORDER_CELLS, BORDER_CELLS:-BORDER_CELLS] = False
    return float(contact[border].mean())
