"""The contact against prints that an independent program computed for rendered photographs (rendered_pairs.json)."""

from __future__ import annotations

import numpy as np
import pytest

from patternscan.gearing.worm import Numbers
from tests.gearing.rendered_pairs import points_apart

pytestmark = pytest.mark.study


@pytest.fixture(scope="module")
def apart() -> Numbers:
    """Coverage, along and up (prints, 3), in points, without signs."""
    return np.abs(points_apart())


def test_there_are_enough_of_them(apart: Numbers) -> None:
    assert len(apart) == 34


def test_prints_lie_where_the_other_program_has_them(apart: Numbers) -> None:
    assert np.median(apart[:, 1]) < 1
    assert np.quantile(apart[:, 1], 0.9) < 3


def test_prints_are_as_high_on_the_tooth(apart: Numbers) -> None:
    assert np.median(apart[:, 2]) < 1.5
    assert np.quantile(apart[:, 2], 0.9) < 4


def test_prints_are_as_large(apart: Numbers) -> None:
    assert np.median(apart[:, 0]) < 2
    assert apart[:, 0].max() < 10
