"""What a closed border encloses."""

from __future__ import annotations

import numpy as np

from patternscan.seeing.geometry.crossing import enclosed

HORSESHOE = np.array([[0, 0], [9, 0], [9, 9], [6, 9], [6, 3], [3, 3], [3, 9], [0, 9]], dtype=np.float64)


def test_the_gap_of_a_horseshoe_is_outside() -> None:
    inside, outside = [(1, 8), (8, 8), (4.5, 1)], [(4.5, 8), (-1, 1), (10, 1), (1, 10), (4.5, -1)]
    assert enclosed(HORSESHOE, np.array(inside, dtype=float)).all()
    assert not enclosed(HORSESHOE, np.array(outside)).any()


def test_it_is_the_same_whichever_way_the_border_runs_and_wherever_it_begins() -> None:
    points = np.random.default_rng(5).uniform(-2, 11, (400, 2))
    found = enclosed(HORSESHOE, points)
    assert 0 < found.sum() < len(points)
    for border in (HORSESHOE[::-1], np.roll(HORSESHOE, 3, axis=0)):
        assert (enclosed(border, points) == found).all()


def test_half_of_the_points_under_a_slant_are_enclosed() -> None:
    x, y = np.meshgrid((np.arange(50) + 0.5) / 50, (np.arange(40) + 0.5) / 40)
    triangle = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    found = enclosed(triangle, np.stack([x.ravel(), y.ravel()], axis=1))
    assert (found == (x + y < 1).ravel()).all()
