"""How far a centroid may lie from the truth because film and metal were taken for one another."""

from __future__ import annotations

import numpy as np

MISPLACED = ((0.65, 0.75, 0.85), (0.25, 0.06, 0.0))
"""How far from the truth a centroid lies in 1 of 10 cases (fractions of face width and flank height), by the overlap
that is expected of the contact. From 1300 photographed flanks painted anew, as an earlier net saw them; with that of
now 9 in 10 intervals and more hold the truth."""
AGREEMENT = (0.5, 0.7)
"""Between these overlaps two ways that differ turn evenly into two that agree. As with a jump at 0.6, the intervals of
98 in 100 of 355 painted flanks and of 104 in 105 readings of rendered photographs hold the truth."""
LEAST, MOST = (0.65, 0.8), (0.72, 0.85)
"""What is expected of contact counts as no less and no more than this, where two ways differ and where they agree."""


def misplacement(expected_iou: float, agreement: float | None) -> float:
    """Half-width of a 90 % interval, in fractions of face width or flank height, for both numbers of a contact map.

    It falls as either number rises, without a jump; ``agreement`` None leaves it to the first alone.
    """
    if agreement is not None:
        least, most = (np.interp(agreement, AGREEMENT, bounds) for bounds in (LEAST, MOST))
        expected_iou = min(max(expected_iou, least), most)
    return float(np.interp(expected_iou, *MISPLACED))
