"""How far two outlines of a flank are the same piece of a photo."""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw

from patternscan.judging.proof.truth import Mask
from patternscan.seeing.geometry.outline import Edge, Outline

CELLS = 512
"""The longer side of both together is counted in so many cells."""


def outline_overlap(first: Outline, second: Outline) -> float:
    """Intersection over union of the areas inside two outlines, 0..1."""
    both = np.vstack([first.border, second.border])
    low, size = both.min(axis=0), float(np.ptp(both, axis=0).max())
    one, other = (_filled((outline.border - low) * ((CELLS - 1) / size)) for outline in (first, second))
    return float((one & other).sum() / (one | other).sum())


def _filled(border: Edge) -> Mask:
    image = Image.new("1", (CELLS, CELLS))
    ImageDraw.Draw(image).polygon([tuple(point) for point in border.tolist()], fill=1)
    return np.asarray(image)
