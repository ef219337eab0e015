"""Whether a flank looks marked in the way that a person said.

Each way of marking has its own contact, and told rightly the film lies where that way leaves it: on the contact of a
print, round the contact of paint. A print hangs together and is compact; paint covers more, and is notched or parted by
the patch that was rubbed off.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import cv2
import numpy as np

from patternscan.calibration.marking import COMPACT, FILM, FITS, PAINT, RAISED, RUBBED, WHOLE
from patternscan.frame import Marking
from patternscan.seeing.segmentation.contact_shape import kept_patches, opened
from patternscan.seeing.segmentation.film import Grid, Mask
from patternscan.seeing.segmentation.fused import NET_SHIFT
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, probability_of

USUAL_FILM = 0.4
"""Part of the flank under film that is taken where colours show none, between a usual print and usual paint."""
UNKNOWN = 0.5
"""Part of the metal that film hides where there is nothing to look at."""


class PaintSigns(Protocol):
    """What tells whether a flank was painted or printed."""

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""


@dataclass(frozen=True, slots=True)
class MarkingSigns:
    """What tells the markings apart.

    ``rubbed``: logarithm of the odds, by the net, that paint was rubbed off. ``fits``: how much better the film that
    the net sees lies round the contact of paint than on that of a print, in parts of the metal hidden. ``film``:
    part of the flank under film, by its colours; ``whole``: part of that film, or of the net's where colours show none,
    in its largest patch. ``compact``: part of its convex hull that the largest patch of the net's film fills.
    """

    rubbed: float
    fits: float
    film: float
    whole: float
    compact: float

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""
        shape = WHOLE * self.whole + COMPACT * self.compact
        return PAINT + RUBBED * self.rubbed + FITS * self.fits + FILM * self.film + shape


def find_marking_signs(by_marking: Mapping[Marking, NetSegmentation], film: Mask | None, judged: Mask) -> MarkingSigns:
    """The signs, from what the net sees when told of either marking, and the film that colours show, None without."""
    printed, painted = by_marking[Marking.TRANSFER], by_marking[Marking.RUB_OFF]
    hidden = probability_of(np.asarray((printed.hidden + painted.hidden) / 2, dtype=np.float32))
    print_, patch = (judged & (by_marking[told].logit + NET_SHIFT[told] > 0) for told in Marking)
    by_net = judged & (hidden > hidden.max() / 2)
    by_colour = by_net if film is None else judged & film
    return MarkingSigns(
        rubbed=(printed.rubbed + painted.rubbed) / 2,
        fits=-_hidden_more(hidden, patch, judged) - _hidden_more(hidden, print_, judged),
        film=USUAL_FILM if film is None else float(by_colour.sum() / max(judged.sum(), 1)),
        whole=float(kept_patches(opened(by_colour, 3, 3), 1.0).sum() / max(by_colour.sum(), 1)),
        compact=_compactness(by_net),
    )


def _hidden_more(hidden: Grid, contact: Mask, judged: Mask) -> float:
    """How much more of the metal film hides inside the contact than outside."""
    inside, outside = (float(hidden[part].mean()) if part.any() else UNKNOWN for part in (contact, judged & ~contact))
    return inside - outside


def _compactness(film: Mask) -> float:
    """Area of the largest patch over that of its convex hull, 0 without film."""
    largest = kept_patches(opened(film, 3, 3), 1.0)
    loops, _ = cv2.findContours(largest.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    if not loops:
        return 0.0
    return float(largest.sum() / max(cv2.contourArea(cv2.convexHull(np.vstack(loops))), 1.0))


def other_marking_logit(signs: PaintSigns, told: Marking) -> float:
    """Logarithm of the odds that the flank was marked in the other way than the one told, raised for safety."""
    return RAISED + (signs.paint_logit if told is Marking.TRANSFER else -signs.paint_logit)


def joint_logit(logits: Sequence[float]) -> float:
    """The same for several flanks that were marked alike; 0 for none."""
    return sum(logits) - RAISED * max(len(logits) - 1, 0)
