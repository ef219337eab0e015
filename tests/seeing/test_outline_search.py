"""Finding the outline in pictures of a wheel whose teeth are known."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.errors import NoTrustworthyOutline, UnreadablePhoto
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.search import best_guess, find_outlines
from tests.seeing.wheel_pictures import filled, true_edges, wheel_picture

Floats = NDArray[np.float64]

SETTLED_PX = 0.1
"""The usual shape is laid on each flank anew, by steps that end this near."""
TIPWARD = 0.8
"""How the pictures look at the tooth, as a mechanic does: from above, so that flank and tip are seen."""
QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.LEFT: 1, PictureSide.DOWN: 2, PictureSide.RIGHT: 3}
"""Anticlockwise quarter turns that bring a tip from up to each side."""


def photo_with_tip(tip: PictureSide, blued: bool = True) -> Photo:
    upright = wheel_picture(TIPWARD, (0,) if blued else ())
    return Photo("drawn.png", np.rot90(upright, QUARTER_TURNS[tip]).copy())


@cache
def guessed(tip: PictureSide, flank: Flank) -> Outline:
    guess = best_guess(photo_with_tip(tip), flank, tip)
    assert guess is not None
    return guess


def true_flank(tip: PictureSide) -> NDArray[np.bool_]:
    """Pixels of the blued flank in the turned picture."""
    upright = filled(checked_outline(true_edges(TIPWARD), Flank.RIGHT).border)
    return np.rot90(upright, QUARTER_TURNS[tip])


def overlap(outline: Outline, truth: NDArray[np.bool_]) -> float:
    found = filled(outline.border, (truth.shape[1], truth.shape[0]))
    return float((found & truth).sum() / (found | truth).sum())


@pytest.mark.parametrize("tip", list(PictureSide))
@pytest.mark.parametrize("flank", list(Flank))
def test_finds_the_blued_flank_whichever_way_the_tip_points(tip: PictureSide, flank: Flank) -> None:
    guess = guessed(tip, flank)
    assert guess.source is OutlineSource.FOUND
    assert overlap(guess, true_flank(tip)) > 0.85
    upward = guess.tip.mean(axis=0) - guess.root.mean(axis=0)
    assert upward @ np.array(tip.vector) > 0


@pytest.mark.parametrize(("flank", "sense"), [(Flank.RIGHT, 1), (Flank.LEFT, -1)])
def test_with_the_tip_up_the_right_flank_shows_end_a_on_the_left(flank: Flank, sense: int) -> None:
    guess = guessed(PictureSide.UP, flank)
    assert sense * (guess.end_b[:, 0].mean() - guess.end_a[:, 0].mean()) > 100


def test_naming_the_other_flank_swaps_the_ends_and_nothing_else() -> None:
    right, left = (guessed(PictureSide.UP, flank) for flank in (Flank.RIGHT, Flank.LEFT))
    np.testing.assert_allclose(right.root, left.root[::-1], rtol=0, atol=SETTLED_PX)
    np.testing.assert_allclose(right.end_a, left.end_b, rtol=0, atol=SETTLED_PX)


def test_in_a_mirrored_picture_the_ends_change_sides() -> None:
    photo = photo_with_tip(PictureSide.UP)
    mirrored = Photo("mirrored.png", photo.pixels[:, ::-1].copy())
    guess = guessed(PictureSide.UP, Flank.RIGHT)
    mirror_guess = best_guess(mirrored, Flank.RIGHT, PictureSide.UP)
    assert mirror_guess is not None
    assert overlap(mirror_guess, true_flank(PictureSide.UP)[:, ::-1]) > 0.85
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


def test_a_black_picture_is_called_black() -> None:
    with pytest.raises(UnreadablePhoto, match=r"empty\.png is black"):
        find_outlines(Photo("empty.png", np.zeros((480, 640, 3), np.uint8)), Flank.RIGHT, PictureSide.UP)


@pytest.mark.parametrize("grey", [128, 255])
def test_an_empty_picture_is_declined_with_a_remedy(grey: int) -> None:
    photo = Photo("empty.png", np.full((480, 640, 3), grey, dtype=np.uint8))
    assert best_guess(photo, Flank.RIGHT, PictureSide.UP) is None
    with pytest.raises(NoTrustworthyOutline, match=r"empty\.png") as stop:
        find_outlines(photo, Flank.RIGHT, PictureSide.UP)
    assert "by hand" in stop.value.remedy


def test_a_wheel_without_compound_is_declined() -> None:
    with pytest.raises(NoTrustworthyOutline):
        find_outlines(photo_with_tip(PictureSide.UP, blued=False), Flank.RIGHT, PictureSide.UP)
