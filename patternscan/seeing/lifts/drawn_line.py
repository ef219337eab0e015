"""Dark lines drawn on white card, and the shapes that they close round.

A film of compound keeps one colour bright, a pen or pencil none: so the strongest colour of a place, against that of
the card round it, shows the lines and hardly any film.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.image.photo import Photo

Bits = NDArray[np.uint8]

LONG_SIDE_PX = 1000
"""Lines are looked for in a picture no larger: a drawn line is then some pixels wide."""
CARD_AROUND = 0.06
"""The card's light is taken from round about, as far as this part of the picture's long side."""
DARK = 0.62
"""A place is dark when it sends back less than this part of the card's light; folds and shadows send more (own guess,
seen to part them on the lifts drawn from dev)."""
SPUR = 0.06
"""Folds and letters that touch a shape are thinner than this part of its size."""
WIDEST_PX = 12


@dataclass(frozen=True, slots=True, eq=False)
class ClosedShape:
    """What a line closes round, its middle line as border: ``border`` (n, 2) in pixels of the photo."""

    border: NDArray[np.float64]
    share: float


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLines:
    """``dark`` (rows, cols): 1 on lines; ``scale``: its size over the photo's."""

    dark: Bits
    scale: float

    @classmethod
    def of(cls, photo: Photo) -> DrawnLines:
        """The dark lines of a photo."""
        scale = min(1.0, LONG_SIDE_PX / max(photo.held_px))
        small = cv2.resize(photo.pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        strongest = small.max(axis=2)
        reach = int(CARD_AROUND * max(strongest.shape)) | 1
        round_about = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
        card = cv2.morphologyEx(strongest, cv2.MORPH_CLOSE, round_about)
        seen, white = (cv2.LUT(np.asarray(one, np.uint8), SRGB_TO_LINEAR) for one in (strongest, card))
        return cls((seen < DARK * white).astype(np.uint8), scale)

    def shapes(self) -> Iterator[ClosedShape]:
        """Every shape that a line closes round within the picture."""
        count, labels, stats, _ = cv2.connectedComponentsWithStats(cv2.dilate(self.dark, np.ones((3, 3), np.uint8)))
        rows, columns = labels.shape
        for patch in range(1, count):
            left, top, width, height, _ = stats[patch]
            if left > 1 and top > 1 and left + width < columns - 1 and top + height < rows - 1:
                yield from self._shape((labels == patch).astype(np.uint8), max(5, int(SPUR * (width * height) ** 0.5)))

    def on_line(self, places: NDArray[np.float64]) -> float:
        """Part of places (n, 2) of the photo that lie on or beside a dark line."""
        near = cv2.dilate(self.dark, np.ones((5, 5), np.uint8))
        columns, rows = np.rint((places + 0.5) * self.scale - 0.5).astype(int).T
        held = near[np.clip(rows, 0, near.shape[0] - 1), np.clip(columns, 0, near.shape[1] - 1)]
        return float(held.mean())

    def _shape(self, line: Bits, spur: int) -> Iterator[ClosedShape]:
        square, whole = np.ones((spur, spur), np.uint8), _filled(line)
        padded = cv2.copyMakeBorder(whole, spur, spur, spur, spur, cv2.BORDER_CONSTANT)
        body = cv2.morphologyEx(padded, cv2.MORPH_OPEN, square)[spur:-spur, spur:-spur]
        deep = cv2.erode(body, np.ones((2 * WIDEST_PX + 1, 2 * WIDEST_PX + 1), np.uint8))
        border = _border(body)
        if border is None or not deep.any():
            return
        rim = float(np.count_nonzero((line > 0) & (body > 0) & (deep == 0)))
        half = max(round(rim / max(cv2.arcLength(border, True), 1) / 2), 1)
        inner = _border(cv2.erode(body, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * half + 1, 2 * half + 1))))
        if inner is not None:
            places = (inner[:, 0].astype(np.float64) + 0.5) / self.scale - 0.5
            yield ClosedShape(places, float(body.mean()))


def _filled(line: Bits) -> Bits:
    contours, _ = cv2.findContours(line, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(np.zeros_like(line), contours, -1, (1,), cv2.FILLED), dtype=np.uint8)


def _border(body: cv2.typing.MatLike) -> NDArray[np.int32] | None:
    """The border of the largest patch (n, 1, 2); None without one."""
    contours, _ = cv2.findContours(body, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    largest = max(contours, key=cv2.contourArea, default=None)
    return None if largest is None else np.asarray(largest, dtype=np.int32)
