"""Smoothing that keeps to the borders which colours show: the guided filter of K. He, J. Sun and X. Tang, "Guided image
filtering", IEEE Transactions on Pattern Analysis and Machine Intelligence 35 (2013), here with weights (from memory).

In every window the values are taken for a linear function of the colours there, by least squares; a place gets what
the windows that hold it say in the mean.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np

from patternscan.seeing.segmentation.film import FlankColours, Grid, Mask
from patternscan.seeing.segmentation.net_input import DARKEST, LEAST_MEAN

RADIUS = 7
"""A window reaches so many cells to each side. On 45 ordinary flanks of dev, rims and port any from 4 to 8 serves."""
LEAST_VARIANCE = 0.02
"""Added to the variance of colours in a window, as a part of that on the flank: weaker ones show no border. On those
flanks any from 0.01 to 0.05 serves."""
LEAST_WEIGHT = 1e-6
"""A window with less says nothing."""


def keep_to_colours(probability: Grid, colours: FlankColours) -> Grid:
    """A probability (rows, cols), 0..1, smoothed along the borders of colour and shade; as it was where colours cannot
    be read.
    """
    readable = colours.readable
    if not readable.any():
        return probability
    shade = np.log(colours.brightness / np.float32(colours.brightness.mean() + LEAST_MEAN) + np.float32(DARKEST))
    guide = [_in_spreads(one, readable) for one in (colours.warmth, colours.depth, shade)]
    smooth = guided_filter(guide, probability, readable.astype(np.float32))
    return np.where(readable, np.clip(smooth, 0, 1), probability)


def guided_filter(
    guide: Sequence[Grid], values: Grid, weight: Grid, radius: int = RADIUS, least_variance: float = LEAST_VARIANCE
) -> Grid:
    """The values (rows, cols), smoothed; all float32. ``guide``: three grids like them; ``weight``: 0 and more.

    Every mean is weighted. A place without weight in reach gets 0.
    """
    size = (2 * radius + 1, 2 * radius + 1)
    total = cv2.boxFilter(weight, -1, size, borderType=cv2.BORDER_REFLECT) + np.float32(LEAST_WEIGHT)

    def mean(grid: Grid) -> Grid:
        return np.asarray(cv2.boxFilter(grid * weight, -1, size, borderType=cv2.BORDER_REFLECT) / total)

    middles, middle = [mean(one) for one in guide], mean(values)
    common = [mean(one * values) - there * middle for one, there in zip(guide, middles, strict=True)]
    spread = {
        (i, j): mean(guide[i] * guide[j]) - middles[i] * middles[j] + np.float32(least_variance * (i == j))
        for i in range(3)
        for j in range(i, 3)
    }
    slopes = _solved(spread, common)
    constant = middle - sum(slope * there for slope, there in zip(slopes, middles, strict=True))
    parts = (mean(slope) * one for slope, one in zip(slopes, guide, strict=True))
    return np.asarray(sum(parts, start=mean(constant)), dtype=np.float32)


def _in_spreads(grid: Grid, readable: Mask) -> Grid:
    """From its mean, in units of its standard deviation on the flank."""
    seen = grid[readable]
    return np.asarray((grid - seen.mean()) / max(float(seen.std()), 1e-6), dtype=np.float32)


def _solved(matrix: dict[tuple[int, int], Grid], right: list[Grid]) -> list[Grid]:
    """Solutions of a symmetric 3 x 3 system at every place, by Cramer's rule; ``matrix``: its upper half."""
    a, b, c, d, e, f = (matrix[key] for key in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)))
    adjugate = ((d * f - e * e, c * e - b * f, b * e - c * d), (c * e - b * f, a * f - c * c, b * c - a * e))
    last = (b * e - c * d, b * c - a * e, a * d - b * b)
    determinant = a * adjugate[0][0] + b * adjugate[0][1] + c * adjugate[0][2]
    return [
        np.asarray(sum(one * side for one, side in zip(row, right, strict=True)) / determinant)
        for row in (*adjugate, last)
    ]
