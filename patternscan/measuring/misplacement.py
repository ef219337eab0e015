"""How far a centroid may lie from the truth because film and metal were taken for one another."""

from __future__ import annotations

import numpy as np

from patternscan.calibration.measuring import AGREEMENT_RAMP, LEAST_IOU, MISPLACED, MISPLACED_AT_IOU, MOST_IOU


def misplacement(expected_iou: float, agreement: float | None) -> float:
    """Half-width of a 90 % interval, in fractions of face width or flank height, for both numbers of a contact map.

    It falls as either number rises, without a jump; ``agreement`` None leaves it to the first alone.
    """
    if agreement is not None:
        least, most = (np.interp(agreement, AGREEMENT_RAMP, bounds) for bounds in (LEAST_IOU, MOST_IOU))
        expected_iou = min(max(expected_iou, least), most)
    return float(np.interp(expected_iou, MISPLACED_AT_IOU, MISPLACED))
