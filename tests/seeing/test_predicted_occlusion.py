"""What is hidden on a flank, beside rays traced from its points to the camera through dense grids of both teeth."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand
from patternscan.gearing.wheel_flank import cut_flank
from patternscan.seeing.geometry.mapping import PosedFlank, map_flank, map_outline, pose_flank
from patternscan.seeing.geometry.outline import Outline, OutlineSource, checked_outline, resampled
from patternscan.seeing.geometry.predicted_occlusion import predict_occlusion
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS
from tests.seeing.test_pose import LENS, PAIRS, Shot

Array = NDArray[np.float64]
ROWS, COLUMNS = 24, 48
"""Places that rays are traced from."""
POINTS_AT_ONCE = 16
"""So many rays are held against all triangles at once: their numbers stay near the processor."""

LOW = Shot(PAIRS[0], Flank.RIGHT, tilt=0.25, aside=0.3, away=6.0)
"""From low down and from end A's side, so that the next tooth stands before part of the flank."""
HIGH = replace(LOW, tilt=0.9, aside=0.1)


@cache
def posed(shot: Shot) -> PosedFlank:
    found = pose_flank(shot.outline(), shot.pair, LENS)
    assert found is not None
    return found


def coarse(cells: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """A mask of the rectified flank on the grid of the rays: a block counts when most of it does."""
    blocks = cells[: FLAT_ROWS // ROWS * ROWS, : FLAT_COLUMNS // COLUMNS * COLUMNS]
    shape = (ROWS, len(blocks) // ROWS, COLUMNS, blocks.shape[1] // COLUMNS)
    return np.asarray(blocks.reshape(shape).mean(axis=(1, 3)) > 0.5)


def stopped(points: Array, eye: Array, surface: Array) -> NDArray[np.bool_]:
    """Which of the straight ways from points (n, 3) to the eye go through a surface (rows, columns, 3).

    Source: T. Moeller, B. Trumbore, Fast, Minimum Storage Ray/Triangle Intersection, 1997 (from memory); their
    triple products turned round so that points and triangles meet in products of matrices.
    """
    a, b, c, d = surface[:-1, :-1], surface[:-1, 1:], surface[1:, 1:], surface[1:, :-1]
    corners = np.concatenate([np.stack([a, b, c], -2).reshape(-1, 3, 3), np.stack([a, c, d], -2).reshape(-1, 3, 3)])
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    normal = np.cross(first, second)
    aside, ahead = np.cross(second, corners[:, 0]).T, np.cross(first, corners[:, 0]).T
    level = (corners[:, 0] * normal).sum(axis=1)
    hit = []
    for some in np.array_split(points, math.ceil(len(points) / POINTS_AT_ONCE)):
        way = eye - some
        arm = np.cross(some, way)
        scale = -way @ normal.T
        scale[np.abs(scale) < 1e-12] = np.inf
        u, v = (arm @ second.T - way @ aside) / scale, (way @ ahead - arm @ first.T) / scale
        t = (some @ normal.T - level) / scale
        hit.append(((u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-6) & (t < 1)).any(axis=1))
    return np.concatenate(hit)


def traced(shot: Shot) -> NDArray[np.bool_]:
    """Hidden places (ROWS, COLUMNS), by rays that the faces and the land of the tooth in front stop."""
    step = -1 if shot.flank is Flank.RIGHT else 1
    near = cut_flank(shot.pair, next(side for side in Flank if side is not shot.flank), 96, 192).points()
    rear = cut_flank(shot.pair, shot.flank, 96, 192).points(step)
    share = np.linspace(0, 1, 9)[:, None, None]
    sides = [(near[0], rear[0]), (near[:, 0], rear[:, 0]), (near[:, -1], rear[:, -1])]
    surfaces = [near, rear, *(first * (1 - share) + last * share for first, last in sides)]
    points = cut_flank(shot.pair, shot.flank, ROWS, COLUMNS).points().reshape(-1, 3)
    stops = [stopped(points, shot.eye, surface[:: 4 if len(surface) > 20 else 1, ::4]) for surface in surfaces]
    return np.asarray(np.any(stops, axis=0)).reshape(ROWS, COLUMNS)


@pytest.mark.parametrize("hand", list(Hand))
@pytest.mark.parametrize("flank", list(Flank))
def test_the_next_tooth_hides_what_rays_say(flank: Flank, hand: Hand) -> None:
    shot = replace(LOW, flank=flank, pair=replace(LOW.pair, hand=hand))
    cells, cautions = predict_occlusion(posed(shot), shot.outline())
    truth = traced(shot)
    assert 0.03 < truth.mean() < 0.6
    assert (coarse(cells) != truth).mean() < 0.04
    assert [caution.code for caution in cautions] == ["behind-next-tooth"]


def test_from_high_up_nothing_is_hidden() -> None:
    assert not traced(HIGH).any()
    cells, cautions = predict_occlusion(posed(HIGH), HIGH.outline())
    assert not cells.any()
    assert cautions == ()


def test_the_share_is_told() -> None:
    _, (caution,) = predict_occlusion(posed(LOW), LOW.outline())
    assert caution.code == "behind-next-tooth"
    assert caution["share"] == pytest.approx(traced(LOW).mean(), abs=0.04)


def test_a_doubtful_pose_hides_nothing_behind_a_tooth() -> None:
    pose = posed(LOW).pose
    doubtful = replace(posed(LOW), pose=replace(pose, fit=replace(pose.fit, rms=0.02)))
    cells, cautions = predict_occlusion(doubtful, LOW.outline())
    assert cells.mean() < 0.005  # where nine points cut across the corners of the tip edge
    assert cautions == ()


def test_nothing_is_known_of_a_tooth_beside_an_unknown_one() -> None:
    unknown = pose_flank(LOW.outline(), None, LENS)
    assert unknown is not None
    for flank_map in (unknown, map_outline(LOW.outline())):
        assert not predict_occlusion(flank_map, LOW.outline())[0].any()


def drawn_round(shot: Shot) -> Outline:
    """The outline drawn along the edge of an inspection port that covers the corner of tip and end A."""
    edges = shot.edges()
    tip, end = resampled(edges["tip"], np.linspace(0.3, 1, 9)), resampled(edges["end_a"], np.linspace(0, 0.5, 3))
    return checked_outline({**edges, "tip": tip, "end_a": np.vstack([end, tip[0]])}, shot.flank)


def test_what_a_person_left_out_is_not_judged() -> None:
    outline = drawn_round(HIGH)
    flank_map, _ = map_flank(outline, HIGH.pair, LENS)
    cells, cautions = predict_occlusion(flank_map, outline)
    along, up = (np.arange(FLAT_COLUMNS) + 0.5) / FLAT_COLUMNS, 1 - (np.arange(FLAT_ROWS) + 0.5) / FLAT_ROWS
    beyond = along / 0.3 + (1 - up)[:, None] / 0.5 < 1
    assert cells[along[None, :] / 0.3 + (1 - up)[:, None] / 0.5 < 0.5].mean() > 0.9
    assert cells[~beyond].mean() < 0.005
    assert [caution.code for caution in cautions] == ["left-out"]


@pytest.mark.parametrize("origin", [{"source": OutlineSource.FOUND}, {"pulled": True}])
def test_only_a_person_leaves_out(origin: dict[str, Any]) -> None:
    flank_map, _ = map_flank(drawn_round(HIGH), HIGH.pair, LENS)
    assert not predict_occlusion(flank_map, replace(drawn_round(HIGH), **origin))[0].any()


def test_corners_alone_leave_nothing_out() -> None:
    """A person who marks corners only draws the curved edges straight; that hides nothing."""
    corners = checked_outline({name: edge[[0, -1]] for name, edge in HIGH.edges().items()}, HIGH.flank)
    flank_map, _ = map_flank(corners, HIGH.pair, LENS)
    assert not predict_occlusion(flank_map, corners)[0].any()


def test_the_back_of_a_bent_flank_is_turned_away() -> None:
    """A grid that folds over: beyond its fold the same pixels are seen from behind."""
    seen = posed(HIGH).seen_px.copy()
    fold = seen.shape[1] * 3 // 4
    seen[:, fold:] = 2 * seen[:, fold : fold + 1] - seen[:, fold:]
    cells, cautions = predict_occlusion(replace(posed(HIGH), seen_px=seen), HIGH.outline())
    assert cells[:, int(0.77 * FLAT_COLUMNS) :].all()
    assert not cells[:, : int(0.73 * FLAT_COLUMNS)].any()
    assert [caution.code for caution in cautions] == ["turned-away"]
