"""The flank of a hobbed worm wheel, throated or with a straight rim, as the envelope of its hob.

The hob is a larger worm with the same normal pitch. Its axis is swivelled by the difference of the two lead angles, so
that at the pitch point its thread runs as the worm's does, and stands further out by the difference of the radii. Worm
and hob then agree at the pitch point, and the wheel is relieved away from it. The hob's flank is taken to reach as
deep as it is needed: the fillet that its tips leave lies below what a worm can touch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from patternscan.frame import Flank
from patternscan.gearing.meshing import Setting, conjugate, passage, places_of
from patternscan.gearing.pair import ADDENDUM, Hand, WormPair
from patternscan.gearing.worm import Numbers, hob_thread

ROWS, COLUMNS = 48, 96
"""Grid of a flank: cells from tip to root, and from end A to end B."""


@dataclass(frozen=True, slots=True, eq=False)
class WheelFlank:
    """A grid of points on one flank, row 0 at the tip, column 0 at end A; cell centres. Arrays are locked.

    ``along`` (columns,) and ``up`` (rows,) are places in the flank frame, ``rho_mm``, ``angle`` and ``z_mm``
    (rows, columns) the points in the wheel's frame, ``touch_angle`` where on its circle the hob made each point.
    """

    pair: WormPair
    flank: Flank
    along: Numbers
    up: Numbers
    rho_mm: Numbers
    angle: Numbers
    z_mm: Numbers
    touch_angle: Numbers

    def points(self, tooth: int = 0) -> Numbers:
        """Points (rows, columns, 3) in mm in the wheel's frame; ``tooth`` counts teeth toward +x from this one."""
        return places_of(self.rho_mm, self.angle + tooth * self.pair.tooth_angle_rad, self.z_mm)

    def normals(self, tooth: int = 0) -> Numbers:
        """Unit normals (rows, columns, 3) that point out of the tooth."""
        thread = hob_thread(self.pair, self.flank)
        raw = passage(thread, hob_setting(self.pair), self.rho_mm, self.z_mm, self.touch_angle).normal
        unit = -thread.side * raw / np.linalg.norm(raw, axis=-1, keepdims=True)
        return turned(unit, self.angle + tooth * self.pair.tooth_angle_rad - self.touch_angle)


def hob_setting(pair: WormPair) -> Setting:
    """How the hob stood against the wheel when it was cut."""
    sign = 1 if pair.hand is Hand.RIGHT else -1
    swivel = math.radians(pair.lead_angle_deg + pair.hob_trim_deg) - hob_thread(pair, Flank.RIGHT).lead_angle
    further_out = pair.worm_radius_mm * pair.hob_oversize
    return Setting(pair.centre_distance_mm + further_out, -sign * swivel)


def cut_flank(pair: WormPair, flank: Flank, rows: int = ROWS, columns: int = COLUMNS) -> WheelFlank:
    """The flank as it left the hob, on a grid of cell centres."""
    along, up = (np.arange(columns) + 0.5) / columns, 1 - (np.arange(rows) + 0.5) / rows
    rho = _radius(pair, along, up[:, None])
    z = np.broadcast_to(_height(pair, along), rho.shape)
    angle, touch_angle = conjugate(hob_thread(pair, flank), hob_setting(pair), pair.teeth, rho, z)
    arrays = (along, up, rho, angle, z, touch_angle)
    for array in arrays:
        array.setflags(write=False)
    return WheelFlank(pair, flank, *arrays)


def flank_points(pair: WormPair, flank: Flank, along: Numbers, up: Numbers) -> Numbers:
    """Points (n, 3) in mm of the wheel's flank at n places given by ``along`` and ``up``."""
    z, rho = _height(pair, along), _radius(pair, along, up)
    angle, _ = conjugate(hob_thread(pair, flank), hob_setting(pair), pair.teeth, rho, z)
    return places_of(rho, angle, z)


def flank_edges(pair: WormPair, flank: Flank, points: int = 41) -> dict[str, Numbers]:
    """The four edges, each (points, 3) in mm: root and tip from end A to end B, end_a and end_b from root to tip."""
    run, zero, one = np.linspace(0, 1, points), np.zeros(points), np.ones(points)
    along, up = np.concatenate([run, run, zero, one]), np.concatenate([zero, one, run, run])
    edges = np.split(flank_points(pair, flank, along, up), 4)
    return dict(zip(("root", "tip", "end_a", "end_b"), edges, strict=True))


def turned(points: Numbers, angle: Numbers | float) -> Numbers:
    """Points or points (..., 3) turned with the wheel by ``angle`` (...) in rad, the way teeth are counted."""
    sine, cosine = np.sin(angle), np.cos(angle)
    x, y = points[..., 0], points[..., 1]
    return np.stack([cosine * x - sine * y, sine * x + cosine * y, points[..., 2]], axis=-1)


def tip_radius(pair: WormPair, z: Numbers) -> Numbers:
    """Radius of the wheel's tip edge at height z (mm): the gorge round the worm, cut off by the outside cylinder."""
    inside = np.sqrt(np.maximum(pair.gorge_radius_mm**2 - z**2, 0.0))
    gorge = np.where(np.abs(z) < pair.gorge_radius_mm, pair.centre_distance_mm - inside, np.inf)
    return np.minimum(gorge, pair.rim_radius_mm)


def root_radius(pair: WormPair, z: Numbers) -> Numbers:
    """Radius of the active root line at height z (mm): as deep as the worm's tips, set out with the hob, can reach."""
    reach = pair.worm_radius_mm * (1 + pair.hob_oversize) + ADDENDUM * pair.module_mm
    hob_centre = pair.centre_distance_mm + pair.worm_radius_mm * pair.hob_oversize
    radius: Numbers = hob_centre - np.sqrt(reach**2 - z**2)
    return radius


def _height(pair: WormPair, along: Numbers) -> Numbers:
    return (0.5 - along) * pair.face_width_mm


def _radius(pair: WormPair, along: Numbers, up: Numbers) -> Numbers:
    z = _height(pair, along)
    root = root_radius(pair, z)
    return root + (tip_radius(pair, z) - root) * up
