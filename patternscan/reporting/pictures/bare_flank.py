"""The bare pictures of a flank that are kept for later: laid flat, and the contact map."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.measuring.reading import Reading


@dataclass(frozen=True, slots=True, eq=False)
class KeptTooth:
    """One tooth's flank laid flat: ``flat`` uint8 (256, 512, 3) sRGB, ``contact`` uint8 (128, 256).

    255 is contact, 0 none, 128 not judged. Row 0 is the tip, column 0 end A. ``close_up`` uint8 (rows, cols, 3) is
    the piece of the photo as large as it is held; None when it was not kept.
    """

    tooth: str
    flat: NDArray[np.uint8]
    contact: NDArray[np.uint8]
    close_up: NDArray[np.uint8] | None = None


def contact_map_image(reading: Reading) -> Image.Image:
    """The contact map as a grey picture, 256 columns (A to B) by 128 rows (top row = tip).

    255 contact, 0 no contact, 128 cannot be judged; each cell is the majority of its four.
    """
    contact, judged = (_halved(mask) for mask in (reading.contact_map.contact, reading.contact_map.judged))
    grey = np.where(judged >= 0.5, np.where(contact >= 0.5, 255, 0), 128).astype(np.uint8)
    return Image.fromarray(grey)


def flat_image(reading: Reading) -> Image.Image:
    """The bare flank laid flat, without any drawing: top row = tip, left column = end A."""
    return Image.fromarray(reading.rectified.pixels)


def _halved(mask: np.ndarray[Any, np.dtype[np.bool_]]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Mean of each two by two cells of a mask (rows, cols)."""
    rows, cols = mask.shape
    blocks: np.ndarray[Any, np.dtype[np.float64]] = mask.reshape(rows // 2, 2, cols // 2, 2).mean(axis=(1, 3))
    return blocks
