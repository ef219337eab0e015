"""The picture in little by which a photo is known again."""

from __future__ import annotations

from base64 import b64encode

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.fingerprint import SIDE, STEPS

FIRST_PX = 384
"""A picture is first made so small, rounded to 8 bits, which the cells average out too."""
LUMA = np.array([0.299, 0.587, 0.114], dtype=np.float32)
"""Grey as JPEG keeps it, which saves colours far more coarsely. Source: ITU-T T.871 (JFIF), clause 7 (from memory)."""


def grey_cells(pixels: NDArray[np.uint8]) -> str:
    """``Fingerprint.cells`` of an sRGB picture (rows, cols, 3)."""
    rows, columns = pixels.shape[:2]
    size = min(columns, FIRST_PX), min(rows, FIRST_PX)
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA).astype(np.float32) @ LUMA
    cells = cv2.resize(small, (SIDE, SIDE), interpolation=cv2.INTER_AREA)
    steps = np.rint(cells * STEPS).astype("<u2")
    return b64encode(steps.tobytes()).decode("ascii")
