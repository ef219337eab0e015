"""The printed tags that a photo shows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import End
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.shrinking import shrunk
from patternscan.seeing.tags.tag_face import FAMILY
from patternscan.seeing.tags.tag_pair import PAIRS, pair_and_end

LONG_SIDE_PX = 1600
"""Tags are looked for in a photo no larger: beside a tooth that fills it, a tag of 12 mm has 70 px or more."""
WINDOW_PX = 23
"""What is darker than the mean of a square so wide may be of a tag. Of 120 placings on dev (``pasted_tags.py``) 66 tags
were seen so, 65 at 2400 px with OpenCV's three windows in half as many pixels and four times the time."""
PLAIN = 0
"""Place of the family itself among those that are read; its mirror comes after it."""
CORRECTED = 0.2
"""Part of the cells that may be read wrongly of those that the family could correct: one cell of 36."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenTag:
    """One tag; ``corners`` (4, 2) in pixels of the photo, from the top left clockwise as it was printed."""

    number: int
    corners: NDArray[np.float64]

    @property
    def pair(self) -> int:
        """The pair that it belongs to."""
        return pair_and_end(self.number)[0]

    @property
    def end(self) -> End:
        """The end that it stands for."""
        return pair_and_end(self.number)[1]

    @property
    def upward(self) -> NDArray[np.float64]:
        """Where its top points in the photo, (2,), its length twice that of a side."""
        step: NDArray[np.float64] = self.corners[:2].sum(axis=0) - self.corners[2:].sum(axis=0)
        return step

    @property
    def centre(self) -> NDArray[np.float64]:
        """Its middle, (2,)."""
        middle: NDArray[np.float64] = self.corners.mean(axis=0)
        return middle


@dataclass(frozen=True, slots=True, eq=False)
class SeenTags:
    """All tags of a photo; ``mirrored``: they read only in a mirror, so the photo is mirrored and ``tags`` is empty."""

    tags: tuple[SeenTag, ...] = ()
    mirrored: bool = False


def see_tags(photo: Photo) -> SeenTags:
    """Look for printed tags, also in the mirror when there is none."""
    grey, scale = _grey(photo)
    corners, numbers, _, families = _detector().detectMarkersMultiDict(grey)
    read: list[tuple[int, int]] = []
    if numbers is not None:
        read = [
            (int(family), int(number)) for family, number in zip(np.ravel(families), np.ravel(numbers), strict=True)
        ]
    sure = [one[1] < 2 * PAIRS and read.count(one) == 1 for one in read]
    tags = tuple(
        SeenTag(number, (np.asarray(place, dtype=np.float64).reshape(4, 2) + 0.5) / scale - 0.5)
        for (family, number), place, known in zip(read, corners, sure, strict=True)
        if known and family == PLAIN
    )
    return SeenTags(tags, mirrored=not tags and any(sure))


def _grey(photo: Photo) -> tuple[NDArray[np.uint8], float]:
    """The photo in grey at a size to look for tags, and how much it was enlarged (at most 1)."""
    grey = np.asarray(cv2.cvtColor(photo.pixels, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    scale = min(1.0, LONG_SIDE_PX / max(grey.shape))
    if scale < 1:
        times = int(1 / scale)
        grey, rest = shrunk(grey, times), scale * times
        grey = np.asarray(cv2.resize(grey, None, fx=rest, fy=rest, interpolation=cv2.INTER_LINEAR), dtype=np.uint8)
    return grey, scale


@cache
def _detector() -> cv2.aruco.ArucoDetector:
    """Reads the family and its mirror, in this order."""
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.errorCorrectionRate = CORRECTED
    settings.adaptiveThreshWinSizeMin = settings.adaptiveThreshWinSizeMax = WINDOW_PX
    return cv2.aruco.ArucoDetector([cv2.aruco.getPredefinedDictionary(FAMILY), _mirror()], settings)


def _mirror() -> cv2.aruco.Dictionary:
    """The family as it is seen in a mirror: its turns go the other way round, and the columns of each.

    OpenCV keeps of each tag its four turns, each as whole bytes of cells, the cells left over in one more byte.
    """
    plain = cv2.aruco.getPredefinedDictionary(FAMILY)
    side, over = plain.markerSize, plain.markerSize**2 % 8
    turns = np.asarray(plain.bytesList, dtype=np.uint8).reshape(len(plain.bytesList), 4, -1)
    bits = np.unpackbits(turns, axis=2)
    whole, rest = bits[..., : side**2 - over], bits[..., -over:]
    cells = np.concatenate([whole, rest], axis=2).reshape(-1, 4, side, side)
    mirrored = cells[:, [0, 3, 2, 1], :, ::-1].reshape(-1, 4, side**2)
    whole, rest = mirrored[..., : side**2 - over], mirrored[..., -over:]
    filled = np.concatenate([whole, np.zeros_like(rest, shape=(*rest.shape[:2], 8 - over)), rest], axis=2)
    return cv2.aruco.Dictionary(
        np.packbits(filled, axis=2).reshape(plain.bytesList.shape), side, plain.maxCorrectionBits
    )
