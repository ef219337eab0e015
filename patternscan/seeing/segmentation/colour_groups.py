"""Two groups of cells of a flank: where their tones part, how they drift along it, and the border between them."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.segmentation.film import Grid, Mask

LOCAL_GRID = (32, 16)
"""Columns and rows of the coarse grid that carries the slow drift of film and metal along the flank."""
LOCAL_REACH = 5.0
"""Spread of the mean taken there, in its cells."""


def parting(values: NDArray[np.float32]) -> float:
    """The value that parts two groups with the least variance inside them.

    Source: N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC 9 (1979).
    """
    low, high = np.percentile(values, [0.5, 99.5])
    counts, edges = np.histogram(values, bins=128, range=(float(low), float(high) + 1e-6))
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    with np.errstate(divide="ignore", invalid="ignore"):
        gap = sums / below - (sums[-1] - sums) / above
        between = np.nan_to_num(below * above * gap * gap)
    return float(edges[1 + int(np.argmax(between))])


def spread(values: Grid, members: Mask) -> float:
    """Standard deviation of the members' values."""
    return float(cv2.meanStdDev(values, mask=members.view(np.uint8))[1][0, 0])


def share_between(tone: Grid, groups: tuple[Mask, Mask], around: tuple[Grid, Grid], step: float) -> Grid:
    """Share of film between the local tones ``around`` of film and metal; 0.5 where they part.

    The looser group gets more room on its side. The local tones count as no nearer than a part of ``step``, which is
    how far the groups lie apart on the whole.
    """
    (film, metal), (high, low) = groups, around
    loose_film, loose_metal = spread(tone - high, film), spread(tone - low, metal)
    part = min(max(loose_metal / (loose_metal + loose_film + 1e-6), 0.4), 0.6)
    raw = (tone - low) / np.maximum(np.maximum(high - low, 0.4 * step), 1e-3)
    bent = np.where(raw < part, 0.5 * raw / part, 0.5 + 0.5 * (raw - part) / (1 - part))
    return np.asarray(bent, dtype=np.float32)


def border_rise(tone: Grid, film: Mask, metal: Mask) -> float:
    """How much the tone rises across the film's border, within a fortieth of the face width on either side."""
    reach = tone.shape[1] // 40
    window = (2 * reach + 1, 2 * reach + 1)
    near_film, near_metal = (cv2.blur(m.astype(np.float32), window) for m in (film, metal))
    inner, outer = (cv2.blur(np.where(m, tone, 0).astype(np.float32), window) for m in (film, metal))
    border = (near_film > 0.3) & (near_metal > 0.3)
    if not border.any():
        return 0.0
    return float(np.median(inner[border] / near_film[border] - outer[border] / near_metal[border]))
