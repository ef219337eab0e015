"""The equation of meshing against plain velocities, and the swept flank against a wheel cut in many discrete steps."""

from __future__ import annotations

import math

import numpy as np
import pytest

from patternscan.frame import Flank
from patternscan.gearing.meshing import Passage, Setting, passage, places_of, turn_per_mm
from patternscan.gearing.pair import Hand, Profile, WormPair
from patternscan.gearing.wheel_flank import cut_flank, hob_setting
from patternscan.gearing.worm import Numbers, hob_thread, worm_thread
from tests.gearing.dense_surfaces import cut, dense_pair

PAIRS = [
    WormPair(8, 2, 53, 80, 62, profile=Profile.ZA, hob_oversize=0.02),
    WormPair(4, 3, 41, 40, 29, hand=Hand.LEFT, profile=Profile.ZI, hob_oversize=0.045),
    WormPair(6.3, 1, 40, 56.7, 43, profile=Profile.ZN, hob_oversize=0.03),
    WormPair(10, 4, 38, 120, 80, hand=Hand.LEFT, profile=Profile.ZA, hob_oversize=0.0),
    WormPair(2.5, 4, 45, 28, 20, 22.5, hand=Hand.RIGHT, profile=Profile.ZN, hob_oversize=0.08, hob_trim_deg=-0.05),
]
SETTING = Setting(252.3, math.radians(0.7), -1.3)


def some_passage(angle: Numbers, flank: Flank = Flank.RIGHT) -> tuple[Passage, Numbers, Numbers]:
    rho, z = np.linspace(208, 219, angle.size), np.linspace(-25, 28, angle.size)
    return passage(worm_thread(PAIRS[0], flank), SETTING, rho, z, angle), rho, z


@pytest.mark.parametrize(("pair", "flank"), [(pair, flank) for pair in PAIRS for flank in Flank])
def test_swept_flank_is_what_many_steps_of_the_hob_leave(pair: WormPair, flank: Flank) -> None:
    """By another route: ruled threads, 180 discrete positions, Newton's method on the line; within 0.01 um."""
    wheel = cut_flank(pair, flank, 8, 16)
    angle = cut(dense_pair(pair, flank), wheel.rho_mm.ravel(), wheel.z_mm.ravel())
    apart_mm = (wheel.angle.ravel() - angle) * wheel.rho_mm.ravel()
    assert np.abs(apart_mm).max() < 1e-5


@pytest.mark.parametrize(("pair", "flank"), [(pair, flank) for pair in PAIRS for flank in Flank])
def test_where_the_hob_touches_nothing_moves_along_the_normal(pair: WormPair, flank: Flank) -> None:
    """The equation of meshing, n . v = 0 (Litvin, Gear Geometry and Applied Theory), with the velocities of two bodies
    that turn about their own axes: v = w x r.
    """
    wheel, setting = cut_flank(pair, flank, 8, 16), hob_setting(pair)
    hob = hob_thread(pair, flank)
    met = passage(hob, setting, wheel.rho_mm, wheel.z_mm, wheel.touch_angle)
    place = places_of(wheel.rho_mm, wheel.touch_angle, wheel.z_mm)
    axis = np.array([math.cos(setting.axis_turn), 0.0, math.sin(setting.axis_turn)])
    on_axis = np.array([0.0, -setting.centre_distance_mm, 0.0])
    turning_hob = np.cross(-axis / hob.lead_mm_per_rad, place - on_axis)
    turning_wheel = np.cross(np.array([0.0, 0.0, 1.0]) * pair.starts / pair.teeth / abs(hob.lead_mm_per_rad), place)
    normal = met.normal / np.linalg.norm(met.normal, axis=-1, keepdims=True)
    sliding = turning_hob - turning_wheel
    off = np.einsum("ijk,ijk->ij", normal, sliding) / np.linalg.norm(sliding, axis=-1)
    assert np.abs(off).max() < 1e-6


def test_a_turn_of_the_worm_passes_as_many_teeth_as_it_has_starts() -> None:
    """Ratio of any gear pair: starts over teeth."""
    for pair in PAIRS:
        assert turn_per_mm(worm_thread(pair, Flank.LEFT), pair.teeth) * pair.lead_mm == pytest.approx(
            pair.starts * pair.tooth_angle_rad
        )


@pytest.mark.parametrize("flank", Flank)
def test_slope_of_the_travel_is_that_of_the_travel(flank: Flank) -> None:
    angle, step = np.linspace(-0.1, 0.12, 23), 1e-6
    met, *_ = some_passage(angle, flank)
    (before, *_), (after, *_) = some_passage(angle - step, flank), some_passage(angle + step, flank)
    assert met.by_angle == pytest.approx((after.travel_mm - before.travel_mm) / 2 / step, abs=1e-5)


def test_normal_stands_square_on_the_worm() -> None:
    """Places where the travel stays the same lie on one surface, so steps to them have no part along the normal."""
    angle = np.linspace(-0.1, 0.12, 23)
    met, rho, z = some_passage(angle)
    gradient = []
    for step in np.eye(3) * 1e-5:
        x, y, height = places_of(rho, angle, z).T + step[:, None]
        moved = passage(worm_thread(PAIRS[0], Flank.RIGHT), SETTING, np.hypot(x, y), height, np.arctan2(x, -y))
        gradient.append((moved.travel_mm - met.travel_mm) / 1e-5)
    assert np.stack(gradient, axis=-1) == pytest.approx(met.normal, abs=1e-4)


def test_radius_is_the_distance_from_the_turned_axis() -> None:
    """Distance of a point from a line by the cross product."""
    angle = np.linspace(-0.1, 0.12, 23)
    met, rho, z = some_passage(angle)
    axis = np.array([math.cos(SETTING.axis_turn), 0.0, math.sin(SETTING.axis_turn)])
    shifted = places_of(rho, angle, z + SETTING.wheel_shift_mm) - np.array([0.0, -SETTING.centre_distance_mm, 0.0])
    assert np.linalg.norm(np.cross(shifted, axis), axis=-1) == pytest.approx(met.radius_mm)
