"""A piece cut out of a photo, and laid back where it was: where the middle of a photo lies tells of its camera."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs
from patternscan.seeing.image.photo import Photo

Pixels = NDArray[np.uint8]

GREY = 128
"""What lies round a piece that was laid back."""


@dataclass(frozen=True, slots=True)
class PhotoCut:
    """Where a piece lay in the whole photo: its top left pixel (column, row), and the whole's columns and rows."""

    corner_px: tuple[int, int]
    whole_px: tuple[int, int]


def cut_round(pixels: Pixels, points: NDArray[np.float64], room_px: float) -> tuple[Pixels, PhotoCut]:
    """The piece of a picture (rows, cols, 3) that holds ``points`` (n, 2) with so much room round them."""
    whole = pixels.shape[1], pixels.shape[0]
    low = np.clip(np.floor(points.min(axis=0) - room_px).astype(int), 0, np.array(whole) - 1)
    high = np.clip(np.ceil(points.max(axis=0) + room_px).astype(int) + 1, low + 1, whole)
    return pixels[low[1] : high[1], low[0] : high[0]], PhotoCut((int(low[0]), int(low[1])), whole)


def laid_back(piece: Photo, cut: PhotoCut) -> Photo:
    """The whole photo, grey round the piece. Raises InconsistentInputs when the piece does not lie in it."""
    (left, top), (columns, rows) = cut.corner_px, piece.held_px
    if piece.times != 1 or left + columns > cut.whole_px[0] or top + rows > cut.whole_px[1]:
        raise InconsistentInputs(
            f"{piece.name} is larger than its truth file says of the piece that was cut out.",
            "Unpack the archive again: the pictures in it must stay as they are.",
        )
    pixels = np.full((cut.whole_px[1], cut.whole_px[0], 3), GREY, dtype=np.uint8)
    pixels[top : top + rows, left : left + columns] = piece.pixels
    return replace(piece, pixels=pixels, file_px=None)
