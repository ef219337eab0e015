"""Colours as the eye tells them apart: lightness, green to red, blue to yellow.

Sources: IEC 61966-2-1 (sRGB), CIE 15:2004 (CIE 1976 L*a*b*, white D65), from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Singles = NDArray[np.float32]

TO_XYZ = np.array(
    [[0.412453, 0.357580, 0.180423], [0.212671, 0.715160, 0.072169], [0.019334, 0.119193, 0.950227]], dtype=np.float32
)
WHITE = TO_XYZ.sum(axis=1)
LINEAR_BELOW, CUBIC_ABOVE = 0.04045, 216 / 24389
"""Where sRGB ceases to be linear, and where lightness begins to go by the cube root."""


def lab(colours: NDArray[np.uint8]) -> Singles:
    """L, a and b, float32 (..., 3), of sRGB colours (..., 3)."""
    levels = colours.astype(np.float32) / 255
    linear = np.where(levels <= LINEAR_BELOW, levels / 12.92, ((levels + 0.055) / 1.055) ** 2.4)
    share = linear @ TO_XYZ.T / WHITE
    felt = np.where(share > CUBIC_ABOVE, np.cbrt(share), (share * 24389 / 27 + 16) / 116)
    x, y, z = np.moveaxis(felt, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1).astype(np.float32)
