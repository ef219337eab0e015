"""Middles and parts of numbers against NumPy's own."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from patternscan.quantiles import median, medians, quantile

NUMBERS = st.floats(-1e6, 1e6, width=32)
ANY = arrays(np.float32, array_shapes(max_dims=3, max_side=9), elements=NUMBERS)


@given(ANY, st.floats(0, 1))
def test_a_part_lies_below_as_numpy_says(values: np.ndarray, share: float) -> None:
    assert quantile(values, share) == pytest.approx(np.quantile(values.astype(np.float64), share), abs=1e-6)
    assert median(values) == pytest.approx(np.median(values.astype(np.float64)), abs=1e-6)


@given(ANY, st.integers(0, 2))
def test_the_middle_along_an_axis_is_numpys(values: np.ndarray, axis: int) -> None:
    axis = min(axis, values.ndim - 1)
    middle = medians(values, axis)
    assert middle.dtype == np.float32
    np.testing.assert_allclose(middle, np.median(values, axis=axis), rtol=1e-6)


def test_codes_of_a_picture_do_not_run_over() -> None:
    assert median(np.array([200, 250], dtype=np.uint8)) == 225.0
    assert quantile(np.array([200, 250], dtype=np.uint8), 0.1) == pytest.approx(205.0)
