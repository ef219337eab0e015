"""Thread forms against their own definitions (ISO/TR 10828): straight lines, involutes, half-pitch thickness."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, Profile, WormPair
from patternscan.gearing.worm import Numbers, Thread, hob_thread, worm_thread
from tests.gearing.dense_surfaces import dense_pair

PAIRS = [
    WormPair(8, 2, 53, 80, 62, hand=Hand.RIGHT),
    WormPair(4, 4, 41, 40, 28, hand=Hand.LEFT),
    WormPair(2.5, 1, 30, 28, 20, 22.5, hand=Hand.RIGHT, hob_oversize=0.05),
]
EVERY = [(pair, profile, flank) for pair in PAIRS for profile in Profile for flank in Flank]


def thread_of(pair: WormPair, profile: Profile, flank: Flank) -> Thread:
    return worm_thread(replace(pair, profile=profile), flank)


def working_radii(pair: WormPair, count: int = 41) -> Numbers:
    return np.linspace(pair.worm_radius_mm - pair.module_mm, pair.worm_tip_radius_mm, count)


@pytest.mark.parametrize(("pair", "flank"), [(pair, flank) for pair in PAIRS for flank in Flank])
def test_za_is_straight_in_the_axial_section(pair: WormPair, flank: Flank) -> None:
    thread = thread_of(pair, Profile.ZA, flank)
    radius = working_radii(pair)
    x, _, _ = thread.surface(radius, np.zeros_like(radius))
    lean = np.diff(x) / np.diff(radius)
    assert lean == pytest.approx(-thread.side * math.tan(math.radians(pair.pressure_angle_deg)), abs=1e-9)


@pytest.mark.parametrize(("pair", "flank"), [(pair, flank) for pair in PAIRS for flank in Flank])
def test_zn_is_straight_across_the_thread_space(pair: WormPair, flank: Flank) -> None:
    """Points cut out of the thread by the plane that stands square on the middle of a space whose trapezium is half a
    normal pitch wide at the height of the pitch cylinder.
    """
    thread = thread_of(pair, Profile.ZN, flank)
    hand, lead = (1 if pair.hand is Hand.RIGHT else -1), math.radians(pair.lead_angle_deg)
    across = np.array([math.cos(lead), -hand * math.sin(lead)])
    height = np.linspace(pair.worm_radius_mm - pair.module_mm, pair.worm_radius_mm + 0.9 * pair.module_mm, 25)
    at_pitch = -thread.side * pair.axial_pitch_mm / 4 * math.cos(lead) * across
    pitch_point, _, _ = thread.surface(np.array([pair.worm_radius_mm]), at_pitch[1:])
    space = pitch_point - at_pitch[0]

    def beyond(beside: Numbers) -> Numbers:
        surface, _, _ = thread.surface(height, beside * across[1])
        return np.asarray(space + beside * across[0] - surface)

    low, high = (np.full(height.shape, end * pair.axial_pitch_mm / 2) for end in (-1, 1))
    for _ in range(60):
        middle = (low + high) / 2
        low, high = np.where(beyond(middle) < 0, middle, low), np.where(beyond(middle) < 0, high, middle)
    lean = np.diff(low) / np.diff(height)
    assert lean == pytest.approx(-thread.side * math.tan(math.radians(pair.pressure_angle_deg)), abs=1e-6)


def base_radius(pair: WormPair) -> float:
    """cos(base lead angle) = cos(lead angle) cos(normal pressure angle), base radius = lead / (2 pi tan(base lead))."""
    cosine = math.cos(math.radians(pair.lead_angle_deg)) * math.cos(math.radians(pair.pressure_angle_deg))
    return pair.lead_mm / (2 * math.pi) / math.tan(math.acos(cosine))


@pytest.mark.parametrize(("pair", "flank"), [(pair, flank) for pair in PAIRS for flank in Flank])
def test_zi_is_an_involute_across_the_axis(pair: WormPair, flank: Flank) -> None:
    """Where x is constant the thread turns by inv(a) = tan(a) - a, cos(a) = base radius / radius (gear handbooks)."""
    thread, base = thread_of(pair, Profile.ZI, flank), base_radius(pair)
    radius = np.linspace(max(base * 1.001, pair.worm_radius_mm - pair.module_mm), pair.worm_tip_radius_mm, 41)
    x, _, _ = thread.surface(radius, np.zeros_like(radius))
    turned = -x / thread.lead_mm_per_rad
    slant = np.arccos(base / radius)
    involute = np.tan(slant) - slant
    rolled = thread.side * math.copysign(1, thread.lead_mm_per_rad) * (turned - turned[0])
    assert rolled == pytest.approx(involute - involute[0], abs=1e-9)


@pytest.mark.parametrize(("pair", "flank"), [(pair, flank) for pair in PAIRS for flank in Flank])
def test_normals_of_zi_touch_the_base_cylinder(pair: WormPair, flank: Flank) -> None:
    thread, base = thread_of(pair, Profile.ZI, flank), base_radius(pair)
    turn = np.linspace(-1, 1, 41)
    radius = np.linspace(max(base * 1.05, pair.worm_radius_mm - pair.module_mm), pair.worm_tip_radius_mm, 41)
    y, z = radius * np.cos(turn), radius * np.sin(turn)
    _, by_y, by_z = thread.surface(y, z)
    from_axis = np.abs(y * by_z - z * by_y) / np.hypot(by_y, by_z)
    assert from_axis == pytest.approx(base, rel=1e-9)


@pytest.mark.parametrize(("pair", "profile", "flank"), EVERY)
def test_slopes_are_those_of_the_surface(pair: WormPair, profile: Profile, flank: Flank) -> None:
    thread, step = thread_of(pair, profile, flank), 1e-4
    turn = np.linspace(-0.9, 0.9, 41)
    y, z = working_radii(pair) * np.cos(turn), working_radii(pair) * np.sin(turn)
    _, by_y, by_z = thread.surface(y, z)
    assert by_y == pytest.approx((thread.surface(y + step, z)[0] - thread.surface(y - step, z)[0]) / 2 / step, abs=1e-6)
    assert by_z == pytest.approx((thread.surface(y, z + step)[0] - thread.surface(y, z - step)[0]) / 2 / step, abs=1e-6)


@pytest.mark.parametrize(("pair", "profile", "flank"), EVERY)
def test_every_form_is_a_line_carried_along_a_screw(pair: WormPair, profile: Profile, flank: Flank) -> None:
    """Against the generating lines of ISO/TR 10828, drawn without the closed forms."""
    dense = dense_pair(replace(pair, profile=profile), flank)
    for thread, line in (
        (thread_of(pair, profile, flank), dense.worm),
        (hob_thread(replace(pair, profile=profile), flank), dense.hob),
    ):
        ends = (thread.radius_mm - 0.9 * pair.module_mm, thread.radius_mm + pair.module_mm)
        run = np.linspace(line.run_at(ends[0]), line.run_at(ends[1]), 30)
        x, y, z = line.points(run, np.linspace(-0.6, 0.6, 30)).T
        assert thread.surface(y, z)[0] == pytest.approx(x, abs=1e-9)


@pytest.mark.parametrize(("pair", "profile"), [(pair, profile) for pair in PAIRS for profile in Profile])
def test_thread_is_half_a_pitch_thick_on_its_pitch_cylinder(pair: WormPair, profile: Profile) -> None:
    """Common practice for worms without profile shift."""
    at = np.array([pair.worm_radius_mm])
    left, right = (thread_of(pair, profile, flank).surface(at, np.zeros(1))[0] for flank in Flank)
    assert right - left == pytest.approx(pair.axial_pitch_mm / 2)


@pytest.mark.parametrize(("pair", "profile", "flank"), EVERY)
def test_pressure_angle_at_the_pitch_point(pair: WormPair, profile: Profile, flank: Flank) -> None:
    """The slope there is the tangent of the axial pressure angle. The line of ZN lies in the middle of the space and
    not at its flank, which at four starts makes over a degree.
    """
    named = replace(pair, profile=profile)
    _, by_y, _ = worm_thread(named, flank).surface(np.array([pair.worm_radius_mm]), np.zeros(1))
    found = math.degrees(math.atan(abs(float(by_y[0]))))
    assert found == pytest.approx(named.axial_pressure_angle_deg, abs=1.25 if profile is Profile.ZN else 1e-9)


@pytest.mark.parametrize("pair", PAIRS)
def test_hob_has_the_normal_pitch_of_the_worm(pair: WormPair) -> None:
    """Common practice for oversize hobs: equal normal pitch pi m cos(lead angle), so that the teeth come out right."""
    hob = hob_thread(pair, Flank.LEFT)
    axial = 2 * math.pi * abs(hob.lead_mm_per_rad) / pair.starts
    normal = pair.axial_pitch_mm * math.cos(math.radians(pair.lead_angle_deg))
    assert axial * math.cos(hob.lead_angle) == pytest.approx(normal)
    assert hob.radius_mm == pytest.approx(pair.worm_radius_mm * (1 + pair.hob_oversize))


def test_right_hand_thread_runs_away_clockwise() -> None:
    """Common practice: a right-hand thread seen along its axis goes away as it turns clockwise, so x grows with the
    right-handed turn about x.
    """
    for pair in PAIRS:
        _, _, by_z = worm_thread(pair, Flank.LEFT).surface(np.array([pair.worm_radius_mm]), np.zeros(1))
        assert (by_z[0] > 0) == (pair.hand is Hand.RIGHT)
