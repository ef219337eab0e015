"""Pictures go out as pixels and nothing else."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from patternscan.reporting.drawing.encoding import jpeg_bytes, png_bytes


def test_pictures_carry_nothing_of_their_source() -> None:
    picture = Image.fromarray(np.zeros((8, 8, 3), dtype=np.uint8))
    picture.info["comment"] = b"the owner"
    picture.getexif()[0x010F] = "the camera"
    for content in (png_bytes(picture), jpeg_bytes(picture)):
        assert b"the owner" not in content
        assert b"the camera" not in content


def test_a_png_keeps_every_pixel() -> None:
    image = Image.radial_gradient("L").convert("RGB")
    with Image.open(io.BytesIO(png_bytes(image))) as again:
        assert again.tobytes() == image.tobytes()
