"""Basic dimensions against published worm sets, and pairs that cannot exist."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.gearing.pair import Hand, Profile, WormPair

HANDBOOK = WormPair(3, 2, 30, 44, 28, profile=Profile.ZA)
"""Worked example of a gear maker's handbook (KHK, calculation of worm pairs): m 3, z 2/30, d1 44, axial 20 degrees."""
ROTATOR = WormPair(2.5, 1, 30, 19.5, 15, profile=Profile.ZA)
"""Public design discussion of an antenna rotator (satnogs-rotator, issue 12): m 2.5, z 1/30, d1 19.5."""
TENFOLD = WormPair(8, 2, 53, 80, 62, profile=Profile.ZA)
"""Own arithmetic for a diameter factor of 10, from a = (d1 + d2) / 2 and tan(lead angle) = m z1 / d1."""


@pytest.mark.parametrize(
    ("pair", "wheel", "centres", "lead_angle", "pitch", "lead", "normal_angle"),
    [
        (HANDBOOK, 90, 67.000, 7.76517, 9.4248, 18.8496, 19.831),
        (ROTATOR, 75, 47.25, 7.306, 7.854, 7.854, 19.850),
        (TENFOLD, 424, 252, 11.30993, 25.1327, 50.2655, 19.6416),
    ],
)
def test_published_worm_sets(
    pair: WormPair, wheel: float, centres: float, lead_angle: float, pitch: float, lead: float, normal_angle: float
) -> None:
    assert 2 * pair.wheel_radius_mm == pytest.approx(wheel, abs=1e-9)
    assert pair.centre_distance_mm == pytest.approx(centres, abs=1e-9)
    assert pair.lead_angle_deg == pytest.approx(lead_angle, abs=5e-4)
    assert pair.axial_pitch_mm == pytest.approx(pitch, abs=5e-5)
    assert pair.lead_mm == pytest.approx(lead, abs=1e-4)
    assert pair.normal_pressure_angle_deg == pytest.approx(normal_angle, abs=5e-4)


def test_tip_root_and_throat_of_the_published_design() -> None:
    """The same design discussion prints lead angle 7.3 degrees, da1 24.5, df1 13.5, throat 80, df2 69."""
    assert ROTATOR.lead_angle_deg == pytest.approx(7.3, abs=0.05)
    found = (ROTATOR.worm_tip_radius_mm, ROTATOR.worm_root_radius_mm, ROTATOR.throat_radius_mm)
    assert [2 * radius for radius in (*found, ROTATOR.wheel_root_radius_mm)] == pytest.approx([24.5, 13.5, 80, 69])


def test_throat_and_worm_leave_the_same_clearance_at_either_bottom() -> None:
    """Common practice: 0.2 modules between the tips of one part and the roots of the other."""
    for pair in (HANDBOOK, ROTATOR, TENFOLD):
        apart = pair.centre_distance_mm
        assert apart - pair.worm_tip_radius_mm - pair.wheel_root_radius_mm == pytest.approx(0.2 * pair.module_mm)
        assert apart - pair.worm_root_radius_mm - pair.throat_radius_mm == pytest.approx(0.2 * pair.module_mm)
        assert pair.gorge_radius_mm == pytest.approx(apart - pair.throat_radius_mm)


def test_tooth_angle_goes_round_once() -> None:
    assert HANDBOOK.tooth_angle_rad * HANDBOOK.teeth == pytest.approx(2 * math.pi)


@pytest.mark.parametrize("profile", Profile)
def test_pressure_angles_change_places(profile: Profile) -> None:
    """tan(normal) = tan(axial) cos(lead angle), ISO/TR 10828. ZA is named by its axial angle, the others are not."""
    pair = replace(TENFOLD, profile=profile)
    normal, axial = (math.radians(angle) for angle in (pair.normal_pressure_angle_deg, pair.axial_pressure_angle_deg))
    assert math.tan(normal) == pytest.approx(math.tan(axial) * math.cos(math.radians(11.30993)))
    assert math.degrees(axial if profile is Profile.ZA else normal) == pytest.approx(20)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"module_mm": 0.0}, "module_mm is 0.0"),
        ({"module_mm": math.nan}, "module_mm is nan"),
        ({"worm_diameter_mm": -80.0}, "worm_diameter_mm is -80.0"),
        ({"face_width_mm": math.inf}, "face_width_mm is inf"),
        ({"starts": 0}, "0 starts"),
        ({"teeth": 9}, "9 teeth"),
        ({"pressure_angle_deg": 8.0}, "pressure_angle_deg is 8"),
        ({"pressure_angle_deg": math.nan}, "pressure_angle_deg is nan"),
        ({"hob_oversize": -0.01}, "hob_oversize is -0.01"),
        ({"hob_oversize": 2.0}, "expected 0 to 0.2 (0.02 is 2 %)"),
        ({"hob_trim_deg": math.nan}, "hob_trim_deg is nan"),
        ({"hob_trim_deg": 5.0}, "hob_trim_deg is 5"),
        ({"worm_diameter_mm": 30.0, "face_width_mm": 20.0}, "too thin for module 8 mm"),
        ({"starts": 11}, "more than 45"),
        ({"face_width_mm": 95.0}, "a face width of 95 mm is too wide"),
        ({"face_width_mm": 80.0}, "a face width of 80 mm is too wide"),
    ],
)
def test_impossible_pairs_are_refused_in_plain_words(change: dict[str, float], words: str) -> None:
    with pytest.raises(WrongUse) as caught:
        replace(TENFOLD, **change)  # type: ignore[arg-type]
    assert words in str(caught.value)
    assert str(caught.value).startswith("No worm pair has these gear data: ")


NONSENSE = st.floats() | st.integers(-(10**6), 10**6).map(float) | st.floats(0.1, 100)


@settings(deadline=None, max_examples=300)
@given(
    lengths=st.tuples(NONSENSE, NONSENSE, NONSENSE),
    counts=st.tuples(st.integers(-3, 10**6), st.integers(-3, 10**6)),
    angle=NONSENSE,
    oversize=NONSENSE | st.floats(0, 0.2),
)
def test_nonsense_is_refused_or_makes_a_pair(
    lengths: tuple[float, float, float], counts: tuple[int, int], angle: float, oversize: float
) -> None:
    module, worm, face = lengths
    try:
        pair = WormPair(module, *counts, worm, face, angle, Hand.LEFT, Profile.ZN, oversize)
    except WrongUse as refused:
        assert str(refused).startswith("No worm pair has these gear data: ")  # noqa: PT017
        return
    dimensions = (pair.lead_mm, pair.centre_distance_mm, pair.worm_root_radius_mm, pair.wheel_root_radius_mm)
    assert all(math.isfinite(size) and size > 0 for size in dimensions)
    assert 0 < pair.lead_angle_deg <= 45
    assert pair.face_width_mm < 2 * pair.worm_tip_radius_mm
