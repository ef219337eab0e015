"""Windows on a photo, single flanks in the net's maps, and the patch laid through a flank's places."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.finder_net import (
    COMPOUND,
    CORNER_PX,
    CORNERS,
    MAPS,
    PART,
    PARTS,
    PLACE,
    SIZE_PX,
    STEP,
)
from patternscan.seeing.outline_search.seen_teeth import patch_points, seen_flanks
from patternscan.seeing.outline_search.window import Window

Floats = NDArray[np.float64]
CORNERS_OF_TWO = np.array(
    [[[60.0, 200.0], [220.0, 190.0], [230.0, 150.0], [55.0, 158.0]], [[70.0, 110.0], [230, 100], [240, 60], [65, 68]]]
)
"""Root left, root right, tip right, tip left."""


def bilinear(corners: Floats, places: Floats) -> Floats:
    along, up = places.T[:, :, None]
    low, high = corners[0] * (1 - along) + corners[1] * along, corners[3] * (1 - along) + corners[2] * along
    pixels: Floats = low * (1 - up) + high * up
    return pixels


def drawn_maps() -> NDArray[np.float32]:
    """What a perfect net would tell of two flanks, one above the other."""
    maps = np.zeros((MAPS, SIZE_PX // STEP, SIZE_PX // STEP), dtype=np.float32)
    maps[PART.start] = 5
    run = np.linspace(0, 1, 301)
    places = np.stack(np.meshgrid(run, run), axis=-1).reshape(-1, 2)
    for number, corners in enumerate(CORNERS_OF_TWO):
        exact = bilinear(corners, places)
        nearest_last = np.argsort(-np.linalg.norm(exact - STEP * np.rint(exact / STEP), axis=1))
        places, exact = places[nearest_last], exact[nearest_last]
        column, row = np.rint(exact / STEP).astype(int).T
        pixels = STEP * np.stack([column, row], axis=1)
        maps[PARTS.index("flank"), row, column] = 10
        maps[PLACE, row, column] = places.T
        maps[CORNERS, row, column] = (corners - pixels[:, None]).reshape(-1, 8).T / CORNER_PX
        maps[COMPOUND, row, column] = 4 if number == 0 else -4
    return maps


def test_two_flanks_are_told_apart_with_their_corners_and_which_carries_compound() -> None:
    flanks = seen_flanks(drawn_maps())
    assert len(flanks) == 2
    for flank, corners, compound in zip(flanks, CORNERS_OF_TWO, (True, False), strict=True):
        np.testing.assert_allclose(flank.corners, corners, atol=1e-3)
        assert (flank.compound > 0.5) is compound


def test_nothing_is_seen_in_maps_of_nothing() -> None:
    maps = drawn_maps()
    maps[PART.start] = 20
    assert seen_flanks(maps) == []


def test_the_patch_goes_through_the_places() -> None:
    flank = seen_flanks(drawn_maps())[0]
    places = np.random.default_rng(1).uniform(0, 1, (50, 2))
    np.testing.assert_allclose(patch_points(flank, places), bilinear(CORNERS_OF_TWO[0], places), atol=0.5)


def test_a_flank_seen_in_a_mirrored_picture_has_its_ends_changed_over() -> None:
    flank, places = seen_flanks(drawn_maps())[0].mirrored, np.random.default_rng(1).uniform(0, 1, (50, 2))
    np.testing.assert_allclose(flank.corners, CORNERS_OF_TWO[0][[1, 0, 3, 2]], atol=1e-3)
    shown = bilinear(CORNERS_OF_TWO[0], np.abs(places - [1, 0]))
    np.testing.assert_allclose(patch_points(flank, places), shown, atol=0.5)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("tip", list(PictureSide))
def test_a_window_shows_the_photo_with_the_tip_up_and_leads_back_to_it(tip: PictureSide, mirrored: bool) -> None:
    pixels = np.zeros((1500, 2000, 3), dtype=np.uint8)
    pixels[1000:1010, 600:610] = 255
    window = Window(700.0, 900.0, 640.0, tip, mirrored=mirrored)
    picture = window.picture(Photo("spot.png", pixels))
    spot = np.argwhere(picture[..., 0] > 200).mean(axis=0)[::-1]
    np.testing.assert_allclose(window.in_photo(spot), [604.5, 1004.5], atol=2)
    upward = window.in_photo(spot - np.array([0, 10])) - window.in_photo(spot)
    assert upward @ np.array(tip.vector) == pytest.approx(20)


def test_a_mirrored_window_shows_the_mirror_image() -> None:
    photo = Photo("noise.png", np.random.default_rng(1).integers(0, 256, (400, 500, 3), dtype=np.uint8))
    window = Window(200.0, 210.0, 300.0, PictureSide.LEFT)
    np.testing.assert_array_equal(replace(window, mirrored=True).picture(photo), window.picture(photo)[:, ::-1])


def test_a_window_beyond_the_photo_is_grey_there() -> None:
    photo = Photo("bright.png", np.full((100, 200, 3), 250, dtype=np.uint8))
    picture = Window.whole(photo, PictureSide.UP).picture(photo)
    assert (picture[0] == 128).all()
    assert (picture[SIZE_PX // 2] == 250).all()
