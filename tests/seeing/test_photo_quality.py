"""The photo judges itself: a good one draws no caution, each fault draws its own, and says what to do."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import Flank
from patternscan.seeing.geometry.mapping import map_outline
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.geometry.placed_flank import placed_by
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS, RectifiedFlank
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.quality.light import light_of
from patternscan.seeing.quality.photo_quality import judge_condition, judge_light, measure_blur

Pixels = NDArray[np.uint8]
SQUARE = ((120, 420), (720, 420), (720, 280), (120, 280))
"""root_A, root_B, tip_B, tip_A of a right flank that is 600 by 140 px, in a photo of 900 by 640."""


def outline_through(corners: tuple[tuple[float, float], ...]) -> Outline:
    root_a, root_b, tip_b, tip_a = corners
    edges = {"root": [root_a, root_b], "tip": [tip_a, tip_b], "end_a": [root_a, tip_a], "end_b": [root_b, tip_b]}
    return checked_outline(edges, Flank.RIGHT)


def photographed(corners: tuple[tuple[float, float], ...] = SQUARE) -> Pixels:
    """A bronze flank with hob marks and a blue print on a grey ground, with a little grain, in good light."""
    rng = np.random.default_rng(5)
    picture = np.full((640, 900, 3), 90.0)
    quad = np.array(corners)
    cv2.fillPoly(picture, [quad.round().astype(np.int32)], (176, 128, 78))
    middle = quad.mean(axis=0)
    cv2.fillPoly(picture, [(middle + 0.4 * (quad - middle)).round().astype(np.int32)], (34, 70, 150))
    picture += rng.normal(0, 5, (640, 1, 1))
    soft = cv2.GaussianBlur(picture, (0, 0), 0.8) + rng.normal(0, 2, picture.shape)
    return np.asarray(np.clip(soft, 0, 255), dtype=np.uint8)


def cautions(pixels: Pixels, corners: tuple[tuple[float, float], ...] = SQUARE) -> dict[str, Caution]:
    photo, outline = Photo("drawn.png", pixels.copy()), outline_through(corners)
    placed = placed_by(photo, outline, map_outline(outline))
    found = (*judge_condition(placed), *judge_light(light_of(placed.rectified)))
    return {caution.code: caution for caution in found}


def blurred(pixels: Pixels, sigma_px: float) -> Pixels:
    rng = np.random.default_rng(6)
    soft = cv2.GaussianBlur(pixels, (0, 0), sigma_px) + rng.normal(0, 2, pixels.shape)
    return np.asarray(np.clip(soft, 0, 255), dtype=np.uint8)


def test_good_photo_draws_no_caution() -> None:
    assert cautions(photographed()) == {}


def test_turned_photo_is_as_good() -> None:
    turned = np.rot90(photographed(), -1).copy()
    corners = tuple((640 - 1 - y, x) for x, y in SQUARE)
    assert cautions(turned, corners) == {}


@pytest.mark.parametrize("share", [0.04, 0.08, 0.15])
def test_blur_is_measured(share: float) -> None:
    """A known blur, as a fraction of the flank height of 140 px, within a third."""
    photo = Photo("drawn.png", blurred(photographed(), share * 140))
    outline = outline_through(SQUARE)
    assert measure_blur(placed_by(photo, outline, map_outline(outline))) == pytest.approx(share, rel=0.35)


def test_blurred_photo() -> None:
    slight, strong = cautions(blurred(photographed(), 17)), cautions(blurred(photographed(), 60))
    assert not slight["blurred"].grave
    assert strong["too-blurred"].grave
    assert not {"blurred", "too-blurred"} & set(cautions(blurred(photographed(), 2)))


def test_featureless_flank_is_not_called_blurred() -> None:
    assert not {"blurred", "too-blurred"} & set(cautions(np.full((640, 900, 3), 128, dtype=np.uint8)))


def test_overexposed_photo() -> None:
    bright = np.clip(photographed().astype(float) * [1.6, 1.2, 1.2], 0, 255).astype(np.uint8)
    assert not cautions(bright)["too-bright"].grave


@pytest.mark.parametrize(("radius", "code"), [(25, "glare"), (300, "much-glare")])
def test_lamp_reflected(radius: int, code: str) -> None:
    shining = cv2.circle(photographed(), (300, 350), radius, (255, 255, 252), -1)
    found = cautions(np.asarray(shining, dtype=np.uint8))
    assert {"glare", "much-glare"} & set(found) == {code}


@pytest.mark.parametrize(("unread", "codes"), [(0.03, []), (0.06, ["glare"]), (0.3, ["much-glare"])])
def test_glare_that_is_not_burnt_out_is_told_by_what_it_hides(unread: float, codes: list[str]) -> None:
    pixels = np.full((FLAT_ROWS, FLAT_COLUMNS, 3), 150, dtype=np.uint8)
    seen = np.ones((FLAT_ROWS, FLAT_COLUMNS), dtype=np.bool_)
    judged = np.arange(FLAT_COLUMNS) >= unread * FLAT_COLUMNS
    light = light_of(RectifiedFlank(pixels, seen, 600.0, 140.0))
    found = judge_light(replace(light, judged=np.broadcast_to(judged, seen.shape)))
    assert [caution.code for caution in found] == codes
    assert all(caution["share"] == pytest.approx(unread, abs=0.01) for caution in found)


@pytest.mark.parametrize(("light", "code"), [(0.25, "too-dark"), (0.05, "far-too-dark")])
def test_dark_photo(light: float, code: str) -> None:
    found = cautions((photographed() * light).astype(np.uint8))
    assert {"too-dark", "far-too-dark"} & set(found) == {code}


@pytest.mark.parametrize(
    ("corners", "code", "size"),
    [
        (((120, 400), (270, 400), (270, 362), (120, 362)), "small", (150, 38)),
        (((120, 400), (165, 400), (165, 390), (120, 390)), "too-small", (45, 10)),
    ],
)
def test_small_flank(corners: tuple[tuple[float, float], ...], code: str, size: tuple[int, int]) -> None:
    small = cautions(photographed(corners), corners)[code]
    assert (small["width_px"], small["height_px"]) == size


@pytest.mark.parametrize(
    ("corners", "code"),
    [
        (((60, 420), (840, 420), (840, 320), (60, 320)), "oblique"),
        (((60, 420), (860, 420), (860, 375), (60, 375)), "too-oblique"),
        (((120, 450), (720, 360), (720, 300), (120, 250)), "oblique"),
    ],
    ids=["flat", "very flat", "one end far away"],
)
def test_oblique_view(corners: tuple[tuple[float, float], ...], code: str) -> None:
    assert {"oblique", "too-oblique"} & set(cautions(photographed(corners), corners)) == {code}


@pytest.mark.parametrize(("shift", "code"), [(-180, "cut-off"), (-480, "much-cut-off")])
def test_flank_beyond_the_border(shift: int, code: str) -> None:
    corners = tuple((x + shift, y) for x, y in SQUARE)
    assert {"cut-off", "much-cut-off"} & set(cautions(photographed(corners), corners)) == {code}


def test_flank_outlined_only_up_to_the_border() -> None:
    """Who outlines a flank that is cut off can only follow the border of the photo."""
    corners = ((0, 420), (600, 420), (600, 280), (0, 280))
    assert "cut-off" in cautions(photographed(corners), corners)
    touching = ((0, 420), (600, 420), (600, 280), (30, 280))
    assert "cut-off" not in cautions(photographed(touching), touching)


def test_flank_outside_the_photo_is_grave_and_nothing_breaks() -> None:
    corners = tuple((x + 2000, y) for x, y in SQUARE)
    assert cautions(photographed(), corners)["much-cut-off"]["share"] == 1.0
