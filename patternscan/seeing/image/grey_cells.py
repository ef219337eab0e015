"""The picture in little by which a photo is known again."""

from __future__ import annotations

from base64 import b64encode

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.fingerprint import SIDE, STEPS

FIRST_PX = 384
"""A picture is first made so small, rounded to 8 bits, which the cells average out too."""


def grey_cells(pixels: NDArray[np.uint8]) -> str:
    """``Fingerprint.cells`` of an sRGB picture (rows, cols, 3): its grey as JPEG keeps it, which saves colours far more
    coarsely. Source: ITU-T T.871 (JFIF), clause 7 (from memory).
    """
    rows, columns = pixels.shape[:2]
    size = min(columns, FIRST_PX), min(rows, FIRST_PX)
    grey = cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY)
    small = cv2.resize(grey, size, interpolation=cv2.INTER_AREA).astype(np.float32)
    cells = cv2.resize(small, (SIDE, SIDE), interpolation=cv2.INTER_AREA)
    steps = np.rint(cells * STEPS).astype("<u2")
    return b64encode(steps.tobytes()).decode("ascii")
