"""A photo file becomes an upright sRGB picture, or an error that says what to do."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """An upright picture: ``pixels`` is uint8 sRGB (rows, cols, 3), read-only. ``name`` is the bare file name."""

    name: str
    pixels: NDArray[np.uint8]

    def __post_init__(self) -> None:
        self.pixels.flags.writeable = False

    @property
    def width_px(self) -> int:
        """Columns of the upright picture."""
        return int(self.pixels.shape[1])

    @property
    def height_px(self) -> int:
        """Rows of the upright picture."""
        return int(self.pixels.shape[0])


def load_photo(path: Path, max_megapixels: float = 250.0) -> Photo:
    """Read a photo file, turned upright by its EXIF and brought to sRGB. Raises UnreadablePhoto."""
    raise NotImplementedError
