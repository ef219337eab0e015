"""Poses of a known flank, photographed by a pinhole camera that is written out here on its own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, cached_property

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from patternscan.cautions import caution
from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, PatternscanError
from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, Profile, Rim, WormPair
from patternscan.gearing.wheel_flank import flank_edges, flank_points
from patternscan.seeing.geometry.camera import FOCAL, Lens
from patternscan.seeing.geometry.flank_shape import usual_shape
from patternscan.seeing.geometry.mapping import (
    BlendedPatch,
    FlankMap,
    PosedFlank,
    map_flank,
    map_outline,
    pose_flank,
)
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource, checked_outline, resampled
from patternscan.seeing.geometry.pose import fit_pose
from patternscan.seeing.geometry.seen_hand import check_lean
from tests.seeing.inverse_map import places_at

Array = NDArray[np.float64]
SIZE = (1600, 1200)
LENS = Lens(SIZE)
CLICKS = {"root": 9, "tip": 9, "end_a": 4, "end_b": 4}
STEADY_HAND = 0.004
"""How far off a person clicks an edge, fraction of the face width."""
PLACES = np.stack(np.meshgrid(np.linspace(0.1, 0.9, 9), np.linspace(0.15, 0.85, 5)), axis=-1).reshape(-1, 2)

PAIRS = (
    WormPair(4.0, 2, 40, 40.0, 29.0),
    WormPair(6.3, 1, 32, 63.0, 45.0, hand=Hand.LEFT),
    WormPair(3.15, 3, 46, 35.3, 23.9, profile=Profile.ZA, hob_oversize=0.05),
    WormPair(5.0, 4, 53, 50.0, 36.0, hand=Hand.LEFT),
)


@cache
def true_edges(pair: WormPair, flank: Flank) -> dict[str, Array]:
    """The flank's edges in mm, fine enough to count as curves."""
    return flank_edges(pair, flank, 161)


@dataclass(frozen=True)
class Shot:
    """A pinhole camera before one flank. Angles in radians, ``away`` in face widths, ``focal`` in long sides.

    ``tilt`` leans it from square toward the tip, ``aside`` toward end A; ``roll`` turns it round its line of sight.
    ``bend`` is a lens fault (k1), ``cut`` how far the lens's axis lies off the photo's middle, in long sides.
    """

    pair: WormPair
    flank: Flank
    tilt: float = 0.7
    aside: float = 0.15
    roll: float = 0.2
    away: float = 5.0
    focal: float = 1.5
    bend: float = 0.0
    cut: tuple[float, float] = (0.0, 0.0)

    @cached_property
    def middle(self) -> Array:
        """The middle of the flank in mm."""
        return np.asarray(flank_points(self.pair, self.flank, np.array([0.5]), np.array([0.5]))[0])

    @cached_property
    def eye(self) -> Array:
        """Where the camera stands in mm."""
        along, up = self.near(0.501, 0.5) - self.near(0.499, 0.5), self.near(0.5, 0.501) - self.near(0.5, 0.499)
        square = np.cross(along, up)
        # The right flank faces -x when the tooth points along -y (see the frame of the gearing room).
        square *= np.sign(-square[0] if self.flank is Flank.RIGHT else square[0]) / np.linalg.norm(square)
        outward = np.array([0.0, -1.0, 0.0]) + square[1] * square
        view = np.cos(self.tilt) * square + np.sin(self.tilt) * outward / np.linalg.norm(outward)
        view = np.cos(self.aside) * view + np.sin(self.aside) * np.array([0.0, 0.0, 1.0])
        return np.asarray(self.middle + self.away * self.pair.face_width_mm * view / np.linalg.norm(view))

    def near(self, along: float, up: float) -> Array:
        """One place of the flank in mm."""
        return np.asarray(flank_points(self.pair, self.flank, np.array([along]), np.array([up]))[0])

    def see(self, points: Array) -> Array:
        """Points (n, 3) in mm to pixels (n, 2): tip up when not rolled."""
        forward = self.middle - self.eye
        forward = forward / np.linalg.norm(forward) + [0.02, 0.03, -0.03]
        forward /= np.linalg.norm(forward)
        right = np.cross(forward, [0.0, -1.0, 0.0])
        right /= np.linalg.norm(right)
        down = np.cross(forward, right)
        ray = points - self.eye
        flat = np.stack([ray @ right, ray @ down], axis=1) / (ray @ forward)[:, None] * self.focal
        sine, cosine = np.sin(self.roll), np.cos(self.roll)
        flat = flat @ np.array([[cosine, sine], [-sine, cosine]]) + self.cut
        flat = flat * (1 + self.bend * (flat**2).sum(axis=1, keepdims=True))
        return np.asarray(flat * max(SIZE) + (np.array(SIZE) - 1) / 2)

    def pixels(self, places: Array = PLACES) -> Array:
        """Where places (n, 2) are seen."""
        return self.see(flank_points(self.pair, self.flank, places[:, 0], places[:, 1]))

    def edges(self, seed: int | None = None, off: float = STEADY_HAND) -> dict[str, Array]:
        """The edges as a person clicks them, evenly in the picture; without a seed exactly."""
        rng = np.random.default_rng(seed)
        seen = {name: self.see(edge) for name, edge in true_edges(self.pair, self.flank).items()}
        wide = float(np.linalg.norm(seen["root"][-1] - seen["root"][0]))
        clicked = {name: resampled(seen[name], np.linspace(0, 1, count)) for name, count in CLICKS.items()}
        if seed is not None:
            clicked = {name: edge + rng.normal(0, off * wide, edge.shape) for name, edge in clicked.items()}
        for end, index in (("end_a", 0), ("end_b", -1)):
            clicked[end][0], clicked[end][-1] = clicked["root"][index], clicked["tip"][index]
        return clicked

    def outline(self, seed: int | None = None, off: float = STEADY_HAND) -> Outline:
        """The checked outline; raises when the picture's sense of rotation contradicts the flank."""
        return checked_outline(self.edges(seed, off), self.flank)


def shots(count: int, seed: int = 3) -> list[Shot]:
    """Plausible photographs of all gears and both flanks."""
    rng = np.random.default_rng(seed)
    made = []
    for k in range(count):
        view = (rng.uniform(0.5, 1.0), rng.uniform(-0.3, 0.3), rng.uniform(-3, 3), rng.uniform(3.5, 7))
        made.append(Shot(PAIRS[k % 4], list(Flank)[k // 4 % 2], *view, focal=view[3] * rng.uniform(0.25, 0.4)))
    return made


def leaning(count: int, seed: int) -> list[Shot]:
    """The same without single starts, whose teeth lean too little to tell the hand for sure."""
    return [shot for shot in shots(count, seed) if shot.pair.starts > 1]


def errors(found: PosedFlank, shot: Shot) -> Array:
    """Found less true places, (n, 2)."""
    return np.asarray(places_at(found, shot.pixels()) - PLACES)


def told_by_gear_data(flank_map: FlankMap) -> bool:
    return isinstance(flank_map, PosedFlank) and flank_map.pose.pair is not None


def posed(outline: Outline, pair: WormPair | None, lens: Lens = LENS) -> PosedFlank:
    found = pose_flank(outline, pair, lens)
    assert found is not None
    return found


# --- the camera is found again ------------------------------------------------------------------------------------


@pytest.mark.parametrize("shot", shots(8), ids=str)
def test_exact_outlines_give_camera_and_places_back(shot: Shot) -> None:
    shot = replace(shot, focal=FOCAL)  # no pull toward the usual lens
    found = posed(shot.outline(), shot.pair)
    np.testing.assert_allclose(errors(found, shot), 0, atol=0.002)
    assert found.pose.fit.rms < 0.001
    assert found.pose.distance == pytest.approx(shot.away * shot.pair.face_width_mm, rel=0.03)
    np.testing.assert_allclose(found.pose.camera.focal_px, FOCAL * max(SIZE), rtol=0.03)


def test_angle_to_the_flank_is_the_camera_s() -> None:
    shot = Shot(PAIRS[0], Flank.RIGHT, tilt=0.8, aside=0.0)
    assert posed(shot.outline(), shot.pair).pose.off_square_deg == pytest.approx(np.degrees(0.8), abs=1.0)


def test_place_near_the_tip_at_end_a_is_seen_top_left_on_a_right_flank() -> None:
    """Landmark: with the tip up the right flank shows end A on the left (ISO 1122-1 with end face A as reference)."""
    shot = Shot(PAIRS[0], Flank.RIGHT, roll=0.0, aside=0.0)
    near_a, near_b, low = posed(shot.outline(), shot.pair).to_photo(np.array([[0.1, 0.9], [0.9, 0.9], [0.1, 0.1]]))
    assert near_a[0] < near_b[0] - 100
    assert near_a[1] < low[1] - 20


# --- what people and lenses do ------------------------------------------------------------------------------------


@pytest.mark.study
def test_doubt_is_what_clicking_leaves() -> None:
    """One standard deviation of the error along the face over many clicked outlines is what the map says of itself."""
    found = [(posed(shot.outline(seed=k), shot.pair), shot) for k, shot in enumerate(shots(32, seed=5))]
    ratio = [float(np.sqrt((errors(one, shot)[:, 0] ** 2).mean())) / one.uncertainty for one, shot in found]
    assert 0.5 < np.sqrt(np.mean(np.square(ratio))) < 1.3


@pytest.mark.study
def test_gear_data_beat_the_outline_alone() -> None:
    clicked = [(shot, shot.outline(seed=k)) for k, shot in enumerate(shots(16, seed=6))]
    known = [errors(posed(outline, shot.pair), shot) for shot, outline in clicked]
    alone = [places_at(map_outline(outline), shot.pixels()) - PLACES for shot, outline in clicked]
    assert np.abs(known).mean() < 0.5 * np.abs(alone).mean()


def test_four_corners_do_when_the_gear_is_known() -> None:
    """The curves between the corners come from the gear data then, not from the straight lines of the outline."""
    off = []
    for k, shot in enumerate(shots(8, seed=7)):
        corners = {name: edge[[0, -1]] for name, edge in shot.edges(seed=k).items()}
        off.append(errors(posed(checked_outline(corners, shot.flank), shot.pair), shot))
    assert np.sqrt((np.array(off)[..., 0] ** 2).mean()) < 0.01


@pytest.mark.parametrize("wrong", [{"profile": Profile.ZA}, {"profile": Profile.ZN}, {"hob_oversize": 0.08}])
def test_what_the_sheet_cannot_tell_matters_little(wrong: dict[str, float]) -> None:
    """Thread form and hob oversize are guessed; hobs are 2 to 8 % oversize (common practice)."""
    for shot in shots(4):
        guessed = replace(shot.pair, **wrong)  # type: ignore[arg-type]
        found = posed(shot.outline(), guessed)
        assert not found.pose.fit.rough
        assert np.abs(errors(found, shot)[:, 0]).mean() < 0.005
        assert map_flank(shot.outline(seed=3), guessed, LENS)[1] == ()


@pytest.mark.parametrize("bend", [-0.06, 0.06])
def test_a_lens_that_bends_lines_a_little_matters_little(bend: float) -> None:
    """Telephones leave about so much after their own correction (from memory)."""
    for shot in shots(4):
        bent = replace(shot, bend=bend)
        assert np.abs(errors(posed(bent.outline(), bent.pair), bent)).mean() < 0.006


@pytest.mark.parametrize("raised", [-0.02, 0.02])
def test_a_found_root_gives_way_to_the_tip(raised: float) -> None:
    """A root shows no edge. Drawn so many face widths too high, with a height that is known, it pulls the fitted tip
    along less where the outline was found.
    """
    for shot in shots(4):
        edges = shot.edges()
        upward = edges["tip"][4] - edges["root"][4]
        wide = float(np.linalg.norm(edges["root"][-1] - edges["root"][0]))
        edges["root"] = edges["root"] + raised * wide * upward / np.linalg.norm(upward)
        edges["end_a"][0], edges["end_b"][0] = edges["root"][[0, -1]]
        pulled = replace(checked_outline(edges, shot.flank), pulled=True)
        found = replace(pulled, source=OutlineSource.FOUND)
        assert off_tip(found, shot.pair) < 0.9 * off_tip(pulled, shot.pair)


def off_tip(outline: Outline, pair: WormPair) -> float:
    """How far the outline's tip lies from the fitted one, in the mean, px."""
    fitted = resampled(posed(outline, pair).pose.edges()["tip"], np.linspace(0, 1, 401))
    return float(np.linalg.norm(outline.tip[1:-1, None] - fitted, axis=2).min(axis=1).mean())


def test_a_photo_cut_on_one_side_matters_little() -> None:
    """Cut by a fifth of its width the photo has its middle a tenth off the lens's axis."""
    for shot in shots(4):
        cut = replace(shot, cut=(0.1, 0.0))
        assert np.abs(errors(posed(cut.outline(), cut.pair), cut)).mean() < 0.006


def test_an_end_cut_off_by_the_photo_does_not_count() -> None:
    """The person follows the photo's border where the tooth runs out of it; that border is no edge of the flank."""
    shot = Shot(PAIRS[0], Flank.RIGHT, roll=0.0, aside=0.0)
    seen = {name: shot.see(edge) for name, edge in true_edges(shot.pair, shot.flank).items()}
    border = float(shot.pixels(np.array([[0.8, 0.5]]))[0, 0])
    cut = {name: resampled(seen[name][seen[name][:, 0] < border], np.linspace(0, 1, 8)) for name in ("root", "tip")}
    for edge in cut.values():
        edge[-1, 0] = border
    ends = {"end_a": seen["end_a"][[0, 50, 110, 160]], "end_b": np.linspace(cut["root"][-1], cut["tip"][-1], 4)}
    # The photo's middle moves when it is cut, as it does for a camera turned away.
    size = (round(border) + 1, SIZE[1])
    found = pose_flank(checked_outline(cut | ends, Flank.RIGHT), shot.pair, Lens(size))
    assert found is not None
    assert np.abs(errors(found, shot)[:, 0]).mean() < 0.01


@pytest.mark.parametrize("seed", range(4))
def test_a_hidden_stretch_of_root_does_not_pull_the_map(seed: int) -> None:
    """A neighbouring tooth covers the root near one end: the outline then runs higher than the flank does."""
    shot = shots(4, seed=8)[seed]
    edges = shot.edges(seed)
    hidden = shot.pixels(np.stack([np.linspace(0, 0.3, 3), np.array([0.3, 0.2, 0.1])], axis=1))
    edges["root"][:3] = hidden
    edges["end_a"][0] = hidden[0]
    flank_map, cautions = map_flank(checked_outline(edges, shot.flank), shot.pair, LENS)
    assert isinstance(flank_map, PosedFlank)
    assert [caution.code for caution in cautions] in (["outline-rough"], ["end-unseen"])
    assert np.abs(errors(flank_map, shot)[:, 0]).mean() < 0.012


@pytest.mark.parametrize(("end", "first", "last"), [("A", 0.15, 1.0), ("B", 0.0, 0.75)])
@pytest.mark.parametrize("seed", [0, 2, 5])
def test_an_end_that_something_hides_is_known_by_the_throat(end: str, first: float, last: float, seed: int) -> None:
    """The edge of an inspection port covers one end, and the outline is drawn along it."""
    shot = shots(8, seed=8)[seed]
    edges = shot.edges(seed)
    run = np.linspace(first, last, 8)
    edges["root"], edges["tip"] = (resampled(edges[name], run) for name in ("root", "tip"))
    place = 0 if end == "A" else -1
    edges[f"end_{end.lower()}"] = np.linspace(edges["root"][place], edges["tip"][place], 4)
    flank_map, cautions = map_flank(checked_outline(edges, shot.flank), shot.pair, LENS)
    assert cautions == (caution("end-unseen", end=end),)
    assert isinstance(flank_map, PosedFlank)
    assert np.abs(errors(flank_map, shot)[:, 0]).mean() < 0.03


@pytest.mark.parametrize("share", [0.88, 1.12])
def test_a_wrong_face_width_is_not_taken_for_a_hidden_end(share: float) -> None:
    for shot in shots(4, seed=8):
        wrong = replace(shot.pair, face_width_mm=share * shot.pair.face_width_mm)
        _, cautions = map_flank(shot.outline(1), wrong, LENS)
        assert "end-unseen" not in [caution.code for caution in cautions]


# --- unknown gears ------------------------------------------------------------------------------------------------


def random_gears(count: int) -> list[WormPair]:
    """Gears of all sorts: 1 to 4 starts, 28 to 60 teeth, either hand, all profiles (handbook ranges, from memory)."""
    rng = np.random.default_rng(9)
    made = []
    for k in range(count):
        quotient = rng.uniform(8.5, 13)
        made.append(
            WormPair(
                *(1.0, k % 4 + 1, int(rng.integers(28, 61)), quotient, rng.uniform(0.52, 0.68) * (quotient + 2)),
                hand=list(Hand)[k % 2],
                profile=list(Profile)[k % 3],
                hob_oversize=rng.uniform(0.02, 0.06),
            )
        )
    return made


UNKNOWN = [
    (replace(shot, pair=pair), k) for k, (shot, pair) in enumerate(zip(shots(24, 21), random_gears(24), strict=True))
]


@pytest.mark.study
def test_a_usual_tooth_beats_the_patch_between_the_edges() -> None:
    clicked = [(shot, shot.outline(seed=k)) for shot, k in UNKNOWN]
    usual = [errors(posed(outline, None), shot) for shot, outline in clicked]
    patch = [places_at(map_outline(outline), shot.pixels()) - PLACES for shot, outline in clicked]
    assert np.abs(usual)[..., 0].mean() < 0.6 * np.abs(patch)[..., 0].mean()
    assert np.abs(usual)[..., 1].mean() < 0.7 * np.abs(patch)[..., 1].mean()


@pytest.mark.study
def test_doubt_of_a_usual_tooth_is_what_its_unknown_gear_and_clicking_leave() -> None:
    found = [(posed(shot.outline(seed=k), None), shot) for shot, k in UNKNOWN]
    ratio = [float(np.sqrt((errors(one, shot)[:, 0] ** 2).mean())) / one.uncertainty for one, shot in found]
    assert 0.5 < np.sqrt(np.mean(np.square(ratio))) < 1.3
    assert all(one.pose.fit.plausible for one, _ in found)


def test_a_usual_tooth_knows_no_millimetres_but_its_proportions_and_the_view() -> None:
    shot = Shot(PAIRS[0], Flank.RIGHT, tilt=0.8, aside=0.0, focal=FOCAL)
    pose = posed(shot.outline(), None).pose
    true_height = np.linalg.norm(shot.near(0.5, 1.0) - shot.near(0.5, 0.0)) / shot.pair.face_width_mm
    assert pose.pair is None
    assert pose.height == pytest.approx(true_height, rel=0.1)
    assert pose.off_square_deg == pytest.approx(np.degrees(0.8), abs=4.0)


def test_left_and_right_flanks_are_mirror_images() -> None:
    """Mirrored, the left flank of a wheel is the right flank of one of the other hand: all distances are the same."""

    def distances(flank: Flank, lean: float) -> Array:
        points = np.array([1.0, lean, 0.5, -0.5, 0.8]) @ usual_shape(flank).stack[::4, ::8].reshape(-1, 5, 3)
        return np.asarray(np.linalg.norm(points[:, None] - points, axis=2))

    for lean in (-1.0, 0.0, 0.7):
        np.testing.assert_allclose(distances(Flank.LEFT, lean), distances(Flank.RIGHT, -lean), atol=2e-3)


def test_what_is_no_tooth_at_all_falls_back_on_the_patch() -> None:
    """A flag with a wavy border."""
    run = np.linspace(0, 1, 17)
    wave = 60 * np.sin(4 * np.pi * run)
    root, tip = (np.stack([200 + 1000 * run, y + sign * wave], axis=1) for y, sign in ((800, 1), (300, -1)))
    edges = {"root": root, "tip": tip, "end_a": [root[0], tip[0]], "end_b": [root[-1], tip[-1]]}
    flank_map, cautions = map_flank(checked_outline(edges, Flank.RIGHT), None, LENS)
    assert isinstance(flank_map, BlendedPatch)
    assert cautions == (caution("outline-unlike"),)


# --- straight rims ------------------------------------------------------------------------------------------------

STRAIGHT_PAIRS = (
    WormPair(4.0, 2, 39, 40.0, 21.4, hand=Hand.LEFT, rim=Rim.STRAIGHT),
    WormPair(3.15, 1, 44, 35.3, 17.6, rim=Rim.STRAIGHT),
)
STRAIGHT_SHOTS = [replace(shot, pair=STRAIGHT_PAIRS[k % 2]) for k, shot in enumerate(shots(8, seed=31))]


@pytest.mark.parametrize("seed", range(8))
def test_a_straight_rim_is_told_by_the_edges_alone(seed: int) -> None:
    shot = STRAIGHT_SHOTS[seed]
    flank_map, cautions = map_flank(shot.outline(seed), None, LENS)
    assert cautions == ()
    assert isinstance(flank_map, PosedFlank)
    assert np.abs(errors(flank_map, shot)).mean(axis=0) == pytest.approx([0, 0], abs=0.025)


@pytest.mark.parametrize("seed", range(4))
def test_a_straight_rim_on_the_sheet_is_believed(seed: int) -> None:
    shot = STRAIGHT_SHOTS[seed]
    flank_map, cautions = map_flank(shot.outline(seed), shot.pair, LENS)
    assert told_by_gear_data(flank_map)
    assert cautions == ()


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("seen", Rim)
def test_the_other_rim_is_seen_whatever_the_sheet_says(seed: int, seen: Rim) -> None:
    shot = STRAIGHT_SHOTS[seed]
    shot = replace(shot, pair=replace(shot.pair, rim=seen))
    flank_map, cautions = map_flank(shot.outline(seed), replace(shot.pair, rim=seen.other), LENS)
    assert cautions == (caution("other-rim-seen", told=seen.other.value, seen=seen.value),)
    assert isinstance(flank_map, PosedFlank)
    assert flank_map.pose.pair == shot.pair


@pytest.mark.parametrize("known", [False, True])
def test_an_edge_that_much_disagrees_outranks_the_tooth(known: bool) -> None:
    """A root edge that sags between its corners, as no hob leaves it: places follow it as it was marked."""
    shot = Shot(PAIRS[0], Flank.RIGHT, roll=0.0, aside=0.0)
    edges = shot.edges()
    edges["root"][2:-2, 1] += 60 * np.sin(np.linspace(0, np.pi, 5))
    flank_map, cautions = map_flank(checked_outline(edges, shot.flank), shot.pair if known else None, LENS)
    assert isinstance(flank_map, BlendedPatch)
    assert [one.code for one in cautions] == ["gear-data-unlike"] * known + ["outline-unlike"]
    low = flank_map.to_photo(np.array([[0.5, 0.0]]))
    assert np.linalg.norm(low - edges["root"][4]) < 10


# --- inputs that contradict each other ----------------------------------------------------------------------------


def other(flank: Flank) -> Flank:
    return Flank.LEFT if flank is Flank.RIGHT else Flank.RIGHT


@pytest.mark.parametrize("shot", leaning(8, seed=11), ids=str)
def test_a_mirrored_photo_is_noticed(shot: Shot) -> None:
    """Mirrored, and named so that it looks right: the tooth then runs as on a wheel of the other hand."""
    mirrored = {name: edge * [-1, 1] + [SIZE[0] - 1, 0] for name, edge in shot.edges(seed=1).items()}
    with pytest.raises(InconsistentInputs, match="hand wheel"):
        map_flank(checked_outline(mirrored, other(shot.flank)), shot.pair, LENS)


@pytest.mark.parametrize("shot", leaning(4, seed=11), ids=str)
def test_a_mirrored_photo_is_doubted_where_the_outline_is_not_sure(shot: Shot) -> None:
    mirrored = {name: edge * [-1, 1] + [SIZE[0] - 1, 0] for name, edge in shot.edges(seed=1).items()}
    found = replace(checked_outline(mirrored, other(shot.flank)), source=OutlineSource.FOUND)
    flank_map, cautions = map_flank(found, shot.pair, LENS)
    assert not told_by_gear_data(flank_map)
    assert [caution.code for caution in cautions] == ["other-hand-seen"]


@pytest.mark.parametrize("shot", leaning(4, seed=14), ids=str)
def test_the_lean_alone_refuses_the_other_hand_and_passes_the_own(shot: Shot) -> None:
    pose = fit_pose(shot.outline(seed=2), None, LENS)
    assert check_lean(shot.outline(seed=2), pose, shot.pair.hand) == ()
    with pytest.raises(InconsistentInputs, match="hand wheel"):
        check_lean(shot.outline(seed=2), pose, shot.pair.hand.other)


def test_a_wheel_turned_end_for_end_keeps_its_hand() -> None:
    """Both ends and the flank mixed up look like the same wheel; the hand cannot tell."""
    shot = leaning(1, seed=15)[0]
    edges = shot.edges(seed=1)
    turned = {"root": edges["root"][::-1], "tip": edges["tip"][::-1], "end_a": edges["end_b"], "end_b": edges["end_a"]}
    assert map_flank(checked_outline(turned, other(shot.flank)), shot.pair, LENS)[1] == ()


@pytest.mark.parametrize("shot", leaning(8, seed=12), ids=str)
def test_the_wrong_hand_on_the_sheet_is_noticed(shot: Shot) -> None:
    with pytest.raises(InconsistentInputs, match="hand wheel"):
        map_flank(shot.outline(seed=2), replace(shot.pair, hand=shot.pair.hand.other), LENS)


@pytest.mark.parametrize("change", [{"face_width_mm": 1.3}, {"module_mm": 0.7}])
def test_gear_data_of_another_wheel_are_noticed(change: dict[str, float]) -> None:
    for shot in shots(4, seed=13):
        other_wheel = replace(shot.pair, **{name: getattr(shot.pair, name) * by for name, by in change.items()})
        _, cautions = map_flank(shot.outline(seed=3), other_wheel, LENS)
        assert {caution.code for caution in cautions} & {"gear-data-unlike", "outline-rough", "other-hand-seen"}


def test_a_worm_of_another_size_is_noticed_where_a_usual_tooth_fits_much_better() -> None:
    """The misfit alone is that of a hand less steady. What the tool drew itself tells nothing of the kind."""
    for shot in shots(5, seed=13)[2:]:
        outline, thinner = shot.outline(seed=3), replace(shot.pair, worm_diameter_mm=0.9 * shot.pair.worm_diameter_mm)
        assert not posed(outline, thinner).pose.fit.rough
        assert [one.code for one in map_flank(outline, thinner, LENS)[1]] == ["gear-data-unlike"]
        drawn = replace(outline, source=OutlineSource.FOUND, confidence=0.9)
        assert map_flank(drawn, thinner, LENS)[1] == ()


@pytest.mark.parametrize("known", [True, False])
def test_root_marked_as_tip_is_refused(known: bool) -> None:
    """Turned by half a turn the outline keeps its sense of rotation, but no tooth of this wheel looks like that."""
    for shot in shots(4, seed=14):
        turned, pair = shot.outline(seed=4).half_turned, shot.pair if known else None
        with pytest.raises(NoTrustworthyOutline, match="root and tip of the tooth changed over"):
            map_flank(turned, pair, LENS)
        found = replace(turned, source=OutlineSource.FOUND, confidence=0.9)
        assert map_flank(found, pair, LENS)[1]


def test_a_flank_of_a_few_pixels_in_a_large_photo_tells_no_pose() -> None:
    """Half of a hundredth of the photo wide."""
    corners = {"root": [(100, 112), (121, 112)], "tip": [(100, 100), (121, 100)]}
    corners |= {"end_a": [(100, 112), (100, 100)], "end_b": [(121, 112), (121, 100)]}
    outline = checked_outline(corners, Flank.RIGHT)
    for pair, code in ((None, "outline-unlike"), (PAIRS[0], "gear-data-no-view")):
        assert fit_pose(outline, pair, Lens((4000, 3000))) is None
        found, told = map_flank(outline, pair, Lens((4000, 3000)))
        assert isinstance(found, BlendedPatch)
        assert code in {one.code for one in told}


def test_an_outline_that_is_all_photo_border_tells_no_pose() -> None:
    """Nothing of the flank's edges is in the photo, so there is nothing to fit."""
    (x, y) = np.array(SIZE) - 1.0
    box = {"root": [[0, y], [x, y]], "tip": [[0, 0], [x, 0]], "end_a": [[0, y], [0, 0]], "end_b": [[x, y], [x, 0]]}
    outline = checked_outline(box, Flank.RIGHT)
    assert fit_pose(outline, PAIRS[0], LENS) is None
    flank_map, cautions = map_flank(outline, PAIRS[0], LENS)
    assert isinstance(flank_map, BlendedPatch)
    assert [caution.code for caution in cautions] == ["gear-data-no-view", "outline-unlike"]


def test_without_gear_data_the_outline_serves_and_nothing_is_said() -> None:
    flank_map, cautions = map_flank(shots(1)[0].outline(), None, LENS)
    assert not told_by_gear_data(flank_map)
    assert cautions == ()


def test_right_gear_data_are_taken_in_silence() -> None:
    told = [map_flank(shot.outline(seed=k), shot.pair, LENS)[1] for k, shot in enumerate(shots(16, seed=15))]
    assert told == [()] * 16


# --- laws ---------------------------------------------------------------------------------------------------------


@settings(deadline=None, max_examples=15)
@given(st.integers(0, 15), st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=20))
def test_there_and_back(number: int, places: list[tuple[float, float]]) -> None:
    shot = shots(16)[number]
    found = posed(shot.outline(seed=number), shot.pair)
    there = found.to_photo(np.array(places))
    np.testing.assert_allclose(found.to_photo(places_at(found, there)), there, atol=0.01)


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 10_000), st.booleans())
def test_any_four_sided_outline_gets_a_map_of_finite_places(seed: int, known: bool) -> None:
    rng = np.random.default_rng(seed)
    corners = rng.uniform(-0.2, 1.2, (4, 2)) * SIZE
    run = np.linspace(0, 1, int(rng.integers(2, 9)))[:, None]
    bent = 4 * run * (1 - run) * rng.normal(0, 60, 2)
    sides = {"root": (0, 1), "tip": (3, 2), "end_a": (0, 3), "end_b": (1, 2)}
    edges = {name: corners[a] + (corners[b] - corners[a]) * run + bent for name, (a, b) in sides.items()}
    for flank in Flank:
        try:
            outline = checked_outline(edges, flank)
            flank_map, _ = map_flank(outline, PAIRS[seed % 4] if known else None, LENS)
        except PatternscanError:
            continue
        assert np.isfinite(flank_map.uncertainty)
        assert np.isfinite(places_at(flank_map, flank_map.to_photo(PLACES))).all()


def test_beyond_the_border_the_flank_goes_on() -> None:
    shot = Shot(PAIRS[0], Flank.RIGHT)
    found = posed(shot.outline(), shot.pair)
    beyond = np.array([[-0.03, 0.5], [1.03, 0.5], [0.5, -0.03]])
    np.testing.assert_allclose(found.to_photo(beyond), shot.pixels(beyond), atol=1.5)


@pytest.mark.parametrize("quarters", [1, 2, 3])
def test_turned_and_enlarged_photos_give_the_same_places(quarters: int) -> None:
    shot = Shot(PAIRS[2], Flank.LEFT)
    middle, turn = (np.array(SIZE) - 1) / 2, np.linalg.matrix_power(np.array([[0.0, 1.0], [-1.0, 0.0]]), quarters)
    size = (2 * SIZE[quarters % 2], 2 * SIZE[1 - quarters % 2])
    edges = {k: 2 * (e - middle) @ turn + (np.array(size) - 1) / 2 for k, e in shot.edges(seed=1).items()}
    plain = places_at(posed(shot.outline(seed=1), shot.pair), shot.pixels())
    turned = pose_flank(checked_outline(edges, shot.flank), shot.pair, Lens(size))
    assert turned is not None
    pixels = 2 * (shot.pixels() - middle) @ turn + (np.array(size) - 1) / 2
    np.testing.assert_allclose(places_at(turned, pixels), plain, atol=2e-3)


def test_fitted_edges_lie_nearer_to_the_truth_than_the_clicked_ones() -> None:
    gained = []
    for k, shot in enumerate(shots(8, seed=16)):
        pose = fit_pose(shot.outline(seed=k), shot.pair, LENS)
        assert pose is not None
        true = shot.see(true_edges(shot.pair, shot.flank)["tip"])
        from_line = [
            np.linalg.norm(true[:, None] - edge, axis=2).min(axis=0)
            for edge in (pose.edges()["tip"], shot.edges(seed=k)["tip"])
        ]
        gained.append([float(np.mean(one)) for one in from_line])
    fitted, clicked = np.mean(gained, axis=0)
    assert fitted < 0.7 * clicked


def mirrored(outline: Outline) -> Outline:
    """The same tooth in a mirrored photo, named as a person would who still sees the letter A at the same end."""
    edges = {name: getattr(outline, name) * [-1, 1] + [SIZE[0] - 1, 0] for name in EDGE_NAMES}
    return checked_outline(edges, Flank.LEFT if outline.flank is Flank.RIGHT else Flank.RIGHT)


@pytest.mark.parametrize("flank", list(Flank))
@pytest.mark.parametrize("pair", [PAIRS[0], PAIRS[2], PAIRS[3]], ids=lambda pair: f"{pair.starts} starts")
@pytest.mark.parametrize("tilt", [0.3, 0.7])
def test_the_lean_tells_the_hand_of_an_unknown_gear(flank: Flank, pair: WormPair, tilt: float) -> None:
    """A screw's mirror image is a screw of the other hand (ISO 1122-1), so a mirrored photo tells itself."""
    outline = Shot(pair, flank, tilt=tilt).outline(seed=1)
    seen, turned = fit_pose(outline, None, LENS), fit_pose(mirrored(outline), None, LENS)
    assert seen is not None
    assert turned is not None
    assert seen.hand is pair.hand
    assert turned.hand is (Hand.LEFT if pair.hand is Hand.RIGHT else Hand.RIGHT)


def test_teeth_that_hardly_lean_tell_no_hand() -> None:
    square = WormPair(6.3, 1, 40, 100.0, 45.0)
    seen = fit_pose(Shot(square, Flank.RIGHT).outline(seed=1), None, LENS)
    assert seen is not None
    assert seen.hand is None
