"""Outlines as a hasty person clicks them, and how well outlines overlap."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline, resampled

CLICKS = {"root": 9, "tip": 9, "end_a": 4, "end_b": 4}
CORNERS = {"root": (0, 1), "tip": (2, 3), "end_a": (0, 2), "end_b": (1, 3)}


def roughened(outline: Outline, rng: np.random.Generator, corner: float = 0.03, along: float = 0.015) -> Outline:
    """A few points of each edge, every corner up to ``corner`` off, the others up to ``along`` (face widths)."""
    corners = _errors(rng, 4, corner * outline.width_px)
    edges = {}
    for name in EDGE_NAMES:
        error = _errors(rng, CLICKS[name], along * outline.width_px)
        error[[0, -1]] = corners[list(CORNERS[name])]
        edges[name] = resampled(getattr(outline, name), np.linspace(0, 1, CLICKS[name])) + error
    return checked_outline(edges, outline.flank, outline.tooth)


def _errors(rng: np.random.Generator, count: int, radius: float) -> NDArray[np.float64]:
    """Steps (count, 2) spread evenly over a disc."""
    angle, out = rng.uniform(0, 2 * np.pi, count), radius * np.sqrt(rng.uniform(0, 1, count))
    return np.stack([out * np.cos(angle), out * np.sin(angle)], axis=1)


def overlap_of(first: Outline, second: Outline, size: tuple[int, int]) -> float:
    """Common area over joint area of two outlines in a picture of ``size`` (width, height)."""
    masks = []
    for outline in (first, second):
        mask = np.zeros(size[::-1], dtype=np.uint8)
        cv2.fillPoly(mask, [np.rint(16 * outline.border).astype(np.int32)], 1, shift=4)
        masks.append(mask > 0)
    return float((masks[0] & masks[1]).sum() / (masks[0] | masks[1]).sum())
