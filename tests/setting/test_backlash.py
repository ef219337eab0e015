"""Dial readings: against printed examples and by their laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.setting.mechanics.backlash import (
    backlash_from_centres,
    bring_to_radius,
    centres_from_backlash,
    find_axial_pressure_angle,
    find_lost_motion,
    take_out_end_play,
)

angles = st.floats(10, 35)


@pytest.mark.parametrize(
    ("reading", "gauge", "wheel", "backlash"),
    [
        (2.0, 260, 130, 1.0),  # formula j = ME r / M of lift machine manuals (2012, page 37), own arithmetic
        (3.0, 260, 130, 1.5),  # their wear limit of 1.5 mm read at twice the radius, own arithmetic
        (0.5, 95, 95, 0.5),  # at the pitch radius itself nothing changes
        (0.1, 50, 100, 0.2),  # a dial inside the pitch radius reads less than the teeth have
    ],
)
def test_a_reading_at_another_radius(reading: float, gauge: float, wheel: float, backlash: float) -> None:
    assert bring_to_radius(reading, gauge, wheel) == pytest.approx(backlash, abs=1e-12)


@pytest.mark.parametrize(("gauge", "wheel"), [(0.0, 100.0), (100.0, -1.0), (math.nan, 100.0), (math.inf, 100.0)])
def test_impossible_radii_are_refused(gauge: float, wheel: float) -> None:
    with pytest.raises(WrongUse):
        bring_to_radius(0.2, gauge, wheel)


def test_lost_motion_from_the_worm_side() -> None:
    # module 8, 2 starts: the lead is 50.2655 mm (pi m z1, any gear handbook), so 10 of 360 degrees are 1.396 mm
    assert find_lost_motion(10, module_mm=8, starts=2) == pytest.approx(50.2655 * 10 / 360, abs=1e-4)
    # KHK gear handbook, worked worm pair of axial module 3 with 2 starts: lead 18.8496 mm in one whole turn
    assert find_lost_motion(360, module_mm=3, starts=2) == pytest.approx(18.8496, abs=1e-4)


def test_end_play_counts_in_full() -> None:
    assert take_out_end_play(0.30, 0.12) == pytest.approx(0.18)
    assert take_out_end_play(0.12, 0.12) == 0
    assert take_out_end_play(0.10, 0.12) is None


@pytest.mark.parametrize(
    ("normal", "lead_angle", "axial"),
    [
        (19.831, 7.76517, 20.0),  # KHK gear handbook, worked worm pair: 19.831 normal belongs to 20 axial
        (19.850, 7.306, 20.0),  # public design thread of a worm pair of module 2.5, which prints 7.3 degrees
        (20.0, 0.0, 20.0),  # without lead both sections are one
    ],
)
def test_the_axial_angle(normal: float, lead_angle: float, axial: float) -> None:
    assert find_axial_pressure_angle(normal, lead_angle) == pytest.approx(axial, abs=0.001)


@pytest.mark.parametrize(
    ("angle", "per_mm"),
    # Elements of Metric Gear Technology, eq. 14-2 and its figures: 1.933 (14.5 degrees) and 1.374 (20 degrees)
    [(14.5, 1 / 1.933), (20, 1 / 1.374), (25, 0.9326), (30, 1.1547)],  # the last two: 2 tan, table of tangents
)
def test_backlash_from_opened_centres(angle: float, per_mm: float) -> None:
    assert backlash_from_centres(1.0, angle) == pytest.approx(per_mm, rel=1e-3)


@given(st.floats(-2, 2), angles)
@settings(deadline=None)
def test_opening_and_its_inverse(backlash: float, angle: float) -> None:
    assert backlash_from_centres(centres_from_backlash(backlash, angle), angle) == pytest.approx(backlash, abs=1e-9)


@pytest.mark.parametrize("angle", [0.0, 9.0, 36.0, 90.0, math.nan])
def test_unusual_pressure_angles_are_refused(angle: float) -> None:
    with pytest.raises(WrongUse):
        backlash_from_centres(0.1, angle)
    with pytest.raises(WrongUse):
        centres_from_backlash(0.1, angle)


def test_the_formula_says_that_it_is_a_guide() -> None:
    for function in (backlash_from_centres, centres_from_backlash):
        assert "uide" in (function.__doc__ or "")
