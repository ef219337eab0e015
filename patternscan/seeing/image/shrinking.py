"""A picture made smaller."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray


def shrunk(pixels: NDArray[np.uint8], times: int) -> NDArray[np.uint8]:
    """A picture shrunk a whole number of times, which is quick; rows and columns left over are dropped."""
    if times == 1:
        return pixels
    rows, cols = (max(side // times, 1) for side in pixels.shape[:2])
    even = pixels[: rows * times, : cols * times]
    return np.asarray(cv2.resize(even, (cols, rows), interpolation=cv2.INTER_AREA), dtype=np.uint8)


def shrunk_to(pixels: NDArray[np.uint8], size: tuple[int, int]) -> NDArray[np.uint8]:
    """A picture shrunk to so many columns and rows; far smaller ones first a whole number of times, which is quick."""
    times = min(pixels.shape[1] // size[0], pixels.shape[0] // size[1])
    if times < 2:
        return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    return np.asarray(cv2.resize(shrunk(pixels, times), size, interpolation=cv2.INTER_LINEAR), dtype=np.uint8)
