"""How a printed tag looks."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

FAMILY = cv2.aruco.DICT_APRILTAG_36H11
"""Tags of 6 by 6 cells in a black rim, any two of which differ in 11 cells or more; mirrored none of them reads."""
TAG_CELLS = 8
"""Cells along a side of a tag, its black rim included; so much white again as a cell belongs round it."""


def tag_cells(number: int) -> NDArray[np.bool_]:
    """The cells of a tag (TAG_CELLS, TAG_CELLS), True where it is black; row 0 is its top."""
    drawn = cv2.aruco.getPredefinedDictionary(FAMILY).generateImageMarker(number, TAG_CELLS)
    return np.asarray(drawn) < 128
