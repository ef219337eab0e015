"""Colours as the eye tells them apart, held against published values and another library's."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.color import rgb2lab

from patternscan.seeing.image.lab import lab


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        ((255, 255, 255), (100.0, 0.0, 0.0)),
        ((0, 0, 0), (0.0, 0.0, 0.0)),
        ((255, 0, 0), (53.24, 80.09, 67.20)),
        ((0, 0, 255), (32.30, 79.19, -107.86)),
    ],
)
def test_known_colours_have_their_published_values(
    colour: tuple[int, int, int], expected: tuple[float, float, float]
) -> None:
    """Source: the sRGB primaries in CIE L*a*b*, D65, as colour tables print them."""
    assert lab(np.array(colour, dtype=np.uint8)) == pytest.approx(expected, abs=0.05)


def test_any_colours_are_as_another_library_has_them() -> None:
    colours = np.random.default_rng(3).integers(0, 256, (40, 50, 3), dtype=np.uint8)
    assert np.abs(lab(colours) - rgb2lab(colours)).max() < 0.05
