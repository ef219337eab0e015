"""The picture of both flanks, tested by meaning: end A on the left for both, and the arrow toward the right end."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Flank
from patternscan.judging.advice import Move
from patternscan.judging.comparison import Target, compare_flanks
from patternscan.judging.findings import find_faults
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.reasons import finding
from patternscan.reporting.drawing.flat_flank import WIDTH_PX, Box
from patternscan.reporting.pictures.pair_picture import NO_SHIM, PLAN_PX, SIGNAL, arrow_ends, draw_pair, flank_boxes
from patternscan.reporting.text.findings import NOTES
from tests.reporting.builders import drawn_inspection, pooled, with_move, with_red_dot


@pytest.fixture(scope="module")
def judgement() -> Judgement:
    return drawn_inspection()


def is_signal(picture: Image.Image) -> NDArray[np.bool_]:
    """Pixels (rows, cols) in the arrow's colour."""
    return np.asarray((np.asarray(picture) == SIGNAL).all(axis=2))


def test_arrow_ends_point_to_the_named_end() -> None:
    toward_a, toward_b = (arrow_ends(move, (600.0, 300.0), 200.0) for move in (Move.TOWARD_A, Move.TOWARD_B))
    assert toward_a is not None
    assert toward_b is not None
    assert [point.tolist() for point in toward_a] == [[700.0, 300.0], [500.0, 300.0]]
    assert [point.tolist() for point in toward_b] == [[500.0, 300.0], [700.0, 300.0]]


@pytest.mark.parametrize("move", [Move.STAY, Move.CANNOT_SAY, Move.NOT_BY_SHIM])
def test_no_arrow_without_a_direction(judgement: Judgement, move: Move) -> None:
    assert arrow_ends(move, (600.0, 300.0), 200.0) is None
    assert not is_signal(draw_pair(with_move(judgement, move))).any()


def test_flanks_that_pull_apart_have_a_sign_of_their_own(judgement: Judgement) -> None:
    plan = np.asarray(draw_pair(with_move(judgement, Move.NOT_BY_SHIM)))[-PLAN_PX:].astype(int)
    arrows = np.asarray((np.abs(plan - NO_SHIM) < 6).all(axis=-1))
    left, right = arrows[:, : WIDTH_PX // 2], arrows[:, WIDTH_PX // 2 :]
    assert left.sum() > 1000
    assert np.abs(left - right[:, ::-1].astype(int)).mean() < 0.001


@pytest.mark.parametrize(("move", "side"), [(Move.TOWARD_A, "left"), (Move.TOWARD_B, "right")])
def test_the_drawn_arrow_has_its_broad_head_on_the_side_it_points_to(
    judgement: Judgement, move: Move, side: str
) -> None:
    plan = is_signal(draw_pair(with_move(judgement, move)))[-PLAN_PX:]
    tall_on_left = plan[:, : WIDTH_PX // 2].sum(axis=0).max()
    tall_on_right = plan[:, WIDTH_PX // 2 :].sum(axis=0).max()
    assert (tall_on_left > 1.5 * tall_on_right) if side == "left" else (tall_on_right > 1.5 * tall_on_left)


def red_dots(judgement: Judgement, along: float, up: float) -> list[tuple[float, float]]:
    """Where (x, y) the picture shows a red dot put at one place of every flank, from the top down."""
    marked = dataclasses.replace(
        judgement,
        left=tuple(with_red_dot(reading, along, up) for reading in judgement.left),
        right=tuple(with_red_dot(reading, along, up) for reading in judgement.right),
    )
    pixels = np.asarray(draw_pair(with_move(marked, Move.STAY))).astype(int)
    red = (pixels[..., 0] > 200) & (pixels[..., 1] < 60) & (pixels[..., 2] < 60)
    rows, columns = np.nonzero(red)
    gaps = np.flatnonzero(np.diff(rows) > 100) + 1
    parts = zip(np.split(rows, gaps), np.split(columns, gaps), strict=True)
    return [(float(x.mean()), float(y.mean())) for y, x in parts]


def test_a_red_dot_near_the_tip_at_end_a_comes_out_top_left_on_both_flanks(judgement: Judgement) -> None:
    high, low = red_dots(judgement, 0.1, 0.75), red_dots(judgement, 0.1, 0.25)
    height = flank_boxes(1, 0.0)[0].height
    assert len(high) == len(low) == 2
    for (x, y_high), (_, y_low) in zip(high, low, strict=True):
        assert x == pytest.approx(130 + 0.1 * (WIDTH_PX - 260), abs=15)
        assert y_low - y_high == pytest.approx(0.5 * height, abs=20)


def test_both_flanks_carry_a_on_the_left_and_b_on_the_right(judgement: Judgement) -> None:
    picture = draw_pair(with_move(judgement, Move.STAY))
    height = picture.height - PLAN_PX + 300
    for y in (*(y for _, y in red_dots(judgement, 0.1, 0.5)), float(height)):
        inset = 65 if y < height else 220
        on_left, on_right = (letter_ink(picture, x, y) for x in (inset, WIDTH_PX - inset))
        assert on_right > 1.3 * on_left > 0  # B has a stem in its upper left quarter, A has only a slant


def letter_ink(picture: Image.Image, x: float, y: float) -> float:
    """Dark share of the upper left quarter of a letter around (x, y)."""
    quarter = np.asarray(picture.crop((round(x - 28), round(y - 28), round(x), round(y))))
    return float((quarter < 80).all(axis=2).mean())


def test_box_puts_tip_on_top_and_end_a_on_the_left() -> None:
    box = Box(100.0, 50.0, 800.0, 400.0)
    points = box.at(np.array([[0.0, 1.0], [1.0, 0.0], [0.25, 0.5]]))
    assert points.tolist() == [[100.0, 50.0], [900.0, 450.0], [300.0, 250.0]]


def test_more_teeth_are_drawn_smaller_one_below_the_other() -> None:
    one, three = flank_boxes(1, 10.0), flank_boxes(3, 10.0)
    assert len(one) == 1
    assert len(three) == 3
    assert three[0].height < one[0].height
    assert all(three[k + 1].top > three[k].top + three[k].height for k in range(2))


def test_every_tooth_makes_the_picture_taller(judgement: Judgement) -> None:
    more = drawn_inspection((2, 1))
    assert draw_pair(more).height > draw_pair(judgement).height
    assert draw_pair(more).width == WIDTH_PX


@pytest.mark.parametrize("teeth", [(1, 0), (0, 1)])
def test_a_missing_flank_is_drawn_as_missing(teeth: tuple[int, int]) -> None:
    lacking = drawn_inspection(teeth)
    assert lacking.advice.move is Move.CANNOT_SAY
    picture = draw_pair(lacking)
    assert picture.size == draw_pair(drawn_inspection()).size
    assert not is_signal(picture).any()


def test_the_target_line_stands_where_the_sheet_puts_it(judgement: Judgement) -> None:
    def with_target(left: float) -> NDArray[np.uint8]:
        target = dataclasses.replace(judgement.comparison.target, left=left)
        comparison = dataclasses.replace(judgement.comparison, target=target)
        return np.asarray(draw_pair(dataclasses.replace(judgement, comparison=comparison)))

    changed = (with_target(0.2) != with_target(0.9)).any(axis=(0, 2))
    inner = WIDTH_PX - 260
    places = (np.flatnonzero(changed) - 130) / inner
    assert places.min() == pytest.approx(0.2, abs=0.03)
    assert places.max() == pytest.approx(0.9, abs=0.03)
    assert not changed[round(130 + 0.3 * inner) : round(130 + 0.8 * inner)].any()


def test_the_picture_holds_nothing_but_pixels(judgement: Judgement) -> None:
    picture = draw_pair(judgement)
    assert picture.mode == "RGB"
    assert picture.info == {}


def test_flanks_are_drawn_left_then_right() -> None:
    assert list(Flank) == [Flank.LEFT, Flank.RIGHT]


def test_a_finding_is_said_in_the_picture_too(judgement: Judgement) -> None:
    crossed = dataclasses.replace(
        judgement.advice, findings=(finding("crossed", left_end="A", right_end="B", share=0.2),)
    )
    with_line = draw_pair(dataclasses.replace(judgement, advice=crossed))
    assert with_line.height > draw_pair(judgement).height


def test_every_kind_of_finding_has_its_line() -> None:
    left, right = pooled(Flank.LEFT, 0.1), pooled(Flank.RIGHT, 0.9)
    line = dataclasses.replace(left, height=Interval.around(0.1, 0.05), spread=0.3, coverage=Interval(0.9, 0.8, 1.0))
    tip, root = (dataclasses.replace(line, up=Interval.around(up, 0.02)) for up in (0.95, 0.05))
    found = [
        told
        for one, other in (
            (tip, right),
            (root, right),
            (pooled(Flank.LEFT, 0.3), pooled(Flank.RIGHT, 0.52)),
            (pooled(Flank.LEFT, 0.4), pooled(Flank.RIGHT, 0.6)),
        )
        for told in find_faults(compare_flanks(one, other, Target()))
    ]
    assert {told.code for told in found} == set(NOTES)
