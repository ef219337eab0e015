"""How many threads one photo may take for itself."""

from __future__ import annotations

import cv2


def use_one_thread() -> None:
    """From now on OpenCV works with one thread in this process: where many photos are read, each has a core."""
    cv2.setNumThreads(1)
