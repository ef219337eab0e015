"""The cross-entropy search on scores whose best place is known."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.seeing.outline_search.cross_entropy import CrossEntropy, Generation

Numbers = NDArray[np.float64]
BEST = np.array([0.7, -0.4])
FREE = np.array([[-np.inf, -np.inf], [np.inf, np.inf]])


def ridge(candidates: Numbers) -> Numbers:
    """A narrow ridge that runs aslant, highest at BEST."""
    off = candidates - BEST
    score: Numbers = -((off[:, 0] + off[:, 1]) ** 2) - 0.01 * (off[:, 0] - off[:, 1]) ** 2
    return score


def bowl(candidates: Numbers) -> Numbers:
    """The same without the slant."""
    score: Numbers = -((candidates - BEST) ** 2) @ np.array([1.0, 0.01])
    return score


def last_of(limits: Numbers, joint: bool, rounds: int = 12) -> Generation:
    search, rng = (
        CrossEntropy(ridge if joint else bowl, limits, 60, 12, 1.3, np.full(2, 1e-9), joint),
        np.random.default_rng(3),
    )
    generation = Generation.first(np.zeros(2), np.diag([0.5, 0.5]))
    for _ in range(rounds):
        generation = search.bred(generation, rng)
    return generation


@pytest.mark.parametrize("joint", [True, False])
def test_the_highest_place_is_found(joint: bool) -> None:
    found = last_of(FREE, joint)
    assert found.age == 12
    assert (np.diff(found.scores) <= 0).all()
    np.testing.assert_allclose(found.candidates[0], BEST, atol=0.05)


def test_joint_numbers_follow_the_ridge() -> None:
    root = last_of(FREE, joint=True, rounds=4).root
    covariance = root @ root.T
    assert covariance[0, 1] < -0.5 * np.sqrt(covariance[0, 0] * covariance[1, 1])


def test_limits_are_kept_and_reached() -> None:
    found = last_of(np.array([[-1.0, -1.0], [0.2, 1.0]]), joint=False)
    assert (found.candidates <= [0.2, 1.0]).all()
    assert found.candidates[0, 0] == pytest.approx(0.2)


def test_no_generation_is_worse_than_the_one_before() -> None:
    best = [last_of(FREE, True, rounds).scores[0] for rounds in range(1, 8)]
    assert best == sorted(best)
