"""The border of a mask on a rectified flank, as lines that can be drawn."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

SMALLEST_SPECK = 0.0003
"""Loops around less than this part of the flank are left out: they would only clutter a drawing."""


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
