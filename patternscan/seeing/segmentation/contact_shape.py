"""Shapes of contact: a print is whole, smears are small, bare strips at the rim were never painted."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import quantile
from patternscan.seeing.segmentation.film import Grid, Mask

SMALLEST_PART = 0.05
"""Patches below this part of the largest one are smears and specks."""
SMALLEST_SPECK = 0.0003
"""Loops and patches of less than this part of the flank are left out: they would only clutter a drawing."""


def shape_print(share: Grid, judged: Mask) -> Grid:
    """Probability of contact where compound was printed onto clean metal."""
    probability = film_probability(share)
    patches = kept_patches(closed((probability > 0.5) & judged, 7, 7), SMALLEST_PART)
    whole = filled(patches)
    return settled(probability, whole, 1.0)


def shape_rubbed(share: Grid, judged: Mask) -> Grid:
    """Probability of contact where paint was rubbed away: bare metal within the painted area."""
    coat = closed((share > 0.5) & judged, 3, 9)
    bare = opened(~coat & painted_band(coat), 7, 5)
    core = opened(bare, 9, 31)
    near = cv2.dilate(core.astype(np.uint8), np.ones((9, 31), np.uint8)) > 0
    patches = without_end_strips(kept_patches(bare & near, 0.15))
    return settled(1 - film_probability(share), filled(patches), 0.2)


def film_probability(share: Grid) -> Grid:
    """Logistic probability that a share of a full film is film: even odds at half, since the rim of a print is thin."""
    return np.asarray(1 / (1 + np.exp(-np.clip((share - 0.5) / 0.1, -30, 30))), dtype=np.float32)


def settled(probability: Grid, whole: Mask, outside: float) -> Grid:
    """Probability above a half inside the accepted shape, and below it outside, where ``outside`` of it remains.

    The border is known to a cell or two only, hence the blur; 0.95 and 0.02 are how often a plain place is right.
    """
    inner, outer = 0.55 + 0.4 * probability, 0.45 * outside * probability
    blurred = cv2.GaussianBlur(np.where(whole, inner, outer).astype(np.float32), (0, 0), 1.5)
    held = np.where(whole, np.maximum(blurred, 0.51), np.minimum(blurred, 0.49))
    return np.asarray(np.clip(held, 0.02, 0.95), dtype=np.float32)


def painted_band(coat: Mask) -> Mask:
    """Rows between the highest and the lowest paint: the fitter's strokes start and stop there, ragged."""
    rows = coat.shape[0]
    painted = coat.mean(axis=0) > 0.5
    if painted.sum() < 5:
        return np.ones_like(coat)
    top = np.argmax(coat[:, painted], axis=0)
    bottom = rows - 1 - np.argmax(coat[::-1, painted], axis=0)
    level = np.arange(rows)[:, None]
    band = (level >= quantile(top, 0.4)) & (level <= quantile(bottom, 0.6))
    return np.asarray(np.broadcast_to(band, coat.shape))


def without_end_strips(mask: Mask) -> Mask:
    """The mask without narrow strips along the two ends, which the brush never reached."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    left, across, area = (stats[1:, k] for k in (cv2.CC_STAT_LEFT, cv2.CC_STAT_WIDTH, cv2.CC_STAT_AREA))
    at_end = (left < 4) | (left + across > mask.shape[1] - 4)
    keep = np.r_[False, ~at_end | (area > 0.5 * area.max(initial=0))]
    return np.asarray(keep[labels]) if count > 1 else mask


def kept_patches(mask: Mask, part: float) -> Mask:
    """Connected patches of at least ``part`` of the largest one's area."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    if count < 2:
        return mask
    areas = stats[1:, cv2.CC_STAT_AREA]
    keep = np.r_[False, areas >= part * areas.max()]
    return np.asarray(keep[labels])


def without_specks(mask: Mask) -> Mask:
    """The mask without patches of less than SMALLEST_SPECK of the flank."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    keep = stats[:, cv2.CC_STAT_AREA] >= SMALLEST_SPECK * mask.size
    return np.asarray(keep[labels] & mask)


def filled(mask: Mask) -> Mask:
    """The mask with holes filled that do not open to the rim."""
    frame = cv2.copyMakeBorder((~mask).astype(np.uint8), 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=1)
    cv2.floodFill(frame, None, (0, 0), 2)
    return np.asarray(frame[1:-1, 1:-1] != 2)


def closed(mask: Mask, across: int, down: int) -> Mask:
    """Gaps narrower than the given cells bridged."""
    return _morphed(mask, cv2.MORPH_CLOSE, across, down)


def opened(mask: Mask, across: int, down: int) -> Mask:
    """Strips narrower than the given cells taken away."""
    return _morphed(mask, cv2.MORPH_OPEN, across, down)


def _morphed(mask: NDArray[np.bool_], operation: int, across: int, down: int) -> Mask:
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (across, down))
    pad = max(across, down)
    grown = cv2.copyMakeBorder(mask.astype(np.uint8), pad, pad, pad, pad, cv2.BORDER_REPLICATE)
    return np.asarray(cv2.morphologyEx(grown, operation, kernel)[pad:-pad, pad:-pad] > 0)


def trace_border(mask: NDArray[np.bool_]) -> list[NDArray[np.float64]]:
    """Closed loops around the set cells of ``mask`` (rows, cols; row 0 = tip, column 0 = end A).

    Each loop is (n, 2) as along, up with the first point repeated at its end; holes have loops of their own.
    """
    rows, cols = mask.shape
    doubled = np.pad(np.kron(mask, np.ones((2, 2))).astype(np.uint8), 1)
    loops, _ = cv2.findContours(doubled, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    smallest = SMALLEST_SPECK * doubled.size
    return [
        _places(np.asarray(loop[:, 0, :], dtype=np.float64), rows, cols)
        for loop in loops
        if cv2.contourArea(loop) >= smallest
    ]


def _places(loop: NDArray[np.float64], rows: int, cols: int) -> NDArray[np.float64]:
    """Points (n, 2) as x, y of the doubled, padded mask to places as along, up, closed."""
    cells = (np.vstack([loop, loop[:1]]) - 0.5) / 2
    return np.clip(np.stack([cells[:, 0] / cols, 1 - cells[:, 1] / rows], axis=1), 0.0, 1.0)
