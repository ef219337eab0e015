"""Finding the outline in drawn pictures of a wheel whose teeth are known.

The drawing has its own geometry: plain curved bands with a throat, not the search's model of a worm wheel.
"""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.seeing import tooth_shape as shape
from patternscan.seeing.outline import Outline, OutlineSource, PictureSide
from patternscan.seeing.outline_search import best_guess, find_outlines
from patternscan.seeing.photo import Photo

Floats = NDArray[np.float64]

BLUED = 3
QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.LEFT: 1, PictureSide.DOWN: 2, PictureSide.RIGHT: 3}
"""Anticlockwise quarter turns that bring a tip from up to each side."""


def band(tooth: int, up: float) -> Floats:
    """A line along a tooth of the drawn wheel, tip up, from left to right: bent like the throat, flat near the ends."""
    along = np.linspace(-1, 1, 61)
    root_sag, tip_sag = 24 * (1 - along**2), 36 * np.maximum(0.44 - along**2, 0)
    y = 90 + 82 * tooth - 42 * up + (1 - up) * root_sag + up * tip_sag + 16 * along
    x = 330 + (100 + 3 * tooth) * along - 4 * up
    return np.stack([x, y], axis=1)


def painted(tooth: int, low: float, high: float, picture: NDArray[np.float32], colour: tuple[int, int, int]) -> None:
    border = np.vstack([band(tooth, low), band(tooth, high)[::-1]])
    cv2.fillPoly(picture, [np.rint(border).astype(np.int32)], colour)


def drawn_wheel(blued: bool = True) -> NDArray[np.uint8]:
    """Six teeth, tip up: dark root, bronze flank, bright land; a blue print on one flank."""
    picture = np.full((600, 660, 3), 70, dtype=np.float32)
    for tooth in range(6):
        painted(tooth, -0.4, 0.0, picture, (110, 74, 40))
        painted(tooth, 0.0, 1.0, picture, (176, 120, 66))
        painted(tooth, 1.0, 1.55, picture, (236, 200, 150))
        if blued and tooth == BLUED:
            root, tip = band(tooth, 0.15), band(tooth, 0.85)
            print_border = np.vstack([root[14:44], tip[14:44][::-1]])
            cv2.fillPoly(picture, [np.rint(print_border).astype(np.int32)], (40, 70, 160))
    grain = np.random.default_rng(5).normal(0, 2, picture.shape)
    return np.clip(cv2.GaussianBlur(picture, (0, 0), 0.8) + grain, 0, 255).astype(np.uint8)


def photo_with_tip(tip: PictureSide, blued: bool = True) -> Photo:
    return Photo("drawn.png", np.rot90(drawn_wheel(blued), QUARTER_TURNS[tip]).copy())


@cache
def guessed(tip: PictureSide, flank: Flank) -> Outline:
    guess = best_guess(photo_with_tip(tip), flank, tip)
    assert guess is not None
    return guess


def true_flank(tip: PictureSide) -> NDArray[np.bool_]:
    """Pixels of the blued flank in the turned picture."""
    upright = np.zeros((600, 660), dtype=np.uint8)
    border = np.vstack([band(BLUED, 0.0), band(BLUED, 1.0)[::-1]])
    cv2.fillPoly(upright, [np.rint(border).astype(np.int32)], 1)
    return np.rot90(upright, QUARTER_TURNS[tip]) > 0


def overlap(outline: Outline, truth: NDArray[np.bool_]) -> float:
    found = np.zeros(truth.shape, dtype=np.uint8)
    cv2.fillPoly(found, [np.rint(outline.border).astype(np.int32)], 1)
    return float(((found > 0) & truth).sum() / ((found > 0) | truth).sum())


@pytest.mark.parametrize("tip", list(PictureSide))
@pytest.mark.parametrize("flank", list(Flank))
def test_finds_the_blued_flank_whichever_way_the_tip_points(tip: PictureSide, flank: Flank) -> None:
    guess = guessed(tip, flank)
    assert guess.source is OutlineSource.FOUND
    assert overlap(guess, true_flank(tip)) > 0.6
    upward = guess.tip.mean(axis=0) - guess.root.mean(axis=0)
    assert upward @ np.array(tip.vector) > 0


@pytest.mark.parametrize(("flank", "sense"), [(Flank.RIGHT, 1), (Flank.LEFT, -1)])
def test_with_the_tip_up_the_right_flank_shows_end_a_on_the_left(flank: Flank, sense: int) -> None:
    guess = guessed(PictureSide.UP, flank)
    assert sense * (guess.end_b[:, 0].mean() - guess.end_a[:, 0].mean()) > 100


def test_naming_the_other_flank_swaps_the_ends_and_nothing_else() -> None:
    right, left = (guessed(PictureSide.UP, flank) for flank in (Flank.RIGHT, Flank.LEFT))
    np.testing.assert_allclose(right.root, left.root[::-1])
    np.testing.assert_allclose(right.end_a, left.end_b)


def test_in_a_mirrored_picture_the_ends_change_sides() -> None:
    photo = photo_with_tip(PictureSide.UP)
    mirrored = Photo("mirrored.png", photo.pixels[:, ::-1].copy())
    guess = guessed(PictureSide.UP, Flank.RIGHT)
    mirror_guess = best_guess(mirrored, Flank.RIGHT, PictureSide.UP)
    assert mirror_guess is not None
    assert overlap(mirror_guess, true_flank(PictureSide.UP)[:, ::-1]) > 0.6
    last_column = photo.width_px - 1
    reach = np.linalg.norm(guess.root[0] - guess.root[-1])
    assert np.linalg.norm(mirror_guess.root[0] - [last_column, 0] - guess.root[-1] * [-1, 1]) < 0.2 * reach


def test_a_photo_of_double_size_gives_the_outline_at_double_size() -> None:
    small = photo_with_tip(PictureSide.UP)
    large = Photo("large.png", np.repeat(np.repeat(small.pixels, 2, axis=0), 2, axis=1))
    one = guessed(PictureSide.UP, Flank.RIGHT)
    two = best_guess(large, Flank.RIGHT, PictureSide.UP)
    assert two is not None
    assert two.area_px / one.area_px == pytest.approx(4, rel=0.1)


@pytest.mark.parametrize("grey", [0, 128, 255])
def test_an_empty_picture_is_declined_with_a_remedy(grey: int) -> None:
    photo = Photo("empty.png", np.full((480, 640, 3), grey, dtype=np.uint8))
    assert best_guess(photo, Flank.RIGHT, PictureSide.UP) is None
    with pytest.raises(NoTrustworthyOutline, match=r"empty\.png") as stop:
        find_outlines(photo, Flank.RIGHT, PictureSide.UP)
    assert "by hand" in stop.value.remedy


def test_a_wheel_without_compound_is_declined() -> None:
    with pytest.raises(NoTrustworthyOutline):
        find_outlines(photo_with_tip(PictureSide.UP, blued=False), Flank.RIGHT, PictureSide.UP)


VIEW = np.array([[0.1, 0.9, 0.1, np.log(25.0), 320.0, 240.0, 20.0, 5.0, -1.0, 7.0, 0.2, 0.36]])


def test_the_pitch_point_is_seen_where_the_view_says() -> None:
    middle = shape.lengthwise_line(0.5, 0, 1, 3)[1:2]
    seen = shape.seen_points(VIEW, middle, 768.0)[0, 0]
    assert np.linalg.norm(seen - [320, 240]) < 0.03 * 768


def test_the_tip_is_seen_above_the_root_and_the_middle_of_the_root_below_its_ends() -> None:
    root, tip = (shape.seen_points(VIEW, shape.lengthwise_line(up, 0, 1, 9), 768.0)[0] for up in (0.0, 1.0))
    assert (tip[:, 1] < root[:, 1]).all()
    chord = (root[0] + root[-1]) / 2
    assert root[4, 1] > chord[1]


@pytest.mark.parametrize("tooth", [-1, 1])
def test_a_view_turned_to_the_next_tooth_shows_it_where_it_was(tooth: int) -> None:
    turned = shape.turned_to_tooth(VIEW[0], tooth, 768.0)
    was = shape.seen_points(VIEW, shape.flank_patch(tooth, 3, 5), 768.0)[0]
    now = shape.seen_points(turned[None], shape.flank_patch(0, 3, 5), 768.0)[0]
    width = np.linalg.norm(was[0] - was[4])
    assert np.abs(was - now).mean() < 0.06 * width
