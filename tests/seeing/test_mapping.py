"""Maps of flanks against surfaces known in closed form, seen by a known camera."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.seeing.geometry.mapping import PATCH_UNCERTAINTY, TIP_TO_ROOT, BlendedPatch, FlankMap, map_outline
from patternscan.seeing.geometry.outline import Outline, checked_outline, signed_area
from tests.seeing.inverse_map import places_at

Array = NDArray[np.float64]
PLACES = np.stack(np.meshgrid(np.linspace(0.1, 0.9, 9), np.linspace(0.1, 0.9, 5)), axis=-1).reshape(-1, 2)


def even_map(outline: Outline) -> BlendedPatch:
    """The patch without the lean of an involute, which plain test surfaces lack."""
    return BlendedPatch(outline.root, outline.tip, outline.end_a, outline.end_b, tip_to_root=1.0)


def outline_of(edges: dict[str, Array]) -> Outline:
    border = np.vstack([edges["root"], edges["end_b"][1:], edges["tip"][::-1][1:], edges["end_a"][::-1][1:-1]])
    return checked_outline(edges, Flank.RIGHT if signed_area(border) > 0 else Flank.LEFT)


def edge_places(count: int = 41) -> dict[str, Array]:
    """Places along the four edges of a flank."""
    t = np.linspace(0, 1, count)
    zero, one = np.zeros_like(t), np.ones_like(t)
    pairs = {"root": (t, zero), "tip": (t, one), "end_a": (zero, t), "end_b": (one, t)}
    return {name: np.stack(pair, axis=1) for name, pair in pairs.items()}


# --- parallel projection: what the patch must reproduce exactly --------------------------------------------------


def saddle(places: Array) -> Array:
    """A hyperbolic paraboloid over the unit square, seen by parallel projection at a slant, in pixels."""
    u, v = places[:, 0], places[:, 1]
    x, y, z = 600 * u + 40 * v, 180 * v, 90 * u * v
    return np.stack([50 + x + 0.3 * z, 400 - y + 0.1 * x + 0.5 * z], axis=1)


def test_saddle_is_exact() -> None:
    """A bilinear surface stays bilinear under parallel projection, so the patch from its edges is the surface."""
    flank_map = even_map(outline_of({name: saddle(p) for name, p in edge_places().items()}))
    np.testing.assert_allclose(flank_map.to_photo(PLACES), saddle(PLACES), atol=1e-8)


def cylinder(places: Array) -> Array:
    """A patch of a cylinder, its axis across the face, seen by parallel projection at a slant, in pixels.

    Run through by the angle, so that the edges are even in true length; the picture's length is not.
    """
    angle = (places[:, 0] - 0.5) * 0.9
    across, bulge = np.sin(angle) / np.sin(0.45) / 2 + 0.5, 1 - np.cos(angle)
    return np.stack([80 + 600 * across, 300 + 160 * bulge - 170 * places[:, 1]], axis=1)


def test_cylinder_within_a_hundredth() -> None:
    """The patch is exact across a cylinder; along it the picture's length stands in for the true angle."""
    flank_map = even_map(outline_of({name: cylinder(p) for name, p in edge_places().items()}))
    found = places_at(flank_map, cylinder(PLACES))
    np.testing.assert_allclose(found[:, 0], PLACES[:, 0], atol=0.01)
    np.testing.assert_allclose(found[:, 1], PLACES[:, 1], atol=0.01)


# --- pinhole camera over a throated flank -------------------------------------------------------------------------


@dataclass(frozen=True)
class Wheel:
    """A wheel whose flanks are involutes turned along a helix, between a throated root and a throated, capped tip.

    Lengths in modules. Stands in for a hobbed wheel: throat, lead twist and profile curvature are those of one.
    """

    teeth: int
    face: float
    worm_radius: float
    lead_angle: float

    def surface(self, places: Array) -> Array:
        """Places (n, 2) to points (n, 3): across the tooth, outward, along the wheel axis."""
        pitch = self.teeth / 2
        z = (places[:, 0] - 0.5) * self.face
        axis = pitch + self.worm_radius
        root = axis - np.sqrt((self.worm_radius + 1.2) ** 2 - z**2)
        tip = np.minimum(axis - np.sqrt(np.maximum((self.worm_radius - 1) ** 2 - z**2, 0)), pitch + 1.6)
        radius = root + places[:, 1] * (tip - root)
        turn = np.pi / (2 * self.teeth) - involute(np.arccos(pitch_cosine(pitch, radius)))
        turn = turn + involute(np.radians(20)) + z * np.tan(self.lead_angle) / pitch
        return np.stack([radius * np.sin(turn), radius * np.cos(turn), z], axis=1)


def pitch_cosine(pitch: float, radius: Array) -> Array:
    """Cosine of the pressure angle at a radius, for a pressure angle of 20 degrees at the pitch circle."""
    return np.asarray(np.minimum(pitch * np.cos(np.radians(20)) / radius, 1.0))


def involute(angle: Array | float) -> Array:
    """inv(a) = tan a - a. Source: ISO 21771, or any gear handbook."""
    return np.asarray(np.tan(angle) - angle)


def seen_by(points: Array, centre: Array, up: float, aside: float, distance: float) -> Array:
    """A pinhole camera that looks at the centre from ``up`` off the across direction and ``aside`` along the face.

    Angles in radians; pixels at a focal length that makes one unit at the distance 100 px.
    """
    view = np.array([np.cos(aside) * np.cos(up), np.cos(aside) * np.sin(up), np.sin(aside)])
    right = np.cross([0.0, 1.0, 0.0], view)
    right /= np.linalg.norm(right)
    above = np.cross(view, right)
    from_camera = points - (centre + distance * view)
    depth = -from_camera @ view
    plane = np.stack([from_camera @ right, -(from_camera @ above)], axis=1)
    return np.asarray(plane / depth[:, None] * 100 * distance)


def photographed(seed: int) -> tuple[FlankMap, Array]:
    """The map of a plausible flank from a plausible camera, and where PLACES are truly seen."""
    rng = np.random.default_rng(seed)
    face = rng.uniform(5.5, 8.0)
    wheel = Wheel(int(rng.integers(30, 80)), face, rng.uniform(0.75, 0.95) * face, np.radians(rng.uniform(4, 20)))
    centre = wheel.surface(np.array([[0.5, 0.5]]))[0]
    camera = (np.radians(rng.uniform(30, 60)), np.radians(rng.uniform(-20, 20)), rng.uniform(4, 8) * face)
    edges = {name: seen_by(wheel.surface(p), centre, *camera) for name, p in edge_places().items()}
    return map_outline(outline_of(edges)), seen_by(wheel.surface(PLACES), centre, *camera)


SHOTS = range(40)


def errors_of_place() -> Array:
    """Found minus true places over many shots, (shots, places, 2)."""
    return np.array([places_at(flank_map, seen) - PLACES for flank_map, seen in map(photographed, SHOTS)])


def test_error_along_is_the_doubt_that_is_stated() -> None:
    """One standard deviation of the error along the face is what the map says of itself, neither half nor double."""
    spread = float(np.sqrt((errors_of_place()[:, :, 0] ** 2).mean()))
    assert 0.5 * PATCH_UNCERTAINTY < spread < 1.3 * PATCH_UNCERTAINTY


def test_height_has_no_bias_left() -> None:
    errors = errors_of_place()[:, :, 1]
    assert abs(errors.mean()) < 0.03
    assert np.sqrt((errors**2).mean()) < 0.05


def test_lean_is_that_of_an_involute_seen_from_the_tip_side() -> None:
    """A plane involute profile in closed form under a pinhole camera: where the picture's middle lies in height."""
    rng = np.random.default_rng(1)
    middles = []
    for _ in range(500):
        teeth, face = int(rng.integers(30, 81)), rng.uniform(5.5, 8.0)
        pitch = teeth / 2
        radius = np.linspace(max(pitch - 1.2, pitch * np.cos(np.radians(20))), pitch + 1, 200)
        turn = involute(np.radians(20)) - involute(np.arccos(pitch_cosine(pitch, radius)))
        profile = np.stack([radius * np.sin(turn), radius * np.cos(turn)], axis=1)
        chord = (profile[-1] - profile[0]) / np.linalg.norm(profile[-1] - profile[0])
        square = np.array([chord[1], -chord[0]])
        tilt = np.radians(rng.uniform(30, 60))
        view = np.cos(tilt) * square + np.sin(tilt) * chord
        ray = profile - (profile.mean(axis=0) + rng.uniform(4, 8) * face * view)
        seen = (ray @ np.array([-view[1], view[0]])) / (ray @ view)
        seen = (seen - seen[0]) / (seen[-1] - seen[0])
        middles.append(np.interp(0.5, seen, (radius - radius[0]) / (radius[-1] - radius[0])))
    assert np.mean(middles) == pytest.approx(TIP_TO_ROOT / (1 + TIP_TO_ROOT), abs=0.005)


# --- laws ----------------------------------------------------------------------------------------------------------


@settings(deadline=None, max_examples=20)
@given(st.integers(0, 10_000))
def test_there_and_back(seed: int) -> None:
    flank_map, _ = photographed(seed)
    np.testing.assert_allclose(places_at(flank_map, flank_map.to_photo(PLACES)), PLACES, atol=1e-4)


def test_corners_and_edges_are_kept() -> None:
    edges = {name: saddle(p) for name, p in edge_places().items()}
    flank_map = map_outline(outline_of(edges))
    corners = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    np.testing.assert_allclose(flank_map.to_photo(corners), saddle(corners), atol=1e-9)
    np.testing.assert_allclose(flank_map.to_photo(edge_places()["root"]), edges["root"], atol=1e-6)


def test_places_beside_the_flank_lie_beyond_its_ends() -> None:
    flank_map = even_map(outline_of({name: saddle(p) for name, p in edge_places().items()}))
    inside, beyond = places_at(flank_map, np.array([[350.0, 345.0], [20.0, 395.0]]))
    assert 0 < inside[0] < 1
    assert beyond[0] < 0


def test_turned_and_enlarged_pictures_give_the_same_places() -> None:
    turn = np.array([[0.0, -1.7], [1.7, 0.0]])
    seen = saddle(PLACES)
    plain = places_at(map_outline(outline_of({name: saddle(p) for name, p in edge_places().items()})), seen)
    other = places_at(
        map_outline(outline_of({name: saddle(p) @ turn for name, p in edge_places().items()})), seen @ turn
    )
    np.testing.assert_allclose(other, plain, atol=1e-6)
