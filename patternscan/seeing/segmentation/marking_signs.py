"""Whether a flank looks marked in the way that a person said.

Told the other way, contact is taken where none was: the net is surer of the true way, sees by itself whether paint was
rubbed off, and there is too much film for a print or too little for paint. A print hangs together; paint is parted by
the patch that was rubbed off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from patternscan.calibration.marking import FILM, HIDDEN, PAINT, RAISED, RUBBED, SURER, WHOLE
from patternscan.frame import Marking

USUAL_FILM = 0.4
"""Part of the flank under film that is taken where colours show none, between a usual print and usual paint."""


class PaintSigns(Protocol):
    """What tells whether a flank was painted or printed."""

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""


@dataclass(frozen=True, slots=True)
class MarkingSigns:
    """What tells the markings apart. ``rubbed``: logarithm of the odds, by the net, that paint was rubbed off;
    ``surer``: how much more IoU the net expects when told of paint than of a print; ``hidden``: part of the metal that
    film hides, by the net; ``film``: part of the flank under film, by its colours; ``whole``: part of that film, or of
    the net's where colours show none, in its largest patch.
    """

    rubbed: float
    surer: float
    hidden: float
    film: float
    whole: float

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""
        by_net = RUBBED * self.rubbed + SURER * self.surer + HIDDEN * self.hidden
        return PAINT + by_net + FILM * self.film + WHOLE * self.whole


def other_marking_logit(signs: PaintSigns, told: Marking) -> float:
    """Logarithm of the odds that the flank was marked in the other way than the one told, raised for safety."""
    return RAISED + (signs.paint_logit if told is Marking.TRANSFER else -signs.paint_logit)


def joint_logit(logits: Sequence[float]) -> float:
    """The same for several flanks that were marked alike; 0 for none."""
    return sum(logits) - RAISED * max(len(logits) - 1, 0)
