"""Shared and opposed shift: worked cases with numbers written out by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.frame import Flank
from patternscan.judging.comparison import Comparison, Target, compare_flanks, pool_teeth
from patternscan.measuring.interval import Interval
from patternscan.measuring.measurement import Measurement

CENTRE = Target()


def tooth(along: float, doubt: float = 0.02) -> Measurement:
    up, length, height = (Interval.around(size, 0.05) for size in (0.5, 0.4, 0.7))
    return Measurement(Interval(0.3, 0.25, 0.35), Interval.around(along, doubt), up, length, height, 1.0)


def bare() -> Measurement:
    nothing = Interval(0.0, 0.0, 0.0)
    return Measurement(nothing, None, None, nothing, nothing, 1.0)


def pair(left: float, right: float, doubt: float = 0.02) -> Comparison:
    return compare_flanks(
        pool_teeth(Flank.LEFT, [[tooth(left, doubt)]]), pool_teeth(Flank.RIGHT, [[tooth(right, doubt)]]), CENTRE
    )


@pytest.mark.parametrize(
    ("left", "right", "shared", "opposed"),
    [
        # Worked cases of side-shim logic, own arithmetic: percent toward end A there, so +20 toward A is along 0.30.
        (0.30, 0.34, -0.18, -0.02),  # (+20, +16): common 18 toward A
        (0.70, 0.66, 0.18, 0.02),  # (-20, -16): common 18 toward B
        (0.30, 0.68, -0.01, -0.19),  # (+20, -18): common 1, difference 19: crossed
        (0.20, 0.48, -0.16, -0.14),  # (+30, +2): common 16, difference 14: mixed
    ],
)
def test_worked_cases(left: float, right: float, shared: float, opposed: float) -> None:
    seen = pair(left, right)
    assert seen.shared is not None
    assert seen.opposed is not None
    assert seen.shared.value == pytest.approx(shared)
    assert seen.opposed.value == pytest.approx(opposed)


def test_independent_doubts_join_as_the_root_of_squares() -> None:
    # Mean of two independent numbers, each +/- 0.03 and +/- 0.04: half of 0.05 (right triangle 3, 4, 5).
    left, right = pool_teeth(Flank.LEFT, [[tooth(0.4, 0.03)]]), pool_teeth(Flank.RIGHT, [[tooth(0.4, 0.04)]])
    seen = compare_flanks(left, right, CENTRE)
    assert seen.shared is not None
    assert seen.shared.half_width == pytest.approx(0.025)


def test_the_target_of_each_flank_is_taken_off() -> None:
    left, right = pool_teeth(Flank.LEFT, [[tooth(0.6)]]), pool_teeth(Flank.RIGHT, [[tooth(0.4)]])
    seen = compare_flanks(left, right, Target(left=0.6, right=0.4))
    assert seen.shared is not None
    assert seen.opposed is not None
    assert seen.shared.value == pytest.approx(0.0)
    assert seen.opposed.value == pytest.approx(0.0)


def test_one_flank_compares_nothing() -> None:
    seen = compare_flanks(pool_teeth(Flank.LEFT, [[tooth(0.3)]]), None, CENTRE)
    assert seen.shared is None
    assert seen.opposed is None


def test_teeth_are_pooled_and_their_spread_reported() -> None:
    pooled = pool_teeth(Flank.RIGHT, [[tooth(0.30)], [tooth(0.40)], [bare()]])
    assert pooled is not None
    assert pooled.teeth == 2
    assert pooled.along.value == pytest.approx(0.35)
    assert pooled.spread == pytest.approx(0.10)
    assert pooled.along.half_width > 0.05


def test_scatter_of_the_teeth_widens_by_the_standard_error_of_their_mean() -> None:
    """JCGM 100:2008, 4.2.2 and 4.2.3: 0.30, 0.40 and 0.50 have s = 0.1, their mean 0.1 / sqrt(3)."""
    pooled = pool_teeth(Flank.RIGHT, [[tooth(0.30, 0.0)], [tooth(0.40, 0.0)], [tooth(0.50, 0.0)]])
    assert pooled is not None
    assert pooled.along.half_width == pytest.approx(1.645 * 0.1 / math.sqrt(3), abs=1e-4)


def test_a_tooth_that_was_read_twice_is_one_vote() -> None:
    # Teeth at 0.30 and 0.40, the first read once more: the mean lies halfway, not at a third of the way.
    pooled = pool_teeth(Flank.RIGHT, [[tooth(0.30), tooth(0.30), bare()], [tooth(0.40)]])
    assert pooled == pool_teeth(Flank.RIGHT, [[tooth(0.30)], [tooth(0.40)]])
    alone = pool_teeth(Flank.RIGHT, [[tooth(0.30, 0.02), tooth(0.30, 0.02)]])
    assert alone is not None
    assert (alone.teeth, alone.spread) == (1, None)
    assert alone.along.half_width == pytest.approx(0.02)


def test_teeth_without_contact_make_no_flank() -> None:
    assert pool_teeth(Flank.LEFT, [[bare()]]) is None
    assert pool_teeth(Flank.LEFT, []) is None


places = st.floats(0.05, 0.95)


@settings(deadline=None, max_examples=50)
@given(places, places)
def test_swapped_ends_turn_both_shifts_and_swapped_flanks_only_the_opposed(left: float, right: float) -> None:
    straight, ends, flanks = pair(left, right), pair(1 - left, 1 - right), pair(right, left)
    for seen in (straight, ends, flanks):
        assert seen.shared is not None
        assert seen.opposed is not None
    assert straight.shared is not None and ends.shared is not None and flanks.shared is not None  # noqa: PT018
    assert straight.opposed is not None and ends.opposed is not None and flanks.opposed is not None  # noqa: PT018
    assert ends.shared.value == pytest.approx(-straight.shared.value)
    assert ends.opposed.value == pytest.approx(-straight.opposed.value)
    assert flanks.shared.value == pytest.approx(straight.shared.value)
    assert flanks.opposed.value == pytest.approx(-straight.opposed.value)


def test_the_doubt_of_a_reference_is_counted_in() -> None:
    # Independent doubts add as the root of their squares: 3 and 4 points make 5 (3-4-5 triangle); two flanks alike
    # make a mean that is surer by the root of two.
    left, right = (pool_teeth(flank, [[tooth(0.6, 0.03)]]) for flank in Flank)
    plain = compare_flanks(left, right, Target(0.5, 0.5)).shared
    held = compare_flanks(left, right, Target(0.5, 0.5, 0.04, 0.04, "maker")).shared
    assert plain is not None
    assert held is not None
    assert held.value == plain.value == pytest.approx(0.1)
    assert plain.half_width == pytest.approx(0.03 / math.sqrt(2))
    assert held.half_width == pytest.approx(0.05 / math.sqrt(2))
