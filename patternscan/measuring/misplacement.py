"""How far a centroid may lie from the truth because film and metal were taken for one another."""

from __future__ import annotations

import numpy as np


def misplacement(expected_iou: float, agreement: float | None) -> float:
    """In 1 of 10 cases it is this far off (fractions of face width and flank height), by what the contact map tells."""
    trust = expected_iou
    if agreement is not None and agreement >= 0.7:
        trust = max(trust, 0.8)
    elif agreement is not None and agreement < 0.6:
        trust = min(trust, 0.72)
    return float(np.interp(trust, (0.65, 0.75, 0.85), (0.25, 0.06, 0.0)))
