"""A number with its doubt keeps low <= value <= high whatever is done to it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patternscan.measuring.interval import Interval

numbers = st.floats(-100, 100, allow_nan=False)


@st.composite
def intervals(draw: st.DrawFn) -> Interval:
    low, value, high = sorted(draw(st.lists(numbers, min_size=3, max_size=3)))
    return Interval(value, low, high)


@pytest.mark.parametrize("wrong", [(0.5, 0.6, 0.7), (0.5, 0.2, 0.4), (0.5, 0.7, 0.3)])
def test_disorder_is_refused(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="low <= value <= high"):
        Interval(*wrong)


@pytest.mark.parametrize("odd", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("place", [0, 1, 2])
def test_only_finite_numbers(odd: float, place: int) -> None:
    three = [0.5, 0.5, 0.5]
    three[place] = odd
    with pytest.raises(ValueError, match="finite"):
        Interval(*three)


def test_around_is_symmetric() -> None:
    assert Interval.around(0.5, 0.25) == Interval(0.5, 0.25, 0.75)
    assert Interval.around(0.5, 0.0).width == 0.0
    with pytest.raises(ValueError, match="low <= value <= high"):
        Interval.around(0.5, -0.1)


def test_width_is_the_whole_and_half_width_its_half() -> None:
    lopsided = Interval(0.3, 0.25, 0.75)
    assert lopsided.width == 0.5
    assert lopsided.half_width == 0.25


def test_ends_belong_to_the_interval() -> None:
    interval = Interval(0.5, 0.25, 0.75)
    assert interval.holds(0.25)
    assert interval.holds(0.75)
    assert not interval.holds(0.75 + 1e-9)
    assert not interval.holds(0.25 - 1e-9)


@given(intervals(), numbers)
def test_shifting_keeps_the_doubt(interval: Interval, step: float) -> None:
    moved = interval.shifted(step)
    assert moved.value == interval.value + step
    assert moved.width == pytest.approx(interval.width, abs=1e-9)


@given(intervals(), numbers, numbers)
def test_clipping_brings_all_three_inside(interval: Interval, one: float, other: float) -> None:
    floor, ceiling = sorted((one, other))
    clipped = interval.clipped(floor, ceiling)
    assert floor <= clipped.low <= clipped.value <= clipped.high <= ceiling
    assert clipped.clipped(floor, ceiling) == clipped


@given(intervals())
def test_clipping_far_outside_changes_nothing(interval: Interval) -> None:
    assert interval.clipped(-1000, 1000) == interval


def test_a_further_doubt_widens_both_sides_and_keeps_the_value() -> None:
    # 3-4-5 triangle on one side, 5-12-13 on the other, scaled.
    wide = Interval(0.0, -3.0, 5.0).widened(4.0)
    assert (wide.value, wide.low) == (0.0, -5.0)
    assert wide.high == pytest.approx(math.hypot(5.0, 4.0))
    assert Interval(0.0, -3.0, 5.0).widened(0.0) == Interval(0.0, -3.0, 5.0)


def test_a_difference_takes_the_far_side_of_what_is_taken_off() -> None:
    # With one side sure: the low end of a difference comes from the high end of what is taken off.
    change = Interval(1.0, 1.0, 1.0).minus(Interval(0.4, 0.3, 0.6))
    assert (change.value, change.low, change.high) == pytest.approx((0.6, 0.4, 0.7))
