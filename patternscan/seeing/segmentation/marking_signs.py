"""Whether a flank looks marked in the way that a person said.

Told the other way, contact is taken where none was: the net is surer of the true way, sees by itself whether paint was
rubbed off, and there is too much film for a print or too little for paint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patternscan.frame import Marking

EVEN_FILM = 0.45
"""Part of the flank under film between the usual print, a third, and the usual paint, six tenths."""
USUAL_FILM = 0.4
"""Taken where colours show no film."""
RUBBED, SURER, FILM = 0.45, 7.6, 10.4
"""Logistic regression on the 64 legible photographs of dev, rims and port and 216 paintings of the samples, which count
a quarter each, under both markings. It has no constant: told the other way every sign turns round."""
RAISED = 0.7
"""Added to the odds, because a wrong answer costs more than another photo. Machine by machine, each of 46 left out in
turn: of 64 photographs told rightly 4 are doubted, of those told wrongly 2 are not."""


@dataclass(frozen=True, slots=True)
class MarkingSigns:
    """What tells the markings apart. ``rubbed``: logarithm of the odds, by the net, that paint was rubbed off;
    ``surer``: how much more IoU the net expects when told the other way; ``film``: part of the flank under film, None
    where colours show none.
    """

    rubbed: float
    surer: float
    film: float | None


def other_marking_logit(signs: MarkingSigns, told: Marking) -> float:
    """Logarithm of the odds that the flank was marked in the other way than the one told."""
    film = (USUAL_FILM if signs.film is None else signs.film) - EVEN_FILM
    paint = RUBBED * signs.rubbed + FILM * film
    return RAISED + SURER * signs.surer + (paint if told is Marking.TRANSFER else -paint)


def joint_logit(logits: Sequence[float]) -> float:
    """The same for several flanks that were marked alike; 0 for none."""
    return sum(logits) - RAISED * max(len(logits) - 1, 0)
