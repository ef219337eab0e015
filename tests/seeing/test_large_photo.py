"""Large photos are held smaller, so that several of them have room together; their file's pixels remain the measure."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from patternscan.errors import UnreadablePhoto
from patternscan.seeing.image import weight
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.image.weight import times_to_hold

LIES_TO_THE_LEFT = 6
"""EXIF orientation of a picture whose top is at its right, as it is kept."""


def picture(width: int, height: int) -> Image.Image:
    """Smooth colours, no two corners alike."""
    across, down = np.meshgrid(np.linspace(0, 255, width), np.linspace(0, 255, height))
    return Image.fromarray(np.stack([across, down, 255 - across], axis=-1).astype(np.uint8))


@pytest.mark.parametrize(
    ("size", "megapixels", "times"),
    [((4000, 3000), 12, 1), ((4001, 3000), 12, 2), ((8000, 6000), 12, 2), ((12000, 9000), 12, 4), ((64, 10**9), 12, 8)],
)
def test_it_is_made_no_smaller_than_need_be(size: tuple[int, int], megapixels: float, times: int) -> None:
    assert times_to_hold(size, megapixels) == times


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif"])
@pytest.mark.parametrize("turned", [1, LIES_TO_THE_LEFT])
def test_a_large_photo_is_held_smaller_and_upright(tmp_path: Path, ending: str, turned: int) -> None:
    path = tmp_path / f"large.{ending}"
    exif = Image.Exif()
    exif[0x0112] = turned
    picture(401, 302).save(path, exif=exif)
    whole, held = load_photo(path), load_photo(path, held_megapixels=0.04)
    assert (held.width_px, held.height_px) == (whole.width_px, whole.height_px) == whole.held_px
    assert held.times == 2
    assert held.held_px == tuple(-(-side // 2) for side in whole.held_px)
    at = np.array([[10, 20], [120, 100]])
    between = whole.pixels.astype(float)[2 * at[:, 0], 2 * at[:, 1]] / 2
    between += whole.pixels.astype(float)[2 * at[:, 0] + 1, 2 * at[:, 1] + 1] / 2
    assert held.pixels[at[:, 0], at[:, 1]] == pytest.approx(between, abs=4)


def test_a_photo_that_keeps_all_its_scans_is_weighed_as_it_is_in_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Made smaller or not, a progressive JPEG is kept whole till its last scan: 3 bytes a pixel with halved colours."""
    monkeypatch.setattr(weight, "MOST_DECODED_BYTES", 3 * 800 * 600)
    for progressive in (False, True):
        picture(800, 600).save(tmp_path / f"{progressive}.jpg", progressive=progressive)
    assert load_photo(tmp_path / "False.jpg", held_megapixels=0.1).times == 4
    with pytest.raises(UnreadablePhoto, match="GB of memory"):
        load_photo(tmp_path / "True.jpg", held_megapixels=0.1)
