"""How far photographs look marked as they were told, and what is said of contact that is ever less sure."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

import numpy as np

from patternscan.cautions import Caution
from patternscan.frame import Compound, Marking
from patternscan.seeing.segmentation.colour_segmentation import ColourSegmentation
from patternscan.seeing.segmentation.contact_cautions import cautions_of_film, cautions_of_fused
from patternscan.seeing.segmentation.film import PIGMENTS, FlankColours
from patternscan.seeing.segmentation.film_split import FilmSplit, like_metal
from patternscan.seeing.segmentation.fused import FusedSegmentation, fuse
from patternscan.seeing.segmentation.marking_signs import other_marking_logit
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation
from tests.study.photographed import photographed

NAMES = {Compound.BLUE: 1.0}
PLAIN = FusedSegmentation(np.ones((4, 8), dtype=np.float32), 1.0, None)
FAINT = FilmSplit(PIGMENTS[0], 0.0, PLAIN.logit, 1.0, 3.0, 0.5, 0.0, 0.0, 0.0, 0.0)
"""Film whose colour lies no further off than mirrored metal."""


def marking_figures() -> dict[str, float]:
    """Mean surprise at the way in which photographs were printed or painted, told rightly and told wrongly."""
    maps = [one.reading.contact_map for split in ("dev", "rims") for one in photographed(split)]
    seen = [(one.signs, one.marking) for one in maps if one.signs is not None]
    rightly = [other_marking_logit(signs, true) for signs, true in seen]
    wrongly = [-other_marking_logit(signs, true.other) for signs, true in seen]
    return {"surprise": float(np.mean(np.logaddexp(0, rightly + wrongly)))}


def contact_figures() -> dict[str, float]:
    """How often each caution is given through all expected IoUs and agreements, a print taken for metal, and where net
    and colours that differ come out as contact.
    """
    looks = product(np.linspace(0.3, 1, 29), np.linspace(0, 1, 11))
    told = Counter(one.code for iou, alike in looks for one in _cautions(float(iou), float(alike)))
    return {code: float(count) for code, count in told.items()} | {
        "like metal": float(_like_metal()),
        "contact": _fused_contact(),
    }


def _fused_contact() -> float:
    """Part that is contact where the net's odds change along the flank, those of the colours up it."""
    rows, columns = 64, 128
    net = np.broadcast_to(np.linspace(-3, 1, columns, dtype=np.float32), (rows, columns))
    colours = np.broadcast_to(np.linspace(0.05, 0.95, rows, dtype=np.float32)[:, None], (rows, columns))
    by_net = NetSegmentation(net, np.zeros_like(net), NAMES, bare=0.0, rubbed=0.0)
    judged = np.ones((rows, columns), dtype=bool)
    return float(fuse(ColourSegmentation(colours, 0.0), by_net, judged, Marking.RUB_OFF).contact.mean())


def _like_metal() -> int:
    """How many of ever warmer prints are taken for the warm metal beside the flank."""
    warmth = np.zeros((16, 32), dtype=np.float32)
    even, part = np.ones_like(warmth), np.zeros(warmth.shape, dtype=bool)
    part[:, 8:20] = True
    flank = FlankColours(warmth, even, even, part | ~part, ((1.5, 1.0),))
    prints = (replace(flank, warmth=(part * warm).astype(np.float32)) for warm in np.linspace(0, 1, 41))
    return sum(like_metal(one, part) for one in prints)


def _cautions(expected_iou: float, agreement: float) -> list[Caution]:
    fused = replace(PLAIN, expected_iou=expected_iou, agreement=agreement)
    return [*cautions_of_fused(fused, NAMES, False), *cautions_of_film([FAINT], fused, Compound.BLUE)]
