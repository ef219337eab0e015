"""Finding the outline in pictures of a wheel whose teeth are known."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.errors import NoTrustworthyOutline, UnreadablePhoto
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.closer_look import edge_places, found_flanks, look_again
from patternscan.seeing.outline_search.finder_net import all_tooth_maps, tooth_maps
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import SEARCHED_MEGAPIXELS, best_guess, find_outlines
from patternscan.seeing.outline_search.window import Window
from tests.seeing.wheel_pictures import filled, true_edges, wheel_picture

Floats = NDArray[np.float64]

SETTLED_PX = 0.1
"""The usual shape is laid on each flank anew, by steps that end this near."""
SAMPLES = Path(__file__).parents[2] / "sample_images"
PHOTOGRAPHS = Path(__file__).parents[1] / "benchmarks" / "photographs"
TIPWARD = 0.8
"""How the pictures look at the tooth, as a mechanic does: from above, so that flank and tip are seen."""
QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.LEFT: 1, PictureSide.DOWN: 2, PictureSide.RIGHT: 3}
"""Anticlockwise quarter turns that bring a tip from up to each side."""


def photo_with_tip(tip: PictureSide, blued: bool = True) -> Photo:
    upright = wheel_picture(TIPWARD, (0,) if blued else ())
    return Photo("drawn.png", np.rot90(upright, QUARTER_TURNS[tip]).copy())


@cache
def guessed(tip: PictureSide, flank: Flank) -> Outline:
    guess = best_guess(photo_with_tip(tip), flank, Hint(tip))
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


def test_a_mirrored_window_shows_the_same_flank_where_the_first_one_does() -> None:
    photo, places = load_photo(SAMPLES / "goods_lift_before_left.jpg"), edge_places(5)["tip"]
    found = found_flanks(photo, Window.whole(photo, PictureSide.RIGHT), 1)[0]
    again = look_again(photo, found)
    first, second = found.points(places), again.points(places)
    assert again.window.mirrored
    near_px = 0.05 * float(np.linalg.norm(first[-1] - first[0]))
    np.testing.assert_allclose(second, first, rtol=0, atol=near_px)


@pytest.mark.parametrize("tip", [PictureSide.DOWN, PictureSide.LEFT])
def test_a_tip_that_nobody_said_is_found_out(tip: PictureSide) -> None:
    guess = best_guess(photo_with_tip(tip), Flank.RIGHT)
    assert guess is not None
    assert overlap(guess, true_flank(tip)) > 0.85
    assert (guess.tip.mean(axis=0) - guess.root.mean(axis=0)) @ np.array(tip.vector) > 0


def test_pictures_that_are_looked_at_together_show_what_each_shows_alone() -> None:
    pictures = np.stack([np.rot90(wheel_picture()[:320, :320], turns) for turns in range(4)])
    alone = [tooth_maps(np.ascontiguousarray(picture)) for picture in pictures]
    np.testing.assert_allclose(all_tooth_maps(pictures), alone, atol=1e-3)


@pytest.mark.parametrize("said", [PictureSide.UP, PictureSide.LEFT, PictureSide.DOWN])
def test_a_wrong_tip_is_never_believed(said: PictureSide) -> None:
    photo = load_photo(SAMPLES / "goods_lift_before_left.jpg")
    with pytest.raises(NoTrustworthyOutline):
        find_outlines(photo, Flank.LEFT, Hint(said))


def test_tips_that_nobody_said_are_not_told_against_what_nobody_said() -> None:
    """Through the port this flank is seen now with its tip up and now with its tip down; it points to the right."""
    photo = load_photo(PHOTOGRAPHS / "port" / "p_dev005_single_P.jpg")
    with pytest.raises(NoTrustworthyOutline, match=r"not plain in .* where the tooth tips point"):
        find_outlines(photo, Flank.LEFT)
    with pytest.raises(NoTrustworthyOutline, match="seem to point up, not down"):
        find_outlines(photo, Flank.LEFT, Hint(PictureSide.DOWN))


def test_a_mirrored_photo_shows_the_other_flank_just_there() -> None:
    photo = load_photo(SAMPLES / "goods_lift_before_left.jpg")
    truth = read_outline_file(SAMPLES / "goods_lift_before_left.outline.json").outlines[0]
    mirrored = Photo("mirrored.png", photo.pixels[:, ::-1].copy())
    guesses = find_outlines(mirrored, Flank.RIGHT, Hint(PictureSide.LEFT))
    assert overlap(guesses[0], filled(truth.border, photo.held_px)[:, ::-1]) > 0.85
    assert (guesses[0].end_b.mean(axis=0) - guesses[0].end_a.mean(axis=0))[1] * (
        truth.end_b.mean(axis=0) - truth.end_a.mean(axis=0)
    )[1] > 0


def test_the_tooth_that_is_pointed_at_is_outlined_and_no_other() -> None:
    photo = photo_with_tip(PictureSide.UP)
    x, y = guessed(PictureSide.UP, Flank.RIGHT).border.mean(axis=0)
    (one,) = find_outlines(photo, Flank.RIGHT, Hint(PictureSide.UP, tooth_at=(x, y)))
    assert overlap(one, true_flank(PictureSide.UP)) > 0.85
    with pytest.raises(NoTrustworthyOutline):
        find_outlines(photo, Flank.RIGHT, Hint(PictureSide.UP, tooth_at=(5.0, 5.0)))


def test_a_large_photo_is_searched_smaller_and_the_outline_lies_in_its_own_pixels() -> None:
    small = photo_with_tip(PictureSide.UP)
    times = 4
    large = Photo("large.png", small.pixels.repeat(times, axis=0).repeat(times, axis=1))
    assert large.width_px * large.height_px > SEARCHED_MEGAPIXELS * 1e6
    (expected,) = find_outlines(small, Flank.RIGHT, Hint(PictureSide.UP))
    x, y = (expected.border.mean(axis=0) + 0.5) * times - 0.5
    for hint in (Hint(PictureSide.UP), Hint(PictureSide.UP, tooth_at=(x, y))):
        (found,) = find_outlines(large, Flank.RIGHT, hint)
        assert np.abs(found.border - expected.enlarged(times).border).max() < 0.02 * found.width_px


def test_a_photo_of_double_size_gives_the_outline_at_double_size() -> None:
    small = photo_with_tip(PictureSide.UP)
    large = Photo("large.png", np.repeat(np.repeat(small.pixels, 2, axis=0), 2, axis=1))
    one = guessed(PictureSide.UP, Flank.RIGHT)
    two = best_guess(large, Flank.RIGHT, Hint(PictureSide.UP))
    assert two is not None
    assert two.area_px / one.area_px == pytest.approx(4, rel=0.1)


def test_a_black_picture_is_called_black() -> None:
    with pytest.raises(UnreadablePhoto, match=r"empty\.png is black"):
        find_outlines(Photo("empty.png", np.zeros((480, 640, 3), np.uint8)), Flank.RIGHT, Hint(PictureSide.UP))


@pytest.mark.parametrize("grey", [128, 255])
def test_an_empty_picture_is_declined_with_a_remedy(grey: int) -> None:
    photo = Photo("empty.png", np.full((480, 640, 3), grey, dtype=np.uint8))
    assert best_guess(photo, Flank.RIGHT, Hint(PictureSide.UP)) is None
    with pytest.raises(NoTrustworthyOutline, match=r"empty\.png") as stop:
        find_outlines(photo, Flank.RIGHT, Hint(PictureSide.UP))
    assert "by hand" in stop.value.remedy


def test_a_wheel_without_compound_is_declined() -> None:
    with pytest.raises(NoTrustworthyOutline):
        find_outlines(photo_with_tip(PictureSide.UP, blued=False), Flank.RIGHT, Hint(PictureSide.UP))
