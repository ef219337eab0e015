"""A piece of a photo round a flank, with where each place of the flank is seen in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.seeing.geometry.placed_flank import PlacedFlank

ROWS, COLUMNS = 16, 32
"""Meshes of the net: between its knots a flank is as good as straight."""
ROOM = 0.1
"""Of the box round the outline, on each side, to see where one is."""
LONGEST_PX = 1400
"""Longer side of the picture: fine enough for a finger on a phone."""


@dataclass(frozen=True, slots=True, eq=False)
class PhotoPiece:
    """``net`` float64 (ROWS + 1, COLUMNS + 1, 2): x and y of its knots from the upper left corner of ``image``, in
    pixels; row 0 = tip, column 0 = end A.
    """

    image: Image.Image
    net: NDArray[np.float64]


def piece_round(placed: PlacedFlank) -> PhotoPiece:
    """The piece round a flank, made smaller where it is large."""
    pixels, border = placed.photo.pixels, placed.border
    room = ROOM * np.ptp(border, axis=0)
    low = np.maximum(np.floor(border.min(axis=0) - room), 0).astype(int)
    high = np.minimum(np.ceil(border.max(axis=0) + room).astype(int) + 1, pixels.shape[1::-1])
    image = Image.fromarray(pixels[low[1] : high[1], low[0] : high[0]])
    scale = min(1.0, LONGEST_PX / max(image.size))
    size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
    knots = placed.flank_map.to_photo(_coordinates()).reshape(ROWS + 1, COLUMNS + 1, 2)
    net = (knots - low + 0.5) * (np.array(size) / image.size)
    return PhotoPiece(image.resize(size, Image.Resampling.LANCZOS), net)


def _coordinates() -> NDArray[np.float64]:
    """Along and up of the knots, row by row, (n, 2)."""
    along, up = np.linspace(0, 1, COLUMNS + 1), np.linspace(1, 0, ROWS + 1)
    return np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)
