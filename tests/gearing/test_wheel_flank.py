"""The wheel's flank: its place in the flank frame, its edges, its normals, its neighbours."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, Profile, Rim, WormPair
from patternscan.gearing.wheel_flank import cut_flank, flank_edges, flank_points, root_radius, tip_radius

PAIRS = [
    WormPair(8, 2, 53, 80, 62, profile=Profile.ZA, hob_oversize=0.02),
    WormPair(4, 3, 41, 40, 29, hand=Hand.LEFT, profile=Profile.ZI, hob_oversize=0.045),
    WormPair(6.3, 1, 40, 56.7, 43, profile=Profile.ZN, hob_oversize=0.0),
]
EVERY = [(pair, flank) for pair in PAIRS for flank in Flank]


@pytest.mark.parametrize(("pair", "flank"), EVERY)
def test_row_0_is_the_tip_and_column_0_is_end_a(pair: WormPair, flank: Flank) -> None:
    """End A is the +z end of the room's frame; the flank frame has 0 at end A and at the root."""
    wheel = cut_flank(pair, flank, 12, 20)
    assert wheel.points().shape == (12, 20, 3)
    assert wheel.up[0] == pytest.approx(1 - 0.5 / 12)
    assert wheel.along[0] == pytest.approx(0.5 / 20)
    assert (np.diff(wheel.rho_mm, axis=0) < 0).all()
    assert wheel.z_mm[0, 0] == pytest.approx(pair.face_width_mm * (0.5 - 0.5 / 20))
    assert (np.diff(wheel.z_mm, axis=1) < 0).all()


@pytest.mark.parametrize(("pair", "flank"), EVERY)
def test_right_flank_is_on_the_right_hand_seen_on_end_a(pair: WormPair, flank: Flank) -> None:
    """ISO 1122-1: look at the reference face (A, at +z), tooth tip up: the right flank is on the right hand."""
    look, up = np.array([0.0, 0.0, -1.0]), np.array([0.0, -1.0, 0.0])
    right_hand = np.cross(look, up)
    faces_right = cut_flank(pair, flank, 8, 9).normals() @ right_hand
    assert ((faces_right > 0) == (flank is Flank.RIGHT)).all()


@pytest.mark.parametrize(("pair", "flank"), EVERY)
def test_normals_are_those_of_the_surface_and_point_out_of_the_tooth(pair: WormPair, flank: Flank) -> None:
    wheel = cut_flank(pair, flank, 96, 160)
    points, normals = wheel.points(), wheel.normals()
    assert np.linalg.norm(normals, axis=-1) == pytest.approx(1)
    crossed = np.cross(np.gradient(points, axis=1), np.gradient(points, axis=0))[1:-1, 1:-1]
    crossed /= np.linalg.norm(crossed, axis=-1, keepdims=True)
    out = -1 if flank is Flank.RIGHT else 1
    inside = np.einsum("ijk,ijk->ij", out * crossed, normals[1:-1, 1:-1])
    assert inside.min() > math.cos(math.radians(0.5))
    other = cut_flank(pair, Flank.LEFT if flank is Flank.RIGHT else Flank.RIGHT, 96, 160)
    turn = pair.tooth_angle_rad * (1 if flank is Flank.LEFT else -1)
    across_the_tooth = np.stack(
        [wheel.rho_mm * np.sin(other.angle - turn), -wheel.rho_mm * np.cos(other.angle - turn), wheel.z_mm], axis=-1
    )
    into_the_metal = np.einsum("ijk,ijk->ij", across_the_tooth - points, normals)
    assert (into_the_metal < 0).all()


@pytest.mark.parametrize("pair", PAIRS)
def test_tooth_space_is_half_a_pitch_wide_on_the_pitch_circle(pair: WormPair) -> None:
    """In the middle plane worm and wheel roll on the wheel's pitch circle and the worm's thread, half a pitch thick,
    fills the space (common practice; an oversize hob keeps it at the pitch point, less what its lead angle changes).
    """
    up = (pair.wheel_radius_mm - root_radius(pair, np.zeros(1))) / (
        tip_radius(pair, np.zeros(1)) - root_radius(pair, np.zeros(1))
    )
    left, right = (flank_points(pair, flank, np.array([0.5]), up)[0] for flank in Flank)
    width = pair.wheel_radius_mm * (math.atan2(right[0], -right[1]) - math.atan2(left[0], -left[1]))
    assert width == pytest.approx(math.pi * pair.module_mm / 2, rel=1e-9 if pair.hob_oversize == 0 else 0.01)


@pytest.mark.parametrize(("pair", "flank"), EVERY)
def test_edges_meet_at_their_corners(pair: WormPair, flank: Flank) -> None:
    edges = flank_edges(pair, flank, 21)
    assert {name: edge.shape for name, edge in edges.items()} == dict.fromkeys(
        ("root", "tip", "end_a", "end_b"), (21, 3)
    )
    for along, up in ((0, 0), (0, 1), (1, 0), (1, 1)):
        across, upward = edges["tip" if up else "root"], edges["end_b" if along else "end_a"]
        assert across[-along] == pytest.approx(upward[-up], abs=1e-9)
    assert edges["end_a"][:, 2] == pytest.approx(pair.face_width_mm / 2)
    assert edges["end_b"][:, 2] == pytest.approx(-pair.face_width_mm / 2)


@pytest.mark.parametrize("pair", PAIRS)
def test_tip_is_a_throat_between_two_pieces_of_the_outside_cylinder(pair: WormPair) -> None:
    """Common practice: throat diameter d2 + 2 m in the middle, a hollow of radius r1 - m round the worm's axis, the
    outside cylinder one module wider in diameter than the throat.
    """
    tip = flank_edges(pair, Flank.LEFT, 201)["tip"]
    rho, z = np.hypot(tip[:, 0], tip[:, 1]), tip[:, 2]
    rim = pair.module_mm * (pair.teeth + 3) / 2
    on_rim = np.isclose(rho, rim, atol=1e-9)
    pieces = np.flatnonzero(np.diff(on_rim.astype(int)))
    assert pieces.size == 2
    assert on_rim[0]
    assert on_rim[-1]
    from_worm = np.hypot(pair.centre_distance_mm - rho, z)[~on_rim]
    assert from_worm == pytest.approx(pair.worm_diameter_mm / 2 - pair.module_mm)
    assert rho.min() == pytest.approx(pair.module_mm * (pair.teeth + 2) / 2)


@pytest.mark.parametrize("pair", PAIRS)
def test_root_line_is_as_deep_as_the_worm_reaches(pair: WormPair) -> None:
    z = np.linspace(-pair.face_width_mm / 2, pair.face_width_mm / 2, 31)
    oversize = pair.hob_oversize * pair.worm_diameter_mm / 2
    apart = np.hypot(pair.centre_distance_mm + oversize - root_radius(pair, z), z)
    assert apart == pytest.approx(pair.worm_diameter_mm / 2 + pair.module_mm + oversize)


@pytest.mark.parametrize(("pair", "flank"), EVERY)
def test_neighbouring_teeth_are_the_same_tooth_turned(pair: WormPair, flank: Flank) -> None:
    """A wheel of z teeth is the same after a turn of 360 / z degrees about its axis."""
    wheel, turn = cut_flank(pair, flank, 6, 8), 2 * math.pi / pair.teeth
    rotation = np.array([[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
    assert wheel.points(1) == pytest.approx(wheel.points() @ rotation.T)
    assert wheel.normals(-1) @ rotation.T == pytest.approx(wheel.normals())
    assert wheel.points(pair.teeth) == pytest.approx(wheel.points(), abs=1e-9)
    assert (wheel.points(1)[..., 0] > wheel.points()[..., 0]).all()


@pytest.mark.parametrize(("pair", "flank"), EVERY)
def test_points_anywhere_are_the_points_of_the_grid(pair: WormPair, flank: Flank) -> None:
    wheel = cut_flank(pair, flank, 6, 8)
    up, along = (places.ravel() for places in np.meshgrid(wheel.up, wheel.along, indexing="ij"))
    assert flank_points(pair, flank, along, up).reshape(6, 8, 3) == pytest.approx(wheel.points(), abs=1e-9)


@pytest.mark.parametrize("pair", PAIRS)
def test_half_turn_about_the_common_perpendicular_swaps_flanks_and_ends(pair: WormPair) -> None:
    """The set is the same after x -> -x, z -> -z, also with an oversize, swivelled hob."""
    left, right = (cut_flank(pair, flank, 10, 14).points() for flank in Flank)
    assert right * [-1, 1, -1] == pytest.approx(left[:, ::-1], abs=1e-8)


@pytest.mark.parametrize("profile", Profile)
def test_mirror_turns_the_hand(profile: Profile) -> None:
    """z -> -z makes the left-hand pair of the right-hand one and exchanges the ends of the same flank."""
    right_hand, left_hand = (WormPair(5, 2, 40, 50, 36, hand=hand, profile=profile) for hand in Hand)
    mirrored = cut_flank(right_hand, Flank.LEFT, 10, 14).points()[:, ::-1] * [1, 1, -1]
    assert cut_flank(left_hand, Flank.LEFT, 10, 14).points() == pytest.approx(mirrored, abs=1e-8)


def test_arrays_are_locked() -> None:
    wheel = cut_flank(PAIRS[0], Flank.LEFT, 4, 5)
    for array in (wheel.along, wheel.up, wheel.rho_mm, wheel.angle, wheel.z_mm, wheel.touch_angle):
        with pytest.raises(ValueError, match="read-only"):
            array.flat[0] = 0.0


@settings(deadline=None, max_examples=60)
@given(
    module=st.floats(1, 12),
    starts=st.integers(1, 4),
    teeth=st.integers(24, 90),
    diameter_factor=st.floats(7, 20),
    face=st.floats(0.2, 1.0),
    profile=st.sampled_from(Profile),
    oversize=st.floats(0, 0.1),
)
def test_every_accepted_pair_has_a_flank_the_right_way_up(
    module: float, starts: int, teeth: int, diameter_factor: float, face: float, profile: Profile, oversize: float
) -> None:
    worm = module * diameter_factor
    try:
        pair = WormPair(module, starts, teeth, worm, face * worm, 20, Hand.RIGHT, profile, oversize)
    except WrongUse as refused:
        assert "is too wide" in str(refused)  # noqa: PT017
        return
    wheel = cut_flank(pair, Flank.LEFT, 8, 12)
    assert np.isfinite(wheel.points()).all()
    assert (np.diff(wheel.rho_mm, axis=0) < 0).all()


def test_a_straight_rim_is_a_cylinder_as_large_as_the_throat_and_lower_at_its_ends() -> None:
    """The tip edge lies on one radius; the hob's hollow takes the more of the flank the nearer to an end."""
    pair = WormPair(4.0, 2, 39, 40.0, 21.4, rim=Rim.STRAIGHT)
    edges = flank_edges(pair, Flank.RIGHT)
    assert np.hypot(edges["tip"][:, 0], edges["tip"][:, 1]) == pytest.approx(pair.throat_radius_mm)
    root = np.hypot(edges["root"][:, 0], edges["root"][:, 1])
    height = pair.throat_radius_mm - root
    assert height[0] == pytest.approx(height[-1])
    assert (np.diff(height)[:20] > 0).all()
    assert height[20] == pytest.approx(2 * pair.module_mm)


def test_a_face_too_wide_for_a_straight_rim_is_refused() -> None:
    """No flank would be left at its ends, where a throated rim still has one."""
    wide = WormPair(1.0, 2, 40, 10.0, 9.0)
    with pytest.raises(WrongUse, match="too wide"):
        replace(wide, rim=Rim.STRAIGHT)
