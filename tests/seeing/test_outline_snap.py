"""Roughly clicked outlines snapped onto the edges, in pictures of a known wheel and in drawn ones without a wheel."""

from __future__ import annotations

import numpy as np
import pytest

from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.geometry.edge_fit import EdgeFit
from patternscan.seeing.geometry.flank_shape import usual_shape
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.snapping import (
    CLEAR,
    FURTHEST,
    clearness,
    drawn_tight,
    farthest_move,
    look_round,
    snap_outline,
)
from tests.benchmarks.scenes import Split, clicked_outline, scenes
from tests.seeing.rough_outline import overlap_of, roughened
from tests.seeing.wheel_pictures import PAIR, SIZE, camera, true_edges, wheel_picture

TRUTH = checked_outline(true_edges(), Flank.RIGHT)
PHOTO = Photo("wheel.png", wheel_picture())


@pytest.mark.parametrize("pair", [None, PAIR], ids=["gear unknown", "gear known"])
@pytest.mark.parametrize("seed", range(3))
def test_a_rough_outline_comes_to_lie_on_the_edges(seed: int, pair: WormPair | None) -> None:
    rough = roughened(TRUTH, np.random.default_rng(seed))
    snapped, caution = snap_outline(PHOTO, rough, pair)
    before, after = overlap_of(rough, TRUTH, SIZE), overlap_of(snapped, TRUTH, SIZE)
    assert before < 0.95
    assert after > before + 0.01
    assert after > 0.94
    assert (snapped.flank, snapped.tooth, snapped.source) == (rough.flank, rough.tooth, rough.source)
    assert snapped.pulled
    assert caution.code == "outline-fitted"
    assert caution["share"] == farthest_move(rough, snapped)


@pytest.mark.parametrize("pair", [None, PAIR], ids=["gear unknown", "gear known"])
def test_a_true_outline_stays_where_it_is(pair: WormPair | None) -> None:
    snapped, _ = snap_outline(PHOTO, TRUTH, pair)
    assert overlap_of(snapped, TRUTH, SIZE) > 0.97
    assert farthest_move(TRUTH, snapped) < 0.01


def test_a_camera_that_is_known_leads_to_the_same_outline_as_one_that_is_sought() -> None:
    shape, moved = usual_shape(TRUTH.flank), roughened(TRUTH, np.random.default_rng(1))
    fit = EdgeFit(moved, shape, lens_of(PHOTO))
    numbers = fit.best(0.015)
    assert numbers is not None
    seen = checked_outline(fit.edges_seen(numbers), TRUTH.flank)
    known, sought = drawn_tight(PHOTO, seen, shape, numbers), drawn_tight(PHOTO, seen, shape)
    assert known is not None
    assert sought is not None
    assert overlap_of(known, sought, SIZE) > 0.99
    assert overlap_of(known, TRUTH, SIZE) > overlap_of(seen, TRUTH, SIZE)


@pytest.mark.parametrize(("pair", "least"), [(None, 0.92), (PAIR, 0.95)], ids=["gear unknown", "gear known"])
def test_corners_alone_are_enough(pair: WormPair | None, least: float) -> None:
    corners = corners_of(TRUTH)
    assert corners.corners_only
    assert not TRUTH.corners_only
    snapped, caution = snap_outline(PHOTO, corners, pair)
    assert overlap_of(corners, TRUTH, SIZE) < 0.9
    assert overlap_of(snapped, TRUTH, SIZE) > least
    assert caution.code == "outline-fitted"


def test_corners_without_edges_nearby_are_bent_as_usual() -> None:
    blank = Photo("blank.png", np.full((SIZE[1], SIZE[0], 3), 128, np.uint8))
    bent, caution = snap_outline(blank, corners_of(TRUTH), PAIR)
    assert caution.code == "outline-bent"
    assert overlap_of(bent, TRUTH, SIZE) > 0.95
    assert bent.border[0] == pytest.approx(TRUTH.border[0], abs=0.01 * TRUTH.width_px)


def corners_of(outline: Outline) -> Outline:
    return checked_outline({name: getattr(outline, name)[[0, -1]] for name in EDGE_NAMES}, outline.flank)


def test_tip_and_ends_are_clear_where_they_are_and_nowhere_else() -> None:
    around, reach = look_round(PHOTO, TRUTH), 0.03 * TRUTH.width_px
    inward = np.vstack([TRUTH.root, TRUTH.tip]).mean(axis=0) - TRUTH.tip.mean(axis=0)
    for name in ("tip", "end_a", "end_b"):
        assert clearness(getattr(TRUTH, name), reach, around) > 2 * CLEAR
    assert clearness(TRUTH.tip + inward, reach, around) < CLEAR


@pytest.mark.parametrize("pair", [None, PAIR], ids=["gear unknown", "gear known"])
def test_without_edges_nearby_the_given_outline_is_kept(pair: WormPair | None) -> None:
    grain = np.random.default_rng(5).normal(128, 6, (SIZE[1], SIZE[0], 3))
    blank = Photo("blank.png", np.clip(grain, 0, 255).astype(np.uint8))
    for photo, given in ((blank, TRUTH), (PHOTO, moved(TRUTH, 0.15))):
        kept, caution = snap_outline(photo, given, pair)
        assert kept is given
        assert caution.code == "outline-not-fitted"


def test_an_outline_that_is_no_flank_is_kept() -> None:
    """A hand's width of square: no throated flank looks like that from anywhere."""
    square = np.array([[100, 400], [400, 400], [400, 100], [100, 100]], dtype=float)
    edges = {"root": square[:2], "tip": square[[3, 2]], "end_a": square[[0, 3]], "end_b": square[[1, 2]]}
    given = checked_outline(edges, Flank.RIGHT)
    assert snap_outline(PHOTO, given, PAIR)[0] is given


def test_no_point_is_moved_further_than_a_rough_click_can_be_off() -> None:
    for seed in range(3):
        rough = roughened(TRUTH, np.random.default_rng(seed), corner=0.06)
        assert farthest_move(rough, snap_outline(PHOTO, rough, None)[0]) <= FURTHEST


def test_an_outline_that_leaves_the_photo_does_no_harm() -> None:
    beyond = moved(TRUTH, 3.0)
    assert snap_outline(PHOTO, beyond, PAIR)[0] is beyond


def moved(outline: Outline, share: float) -> Outline:
    step = share * outline.width_px * np.array([0.6, 0.8])
    return checked_outline({name: getattr(outline, name) + step for name in EDGE_NAMES}, outline.flank)


def test_the_wheel_is_seen_whole() -> None:
    """The truth these tests rest on: the flank drawn by ``wheel_picture`` lies inside the picture."""
    assert camera().focal_px > 0
    assert (TRUTH.border > 5).all()
    assert (np.array(SIZE) - TRUTH.border > 5).all()


@pytest.mark.parametrize(("split", "name"), [("rims", "s_dev008_single_M"), ("dev", "dev012_single_M")])
def test_the_tip_tells_a_straight_rim_from_a_throated_one(split: Split, name: str) -> None:
    """Corners with the middle of the root edge, on a rendered wheel of either rim."""
    (scene,) = (one for one in scenes(split) if one.name == name)
    true = checked_outline(scene.truth["outline"], Flank(scene.truth["flank"]))
    clicks = {"root": 3, "tip": 2, "end_a": 2, "end_b": 2}
    photo = load_photo(scene.photo)
    snapped, _ = snap_outline(photo, checked_outline(clicked_outline(scene, clicks)["flanks"][0], true.flank), None)
    assert overlap_of(snapped, true, (photo.width_px, photo.height_px)) > 0.965
