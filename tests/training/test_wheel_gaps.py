"""The gaps on which the contact net's training pictures stand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.contact import roll_pair
from patternscan.gearing.pair import Placement, WormPair
from patternscan.training.drawn import wheel_gaps

Stacks = dict[str, NDArray[Any]]
FLANKS = 6


@pytest.fixture(scope="module")
def gathered() -> Stacks:
    return wheel_gaps.gather(FLANKS, seed=3)


def test_gaps_are_whole_and_never_negative(gathered: Stacks) -> None:
    gap = gathered["gap"].astype(float)
    assert gap.shape == (FLANKS, 48, 96)
    assert np.isfinite(gap).all()
    assert gap.min() >= 0
    assert gap.max() <= wheel_gaps.LARGEST_UM


def test_every_flank_touches_somewhere(gathered: Stacks) -> None:
    # Rolled to first touch: some place of the flank must meet the worm, up to half a cell of the grid beside it.
    assert (gathered["gap"].min(axis=(1, 2)) < 5).all()


def test_left_and_right_flanks_come_in_turn(gathered: Stacks) -> None:
    assert gathered["flank"].tolist() == [0, 1] * (FLANKS // 2)


def test_points_and_normals_belong_to_the_flank(gathered: Stacks) -> None:
    points, normals = gathered["points"], gathered["normals"]
    assert points.shape == normals.shape == (FLANKS, 12, 24, 3)
    assert np.linalg.norm(normals, axis=-1) == pytest.approx(1, abs=1e-5)
    # In face widths the flank reaches from end A, half a face above the middle, to end B, less half a cell of 96.
    assert points[..., 0, 2] == pytest.approx(0.5 - 0.5 / 96, abs=1e-5)
    # The right flank faces -x and the left one +x (frame of gearing.pair).
    assert np.sign(normals[..., 0].mean(axis=(1, 2))).tolist() == [1, -1] * (FLANKS // 2)


def test_a_gap_is_what_the_gearing_computes() -> None:
    pair, placement = WormPair(5.0, 2, 40, 50.0, 40.0), Placement(wheel_toward_a_mm=0.2)
    rolled = roll_pair(pair, placement).left.gap_um
    kept = wheel_gaps.roll_flank(pair, Flank.LEFT, placement).gap_um
    near = rolled < 100
    assert kept[near] == pytest.approx(rolled[near], abs=0.05)
