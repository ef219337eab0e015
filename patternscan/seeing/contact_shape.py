"""From colour to contact: a print is whole, smears are small, bare strips at the rim were never painted."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.film import Grid, Mask

HALF_FILM = 0.45
"""Share of a full film at which a place counts as covered: the rim of a print is thin."""
SMALLEST_PART = 0.06
"""Patches below this part of the largest one are smears and specks."""


def shape_print(share: Grid, judged: Mask) -> Grid:
    """Chance of contact where compound was printed onto clean metal."""
    chance = sure(share, HALF_FILM)
    patches = kept_patches(closed((chance > 0.5) & judged, 7, 7), SMALLEST_PART)
    whole = filled(patches)
    return settled(chance, whole)


def shape_rubbed(share: Grid, judged: Mask) -> Grid:
    """Chance of contact where paint was rubbed away: bare metal within the painted area."""
    paint = (share > 0.5) & judged
    coat = closed(paint, 5, 13)
    inside = painted_rows(coat)
    bare = opened(~coat & inside, 13, 9)
    patches = kept_patches(bare, 0.15)
    return settled(1 - sure(share, 0.5), filled(patches))


def sure(share: Grid, middle: float) -> Grid:
    """Logistic chance that a share of a full film is film."""
    return np.asarray(1 / (1 + np.exp(-np.clip((share - middle) / 0.1, -30, 30))), dtype=np.float32)


def settled(chance: Grid, whole: Mask) -> Grid:
    """Inside the accepted shape the chance is at least 0.6, outside at most 0.4."""
    return np.asarray(np.where(whole, np.maximum(chance, 0.6), np.minimum(chance, 0.4) * 0.5), dtype=np.float32)


def painted_rows(coat: Mask) -> Mask:
    """Places between the highest and lowest paint, interpolated over columns that were rubbed bare."""
    rows, cols = coat.shape
    filled_columns = coat.mean(axis=0) > 0.6
    if filled_columns.sum() < 5:
        return np.ones_like(coat)
    top = np.argmax(coat, axis=0).astype(np.float64)
    bottom = rows - 1 - np.argmax(coat[::-1], axis=0).astype(np.float64)
    at = np.flatnonzero(filled_columns)
    level = np.arange(rows)[:, None]
    every = np.arange(cols)
    high = np.interp(every, at, top[at])
    low = np.interp(every, at, bottom[at])
    return np.asarray((level >= high[None, :]) & (level <= low[None, :]))


def kept_patches(mask: Mask, part: float) -> Mask:
    """Connected patches of at least ``part`` of the largest one's area."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    if count < 2:
        return mask
    areas = stats[1:, cv2.CC_STAT_AREA]
    keep = np.r_[False, areas >= part * areas.max()]
    return np.asarray(keep[labels])


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
