"""Colours as light, and as the eye tells them apart: lightness, green to red, blue to yellow.

Sources: IEC 61966-2-1 (sRGB), CIE 15:2004 (CIE 1976 L*a*b*, white D65), from memory.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Singles = NDArray[np.float32]

TO_XYZ = np.array(
    [[0.412453, 0.357580, 0.180423], [0.212671, 0.715160, 0.072169], [0.019334, 0.119193, 0.950227]], dtype=np.float32
)
TO_WHITE = TO_XYZ / TO_XYZ.sum(axis=1, keepdims=True)
TO_LAB = np.array([[0, 116, 0, -16], [500, -500, 0, 0], [0, 200, -200, 0]], dtype=np.float32)
LINEAR_BELOW, CUBIC_ABOVE = 0.04045, 216 / 24389
"""Where sRGB ceases to be linear, and where lightness begins to go by the cube root."""


def _linear_table() -> Singles:
    code = np.arange(256, dtype=np.float64) / 255
    return np.where(code <= LINEAR_BELOW, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype(np.float32)


SRGB_TO_LINEAR = _linear_table()
"""Linear light 0..1 of every 8-bit code."""


def lab(colours: NDArray[np.uint8]) -> Singles:
    """L, a and b, float32 (..., 3), of sRGB colours (..., 3).

    Not by ``cv2.cvtColor``, whose tables take longer to make, once a process, than a photo to decode.
    """
    light = cv2.LUT(colours.reshape(-1, 1, 3), SRGB_TO_LINEAR)
    share = cv2.transform(light, TO_WHITE)
    felt = cv2.pow(share, 1 / 3, dst=light)
    dark = share <= CUBIC_ABOVE
    felt[dark] = (share[dark] * (24389 / 27) + 16) / 116
    return np.asarray(cv2.transform(felt, TO_LAB, dst=share), dtype=np.float32).reshape(colours.shape)
