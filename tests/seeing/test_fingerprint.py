"""One exposure however it is saved, and another one from the same stand, on real photographs."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from itertools import combinations
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from patternscan.seeing.image.fingerprint import Fingerprint
from patternscan.seeing.image.grey_cells import grey_cells
from patternscan.seeing.image.same_picture import same_picture

SAMPLES = Path(__file__).parents[2] / "sample_images"
PHOTOS = sorted(SAMPLES.glob("*_left.jpg"))[:3]


def print_of(image: Image.Image) -> Fingerprint:
    return Fingerprint("photo.jpg", image.width, image.height, grey_cells(np.asarray(image)))


def saved(image: Image.Image, quality: int) -> Image.Image:
    file = BytesIO()
    image.save(file, "JPEG", quality=quality)
    return Image.open(file).convert("RGB")


def smaller(image: Image.Image) -> Image.Image:
    return image.resize((round(image.width * 0.83), round(image.height * 0.83)), Image.Resampling.LANCZOS)


COPIES: dict[str, Callable[[Image.Image], Image.Image]] = {
    "well saved": lambda image: saved(image, 90),
    "badly saved": lambda image: saved(image, 10),
    "smaller": lambda image: saved(smaller(image), 70),
    "mirrored": lambda image: saved(image.transpose(Image.Transpose.FLIP_LEFT_RIGHT), 60),
    "turned": lambda image: saved(image.transpose(Image.Transpose.ROTATE_90), 60),
    "mirrored and smaller": lambda image: saved(smaller(image.transpose(Image.Transpose.FLIP_LEFT_RIGHT)), 50),
}


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda photo: photo.stem)
@pytest.mark.parametrize("copied", COPIES.values(), ids=COPIES)
def test_a_copy_is_the_same_picture(photo: Path, copied: Callable[[Image.Image], Image.Image]) -> None:
    image = Image.open(photo).convert("RGB")
    assert same_picture(print_of(image), print_of(copied(image)))


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda photo: photo.stem)
@pytest.mark.parametrize(("brighter", "shift_px"), [(1.02, 0.3), (0.97, 0.4), (1.05, 0.7)])
def test_a_second_exposure_is_another_picture(photo: Path, brighter: float, shift_px: float) -> None:
    pixels = np.asarray(Image.open(photo).convert("RGB"))
    rows, columns = pixels.shape[:2]
    moved = cv2.warpAffine(
        pixels, np.array([[1, 0, shift_px], [0, 1, shift_px]]), (columns, rows), borderMode=cv2.BORDER_REPLICATE
    )
    noise = np.random.default_rng(3).normal(0, 3, pixels.shape)
    again = np.clip(moved * brighter + noise, 0, 255).astype(np.uint8)
    assert not same_picture(print_of(Image.fromarray(pixels)), print_of(saved(Image.fromarray(again), 90)))


def test_a_print_that_changed_is_another_picture() -> None:
    image = Image.open(PHOTOS[0]).convert("RGB")
    pixels = np.asarray(image).copy()
    rows, columns = pixels.shape[:2]
    spot = pixels[rows // 2 : rows // 2 + rows // 10, columns // 2 : columns // 2 + columns // 30]
    spot[:] = spot * 0.75
    assert not same_picture(print_of(image), print_of(Image.fromarray(pixels)))


def test_no_two_samples_are_the_same_picture() -> None:
    prints = [print_of(Image.open(photo).convert("RGB")) for photo in sorted(SAMPLES.glob("*.jpg"))]
    assert not [pair for pair in combinations(prints, 2) if same_picture(*pair)]


@pytest.mark.parametrize("cells", ["", "no base 64", "AAAA"])
def test_other_words_are_no_fingerprint(cells: str) -> None:
    with pytest.raises(ValueError, match="fingerprint"):
        Fingerprint("photo.jpg", 100, 100, cells)
