"""Make the poor sample photo from a good one: far too little light, shaken, noisy. Same bytes on every run."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter, ImageOps

HERE = Path(__file__).parent
GOOD, POOR = HERE / "goods_lift_before_right.jpg", HERE / "goods_lift_dark_right.jpg"
LIGHT = 1 / 14
"""Part of the light that is left."""


def spoil() -> None:
    """Write the poor photo, upright and without EXIF."""
    with Image.open(GOOD) as photo:
        shaken = ImageOps.exif_transpose(photo).convert("RGB").filter(ImageFilter.GaussianBlur(5))
    noise = np.random.default_rng(5).normal(0, 3.0, (shaken.height, shaken.width, 1))
    dark = np.asarray(shaken, dtype=np.float64) * LIGHT + noise
    Image.fromarray(np.clip(dark, 0, 255).astype(np.uint8)).save(POOR, quality=88)


if __name__ == "__main__":
    spoil()
