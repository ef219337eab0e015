"""A worm pair by another route, to set beside patternscan.gearing: ruled surfaces, discrete cutting, nearest points.

Every thread is a straight line carried along a screw (theory of gearing: ZA a line that meets the axis, ZI a tangent
of the base helix, ZN a line across the thread space). The wheel is what many discrete positions of the hob leave of
it. The worm is a cloud of points; the gap is the least distance from the wheel's points to that cloud over the turn,
the wheel turned to first touch by halving. Nothing of patternscan.gearing's computing is used, only the words that
name the gear data. Lengths in mm, angles in radians; the frame is that of patternscan.gearing.pair.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree  # type: ignore[import-untyped]

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair

Numbers = NDArray[np.float64]

NEWTON_ROUNDS, HALVINGS = 8, 15
POSITIONS = 30
SPACING_MM = 0.06


@dataclass(frozen=True, slots=True)
class RuledThread:
    """A line from ``start`` along ``direction`` (both (3,), x along the axis), screwed about x with ``lead`` a radian.

    ``side`` +1 when the surface faces +x.
    """

    start: Numbers
    direction: Numbers
    lead: float
    side: int

    def points(self, run: Numbers, turn: Numbers) -> Numbers:
        """Points (..., 3) at ``run`` along the line, screwed by ``turn``."""
        line = self.start + run[..., None] * self.direction
        return screwed(line, turn, self.lead)

    def slopes(self, run: Numbers, turn: Numbers) -> tuple[Numbers, Numbers]:
        """Slopes (..., 3) of ``points`` by run and by turn."""
        line = self.start + run[..., None] * self.direction
        by_run = screwed(np.broadcast_to(self.direction, line.shape), turn, 0.0)
        by_turn = screwed(line, turn + math.pi / 2, 0.0)
        by_turn[..., 0] = self.lead
        return by_run, by_turn

    def normals(self, run: Numbers, turn: Numbers) -> Numbers:
        """Unit normals that point out of the thread."""
        normal = np.cross(*self.slopes(run, turn))
        normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
        return normal * np.sign(normal[..., :1]) * self.side

    def run_at(self, radius: float) -> float:
        """Where along the line the distance from the axis is ``radius``, outside the nearest approach."""
        s, d = self.start[1:], self.direction[1:]
        middle, square = -float(s @ d) / float(d @ d), float(d @ d)
        apart = float(s @ s) - square * middle**2
        outward = math.sqrt(max(radius**2 - apart, 0.0) / square)
        return middle + outward


def screwed(points: Numbers, turn: Numbers, lead: float) -> Numbers:
    """Points (..., 3) turned about x (right-handed) by ``turn`` and advanced by lead * turn."""
    sine, cosine = np.sin(turn), np.cos(turn)
    x, y, z = points[..., 0], points[..., 1], points[..., 2]
    return np.stack([x + lead * turn, cosine * y - sine * z, sine * y + cosine * z], axis=-1)


def ruled_thread(
    profile: Profile, side: int, radius: float, lead: float, starts: int, normal_angle: float
) -> RuledThread:
    """A thread half a pitch thick on its pitch cylinder; ``lead`` in mm per radian, negative for a left-hand thread."""
    along_thread, hand = math.hypot(lead, radius), 1 if lead > 0 else -1
    sine, cosine, tangent = abs(lead) / along_thread, radius / along_thread, math.tan(normal_angle)
    half = math.pi * abs(lead) / starts / 2
    start, direction = np.array([0.0, radius, 0.0]), np.array([0.0, 1.0, 0.0])
    if profile is Profile.ZA:
        direction -= side * tangent / cosine * np.array([1.0, 0.0, 0.0])
    elif profile is Profile.ZN:
        across = np.array([cosine, 0.0, -hand * sine])
        start -= side * half * cosine * across
        direction -= side * tangent * across
    else:
        base_cosine = cosine * math.cos(normal_angle)
        base = abs(lead) * base_cosine / math.sqrt(1 - base_cosine**2)
        start = np.array([0.0, base, 0.0])
        direction = -side * np.array([abs(lead), 0.0, hand * base]) / math.hypot(lead, base)
    thread = RuledThread(start, direction, lead, side)
    x, y, z = thread.points(np.array(thread.run_at(radius)), np.array(0.0))
    start[0] += side * half - (x - lead * math.atan2(z, y))
    return thread


@dataclass(frozen=True, slots=True)
class Mount:
    """A thread against the wheel: axes apart, axis turned right-handed about -y, wheel moved toward +z."""

    apart: float
    turned: float = 0.0
    moved: float = 0.0

    def to_wheel(self, points: Numbers) -> Numbers:
        """From the thread's frame to the frame of the wheel's axis."""
        sine, cosine = math.sin(self.turned), math.cos(self.turned)
        x, y, z = points[..., 0], points[..., 1], points[..., 2]
        return np.stack([x * cosine - z * sine, y - self.apart, x * sine + z * cosine - self.moved], axis=-1)

    def to_thread(self, points: Numbers) -> Numbers:
        """Back again."""
        sine, cosine = math.sin(self.turned), math.cos(self.turned)
        x, y, z = points[..., 0], points[..., 1], points[..., 2] + self.moved
        return np.stack([x * cosine + z * sine, y + self.apart, z * cosine - x * sine], axis=-1)


@dataclass(frozen=True, slots=True)
class DensePair:
    """One flank of a pair by ruled surfaces."""

    worm: RuledThread
    hob: RuledThread
    hob_mount: Mount
    worm_radius: float
    hob_radius: float
    pitch: float
    teeth: int
    module: float
    centres: float

    @property
    def turn_ratio(self) -> float:
        """Turn of the wheel for one of the worm, with the hand's sign: starts over teeth."""
        return math.copysign(2 * math.pi * abs(self.worm.lead) / self.pitch / self.teeth, self.worm.lead)


def dense_pair(pair: WormPair, flank: Flank) -> DensePair:
    """Worm and hob from the gear data: the hob has the worm's normal pitch and normal pressure angle."""
    side, hand = (1 if flank is Flank.RIGHT else -1), (1 if pair.hand is Hand.RIGHT else -1)
    radius, lead = pair.worm_diameter_mm / 2, pair.module_mm * pair.starts / 2
    angle = math.radians(pair.pressure_angle_deg)
    steep = math.atan2(lead, radius)
    if pair.profile is Profile.ZA:
        angle = math.atan(math.tan(angle) * math.cos(steep))
    hob_radius = radius * (1 + pair.hob_oversize)
    hob_steep = math.asin(math.sin(steep) * radius / hob_radius)
    hob_lead = hob_radius * math.tan(hob_steep)
    swivel = -hand * (steep - hob_steep + math.radians(pair.hob_trim_deg))
    centres = radius + pair.module_mm * pair.teeth / 2
    worm = ruled_thread(pair.profile, side, radius, hand * lead, pair.starts, angle)
    hob = ruled_thread(pair.profile, side, hob_radius, hand * hob_lead, pair.starts, angle)
    mount = Mount(centres + hob_radius - radius, swivel)
    pitch = 2 * math.pi * lead / pair.starts
    return DensePair(worm, hob, mount, radius, hob_radius, pitch, pair.teeth, pair.module_mm, centres)


def cut(dense: DensePair, rho: Numbers, z: Numbers, steps: int = 180) -> Numbers:
    """Angle (n,) of the wheel's flank at n places, left by ``steps`` positions of the turning hob."""
    turns = np.linspace(-2.2, 2.2, steps) * dense.pitch / dense.hob.lead
    angles = [_cut_at(dense, rho, z, turn, -turn * dense.turn_ratio) for turn in turns]
    return dense.hob.side * _crest(dense.hob.side * np.array(angles))


def _cut_at(dense: DensePair, rho: Numbers, z: Numbers, turn: float, wheel_turn: float) -> Numbers:
    """Where the hob turned by ``turn`` meets the circles (rho, z), by Newton's method on run and turn of its line."""
    hob, mount = dense.hob, dense.hob_mount
    guess = mount.to_thread(np.stack([rho * math.sin(wheel_turn), -rho * math.cos(wheel_turn), z], axis=-1))
    run = np.full(rho.shape, hob.run_at(dense.hob_radius))
    around = np.arctan2(guess[..., 2], guess[..., 1]) - turn
    off = np.full(rho.shape, np.inf)
    for _ in range(NEWTON_ROUNDS):
        here = mount.to_wheel(screwed(hob.points(run, around), np.array(turn), 0.0))
        by_run, by_turn = (_swung(mount, screwed(slope, np.array(turn), 0.0)) for slope in hob.slopes(run, around))
        radius = np.hypot(here[..., 0], here[..., 1])
        a, b = (_radial(here, slope, radius) for slope in (by_run, by_turn))
        c, d = by_run[..., 2], by_turn[..., 2]
        e, f = rho - radius, z - here[..., 2]
        off, scale = np.hypot(e, f), a * d - b * c
        with np.errstate(divide="ignore", invalid="ignore"):
            run = run + np.clip((d * e - b * f) / scale, -9, 9)
            around = around + np.clip((a * f - c * e) / scale, -0.3, 0.3)
    far = np.hypot(*np.moveaxis(hob.points(run, around), -1, 0)[1:]) > 1.4 * dense.hob_radius
    angle = np.arctan2(here[..., 0], -here[..., 1]) - wheel_turn
    return np.where((off < 1e-7) & ~far, angle, np.nan)


def _swung(mount: Mount, vectors: Numbers) -> Numbers:
    return mount.to_wheel(vectors) - mount.to_wheel(np.zeros(3))


def _radial(here: Numbers, slope: Numbers, radius: Numbers) -> Numbers:
    return (here[..., 0] * slope[..., 0] + here[..., 1] * slope[..., 1]) / radius


def _crest(values: Numbers) -> Numbers:
    """Greatest of the rows (steps, n), with a parabola through it and its neighbours."""
    top = np.nanargmax(np.where(np.isnan(values), -np.inf, values), axis=0).clip(1, len(values) - 2)
    column = np.arange(values.shape[1])
    before, at, after = (values[top + step, column] for step in (-1, 0, 1))
    bend = before - 2 * at + after
    crest = at - (after - before) ** 2 / (8 * bend)
    greatest: Numbers = np.where(np.isfinite(crest) & (bend < 0), crest, np.nanmax(values, axis=0))
    return greatest


def dense_gap(pair: WormPair, flank: Flank, placement: Placement, rho: Numbers, z: Numbers) -> tuple[Numbers, Numbers]:
    """Least gap (n,) in mm at n places of the flank over the mesh, and how far the wheel turns back to first touch."""
    dense = dense_pair(pair, flank)
    mount = Mount(
        dense.centres + placement.centre_error_mm,
        math.radians(placement.shaft_angle_error_deg),
        placement.wheel_toward_a_mm,
    )
    worm = WormCloud(dense, dense.worm_radius + dense.module)
    angle = cut(dense, rho, z)
    gap, lags = np.full(rho.shape, np.inf), []
    for step in range(POSITIONS):
        worm_turn = -step / POSITIONS * dense.pitch / dense.worm.lead
        wheel_turn = -worm_turn * dense.turn_ratio
        lag, distance = _touch(dense, worm, mount, (rho, z, angle + wheel_turn), worm_turn)
        gap = np.minimum(gap, distance)
        lags.append(lag)
    return gap, np.array(lags)


class WormCloud:
    """Points on a short piece of one thread; the rest of the thread is the same piece carried along its screw."""

    def __init__(self, dense: DensePair, tip_radius: float) -> None:
        thread, foot = dense.worm, dense.worm_radius - 1.15 * dense.module
        self.lead, self.pitch, self.tip_radius = thread.lead, dense.pitch, tip_radius
        run = np.append(
            np.arange(thread.run_at(foot), thread.run_at(tip_radius), SPACING_MM), thread.run_at(tip_radius)
        )
        line = thread.points(run, np.zeros_like(run))
        around = np.arctan2(line[:, 2], line[:, 1])
        self.radii, self.section = np.hypot(line[:, 1], line[:, 2]), line[:, 0] - thread.lead * around
        beside = np.arange(-1.5, 1.5, SPACING_MM) / math.hypot(dense.worm_radius, thread.lead)
        runs, turns = np.broadcast_arrays(run[:, None], beside - around[:, None])
        self.points = thread.points(runs, turns).reshape(-1, 3)
        self.normals = thread.normals(runs, turns).reshape(-1, 3)
        self.tree = cKDTree(self.points)

    def carried(self, points: Numbers) -> tuple[Numbers, Numbers]:
        """Points (n, 3) carried along the screw to the piece of thread, and their places (n,) along x beside it."""
        around = np.arctan2(points[:, 2], points[:, 1])
        moved = screwed(points, -around, self.lead)
        beside = moved[:, 0] - np.interp(moved[:, 1], self.radii, self.section)
        beside -= self.pitch * np.round(beside / self.pitch)
        moved[:, 0] = np.interp(moved[:, 1], self.radii, self.section) + beside
        return moved, beside

    def distance(self, points: Numbers) -> Numbers:
        """Distance (n,) of points in the worm's frame from its thread, negative inside it."""
        moved, _ = self.carried(points)
        apart, nearest = self.tree.query(moved)
        from_plane = np.einsum("ij,ij->i", moved - self.points[nearest], self.normals[nearest])
        distance: Numbers = np.where(moved[:, 1] <= self.tip_radius, from_plane, apart)
        return distance


def _touch(
    dense: DensePair, worm: WormCloud, mount: Mount, wheel: tuple[Numbers, Numbers, Numbers], worm_turn: float
) -> tuple[float, Numbers]:
    """Turn the wheel back to first touch by halving; that turn, and every place's least distance over the teeth."""
    rho, z, angle = wheel
    teeth = np.arange(-4, 5)[:, None] * 2 * math.pi / dense.teeth

    def in_worm(index: NDArray[np.intp], back: float) -> Numbers:
        place = (angle + teeth).ravel()[index] - dense.worm.side * back
        here = index % rho.size
        fixed = np.stack([rho[here] * np.sin(place), -rho[here] * np.cos(place), z[here]], axis=-1)
        return screwed(mount.to_thread(fixed), np.array(-worm_turn), 0.0)

    every = np.arange(rho.size * len(teeth))
    points = in_worm(every, 0.0)
    near = np.hypot(points[:, 1], points[:, 2]) < worm.tip_radius + 0.2
    near[near] = np.abs(worm.carried(points[near])[1]) < 1.0
    index = every[near]
    low, high = -0.5 / rho.mean(), 0.5 / rho.mean()
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if worm.distance(in_worm(index, middle)).min() > 0 else (low, middle)
    gap = np.full(rho.size, np.inf)
    np.minimum.at(gap, index % rho.size, worm.distance(in_worm(index, low)))
    return low, gap
