"""Smoothing that keeps to the borders of colour, beside ordinary least squares done window by window."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.seeing.segmentation.film import FlankColours
from patternscan.seeing.segmentation.guided_filter import guided_filter, keep_to_colours

ROWS, COLUMNS = 24, 40


def window_by_window(
    guide: np.ndarray, values: np.ndarray, weight: np.ndarray, radius: int, least_variance: float
) -> np.ndarray:
    """The same by NumPy's solver: a ridge regression in every window, its constant free, then the mean of them all."""
    pad = [(radius, radius), (radius, radius)]
    guide = np.pad(guide.astype(float), [*pad, (0, 0)], mode="symmetric")
    values, weight = (np.pad(one.astype(float), pad, mode="symmetric") for one in (values, weight))
    found = np.zeros((*values.shape, 4))
    inner = [(row, col) for row in range(radius, radius + ROWS) for col in range(radius, radius + COLUMNS)]
    for row, col in inner:
        window = np.s_[row - radius : row + radius + 1, col - radius : col + radius + 1]
        colours, told, there = guide[window].reshape(-1, 3), values[window].ravel(), weight[window].ravel()
        share = there / (there.sum() + 1e-6)
        middle, level = share @ colours, share @ told
        spread = (colours - middle).T @ ((colours - middle) * share[:, None])
        slopes = np.linalg.solve(spread + least_variance * np.eye(3), (colours - middle).T @ (share * (told - level)))
        found[row, col] = [*slopes, level - slopes @ middle]
    core = np.s_[radius : radius + ROWS, radius : radius + COLUMNS]
    found = np.pad(found[core], [*pad, (0, 0)], mode="symmetric")
    smooth = np.zeros((ROWS, COLUMNS))
    for row, col in inner:
        window = np.s_[row - radius : row + radius + 1, col - radius : col + radius + 1]
        *slopes, constant = weight[window].ravel() @ found[window].reshape(-1, 4) / (weight[window].sum() + 1e-6)
        smooth[row - radius, col - radius] = np.dot(slopes, guide[row, col]) + constant
    return smooth


@pytest.mark.parametrize("radius", [1, 4])
@pytest.mark.parametrize("holes", [0.0, 0.3])
def test_every_window_is_a_least_squares_fit(radius: int, holes: float) -> None:
    chance = np.random.default_rng(radius)
    guide = chance.normal(0, 1, (ROWS, COLUMNS, 3)).astype(np.float32)
    values = chance.random((ROWS, COLUMNS)).astype(np.float32)
    weight = (chance.random((ROWS, COLUMNS)) >= holes).astype(np.float32)
    fitted = window_by_window(guide, values, weight, radius, 0.02)
    smooth = guided_filter(list(guide.transpose(2, 0, 1)), values, weight, radius, 0.02)
    assert smooth == pytest.approx(fitted, abs=2e-3)


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 1), st.integers(0, 1000))
def test_one_value_everywhere_stays(value: float, seed: int) -> None:
    guide = np.random.default_rng(seed).normal(0, 1, (3, ROWS, COLUMNS)).astype(np.float32)
    flat = np.full((ROWS, COLUMNS), value, dtype=np.float32)
    assert guided_filter(list(guide), flat, np.ones_like(flat)) == pytest.approx(flat, abs=1e-3)


def colours(border: int, readable: np.ndarray | None = None) -> FlankColours:
    """A flank whose colour changes at this column."""
    right = np.broadcast_to(np.arange(COLUMNS) >= border, (ROWS, COLUMNS)).astype(np.float32)
    seen = np.ones((ROWS, COLUMNS), dtype=bool) if readable is None else readable
    return FlankColours(right, -right, 0.3 + 0.2 * right, seen)


@pytest.mark.parametrize("off", [-3, 3])
def test_a_border_a_little_off_is_drawn_to_that_of_the_colours(off: int) -> None:
    told = np.broadcast_to(np.arange(COLUMNS) >= 20 + off, (ROWS, COLUMNS)).astype(np.float32)
    contact = keep_to_colours(told, colours(20)) > 0.5
    assert np.array_equal(contact, np.broadcast_to(np.arange(COLUMNS) >= 20, (ROWS, COLUMNS)))


def test_without_a_border_of_colour_the_contact_keeps_its_own() -> None:
    told = np.broadcast_to(np.arange(COLUMNS) >= 20, (ROWS, COLUMNS)).astype(np.float32)
    assert np.array_equal(keep_to_colours(told, colours(COLUMNS)) > 0.5, told > 0.5)


def test_what_cannot_be_read_says_nothing_and_stays_as_it_was() -> None:
    chance = np.random.default_rng(5)
    told = chance.random((ROWS, COLUMNS)).astype(np.float32)
    readable = chance.random((ROWS, COLUMNS)) < 0.7
    other = np.where(readable, told, 1 - told)
    one, two = (keep_to_colours(grid, colours(20, readable)) for grid in (told, other))
    assert np.array_equal(one[~readable], told[~readable])
    assert np.array_equal(one[readable], two[readable])
    dark = colours(20, np.zeros((ROWS, COLUMNS), dtype=bool))
    assert np.array_equal(keep_to_colours(told, dark), told)
