"""The printed tags that a photo shows."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import End
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.tags.tag_face import FAMILY
from patternscan.seeing.tags.tag_pair import PAIRS, pair_and_end

LONG_SIDE_PX = 2400
"""Tags are looked for in a photo no larger: beside a tooth that fills it, a tag of 12 mm has 100 px or more."""
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
    found = _read(grey, scale)
    return SeenTags(found, mirrored=not found and bool(_read(np.ascontiguousarray(grey[:, ::-1]), scale)))


def _grey(photo: Photo) -> tuple[NDArray[np.uint8], float]:
    """The photo in grey at a size to look for tags, and how much it was enlarged (at most 1)."""
    grey = cv2.cvtColor(photo.pixels, cv2.COLOR_RGB2GRAY)
    scale = min(1.0, LONG_SIDE_PX / max(grey.shape))
    if scale < 1:
        grey = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return np.asarray(grey, dtype=np.uint8), scale


def _read(grey: NDArray[np.uint8], scale: float) -> tuple[SeenTag, ...]:
    """Every tag that belongs to a pair. A number that is read twice is no sure one."""
    corners, numbers, _ = _detector().detectMarkers(grey)
    told: list[int] = [] if numbers is None else [int(one) for one in np.ravel(numbers)]
    places = [(np.asarray(each, dtype=np.float64).reshape(4, 2) + 0.5) / scale - 0.5 for each in corners]
    return tuple(
        SeenTag(number, place)
        for number, place in zip(told, places, strict=True)
        if number < 2 * PAIRS and told.count(number) == 1
    )


def _detector() -> cv2.aruco.ArucoDetector:
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.errorCorrectionRate = CORRECTED
    return cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(FAMILY), settings)
