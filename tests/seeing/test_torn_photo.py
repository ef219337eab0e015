"""A damaged JPEG that still decodes is torn along its blocks; a whole one, however badly saved, is not."""

from __future__ import annotations

import io
from pathlib import Path
from random import Random

import numpy as np
import pytest
from PIL import Image

from patternscan.errors import UnreadablePhoto
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.image.tears import TORN_SHARE, torn_share

SAMPLES = Path(__file__).parents[2] / "sample_images"
PHOTO = SAMPLES / "goods_lift_before_left.jpg"
ORIENTATION_TAG = 0x0112


def jpeg(turned: int = 1, quality: int = 90) -> bytes:
    exif = Image.Exif()
    exif[ORIENTATION_TAG] = turned
    content = io.BytesIO()
    with Image.open(PHOTO) as image:
        image.save(content, "JPEG", exif=exif, quality=quality)
    return content.getvalue()


def without_a_piece(content: bytes, seed: int) -> bytes:
    """The file without two thousand bytes in the middle third."""
    at = Random(seed).randrange(len(content) // 3, len(content) * 2 // 3)
    return content[:at] + content[at + 2000 :]


@pytest.mark.parametrize("turned", [1, 3, 6, 8])
def test_a_photo_that_lost_a_piece_is_refused_however_it_was_held(tmp_path: Path, turned: int) -> None:
    path = tmp_path / "lost.jpg"
    path.write_bytes(without_a_piece(jpeg(turned), seed=turned))
    with pytest.raises(UnreadablePhoto, match="is damaged"):
        load_photo(path)
    with pytest.raises(UnreadablePhoto):
        load_photo(path, held_megapixels=0.5)


@pytest.mark.parametrize("quality", [5, 30, 90])
def test_a_whole_photo_is_read_however_badly_it_was_saved(tmp_path: Path, quality: int) -> None:
    path = tmp_path / "whole.jpg"
    path.write_bytes(jpeg(quality=quality))
    assert load_photo(path).width_px == 1344


def test_a_tear_is_known_by_its_place_on_the_grid() -> None:
    """From the sixth block of the fourth row of blocks on a picture is brighter: the tear runs above and below it."""
    noise = np.random.default_rng(5).integers(90, 110, (160, 240, 3))
    torn = noise.copy()
    torn[48:64, 80:] += 60
    torn[64:] += 60
    assert torn_share(noise.astype(np.uint8), (16, 16)) == 0
    assert torn_share(torn.astype(np.uint8), (16, 16)) == 1
    assert torn_share(np.roll(torn, 5, axis=0).astype(np.uint8), (16, 16)) < TORN_SHARE


@pytest.mark.parametrize("bar", [96, 208])
def test_the_bars_of_a_screenshot_are_no_tear(tmp_path: Path, bar: int) -> None:
    """They may end on the grid of blocks, all the width long."""
    with Image.open(PHOTO) as image:
        screen = Image.new("RGB", (image.width, image.height + 2 * bar))
        screen.paste(image, (0, bar))
    path = tmp_path / "screenshot.jpg"
    screen.save(path, quality=88)
    assert load_photo(path).size_px == screen.size
