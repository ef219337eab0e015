"""How far photographs look marked as they were told, and what is said of compound that looks like metal by degrees."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

import numpy as np

from patternscan.cautions import Caution
from patternscan.frame import Compound, Marking
from patternscan.seeing.segmentation.contact_cautions import cautions_of_film, cautions_of_fused
from patternscan.seeing.segmentation.film import PIGMENTS
from patternscan.seeing.segmentation.film_split import FilmSplit
from patternscan.seeing.segmentation.fused import FusedSegmentation
from patternscan.seeing.segmentation.marking_signs import other_marking_logit
from tests.study.photographed import photographed

NAMES = {Compound.BLUE: 1.0}
PLAIN = FusedSegmentation(np.ones((4, 8), dtype=np.float32), 1.0, None)
FAINT = FilmSplit(PIGMENTS[0], 0.0, PLAIN.logit, 1.0, 3.0, 0.5, 0.0, 0.0, 0.0, 0.0)
"""Film whose colour lies no further off than mirrored metal."""


def marking_figures() -> dict[str, float]:
    """Mean surprise of the markings under which the photographs were printed or painted, told either way."""
    signs = [one.reading.contact_map.signs for split in ("dev", "rims") for one in photographed(split)]
    odds = [other_marking_logit(one, told) for one in signs if one is not None for told in Marking]
    return {"surprise": float(np.mean(np.logaddexp(0, odds)))}


def contact_figures() -> dict[str, float]:
    """How often each caution is given as expected IoU, agreement and likeness to metal go through their ranges."""
    looks = product(np.linspace(0.3, 1, 29), np.linspace(0, 1, 11), np.linspace(-0.6, 0.6, 25))
    told = Counter(
        one.code for iou, alike, unlike in looks for one in _cautions(float(iou), float(alike), float(unlike))
    )
    return {code: float(count) for code, count in told.items()}


def _cautions(expected_iou: float, agreement: float, unlike: float) -> list[Caution]:
    fused = replace(PLAIN, expected_iou=expected_iou, agreement=agreement)
    return [*cautions_of_fused(fused, NAMES, unlike), *cautions_of_film([FAINT], fused, Compound.BLUE)]
