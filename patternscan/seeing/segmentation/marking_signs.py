"""Whether a flank looks marked in the way that a person said.

Paint covers more of a flank than a print does, and is parted by the patch that was rubbed off, where a print hangs
together; and the net sees by itself whether paint was rubbed off. How surely the net reads either way, how its film
lies by the contact, and how compact that film is were tried too: on photographs of machines left out they told no more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from patternscan.calibration.marking import FILM, HIDDEN, PAINT, RAISED, RUBBED, WHOLE
from patternscan.frame import Marking
from patternscan.seeing.segmentation.contact_shape import kept_patches, opened
from patternscan.seeing.segmentation.film import Mask
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, probability_of

USUAL_FILM = 0.4
"""Part of the flank under film that is taken where colours show none, between a usual print and usual paint."""


class PaintSigns(Protocol):
    """What tells whether a flank was painted or printed."""

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""


@dataclass(frozen=True, slots=True)
class MarkingSigns:
    """What tells the markings apart.

    ``rubbed``: logarithm of the odds, by the net, that paint was rubbed off; ``hidden``: part of the metal that film
    hides, by the net. ``film``: part of the flank under film, by its colours; ``whole``: part of that film, or of the
    net's where colours show none, in its largest patch.
    """

    rubbed: float
    hidden: float
    film: float
    whole: float

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""
        return PAINT + RUBBED * self.rubbed + HIDDEN * self.hidden + FILM * self.film + WHOLE * self.whole


def find_marking_signs(by_marking: Mapping[Marking, NetSegmentation], film: Mask | None, judged: Mask) -> MarkingSigns:
    """The signs, from what the net sees when told of either marking, and the film that colours show, None without."""
    printed, painted = by_marking[Marking.TRANSFER], by_marking[Marking.RUB_OFF]
    hidden = probability_of(np.asarray((printed.hidden + painted.hidden) / 2, dtype=np.float32))
    seen = judged & (hidden > hidden.max() / 2 if film is None else film)
    return MarkingSigns(
        rubbed=(printed.rubbed + painted.rubbed) / 2,
        hidden=float(hidden[judged].mean()),
        film=USUAL_FILM if film is None else float(seen.sum() / max(judged.sum(), 1)),
        whole=float(kept_patches(opened(seen, 3, 3), 1.0).sum() / max(seen.sum(), 1)),
    )


def other_marking_logit(signs: PaintSigns, told: Marking) -> float:
    """Logarithm of the odds that the flank was marked in the other way than the one told, raised for safety."""
    return RAISED + (signs.paint_logit if told is Marking.TRANSFER else -signs.paint_logit)


def joint_logit(logits: Sequence[float]) -> float:
    """The same for several flanks that were marked alike; 0 for none."""
    return sum(logits) - RAISED * max(len(logits) - 1, 0)
