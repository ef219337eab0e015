"""What a tooth of a throated worm wheel looks like: a few numbers of the gear, a few of the camera.

All lengths are in axial modules. The wheel turns about z with its middle plane at z = 0, tooth 0 stands at +y,
and the worm axis runs along x above it. Side +1 of a tooth is the flank looking toward +x. The picture is
turned so that the tip points up; the camera looks at the middle of the flank at the pitch radius.

A point of a tooth has the coordinates across (-0.5 to 0.5 of the face width), up (0 root to 1 tip), tooth (0, +-1, ..)
and side (+1 or -1). The worm is taken as a straight-sided screw whose cut through each plane z is laid on the wheel
without rolling; that is near enough for a first outline, to be refined on the picture's own edges.
Source of the proportions (throat, root, face width): common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from patternscan.gearing.pair import Hand, WormPair
from patternscan.seeing.geometry.camera import CameraSet

Numbers = NDArray[np.float64]
Map = NDArray[np.float32]


class Column(IntEnum):
    """Columns of a set of pose hypotheses (n, 12): six for the camera, six for the gear.

    Camera direction off the flank's outward direction, toward the end and toward the tip (rad), roll (rad), logarithm
    of the distance, pixel of the pitch point (x, y); wheel and worm pitch radius, signed lead per radian, face width,
    height of the rim above the throat, pressure angle (rad).
    """

    AZIMUTH = 0
    ELEVATION = 1
    ROLL = 2
    NEARNESS = 3
    X = 4
    Y = 5
    RADIUS = 6
    WORM_RADIUS = 7
    TWIST = 8
    WIDTH = 9
    RIM = 10
    SLANT = 11


CAMERA, GEAR = tuple(Column)[: Column.RADIUS], tuple(Column)[Column.RADIUS :]
PIXEL = [Column.X, Column.Y]
ANY = np.inf
LOWEST = np.array([-0.80, 0.50, -0.95, -ANY, -ANY, -ANY, 11.0, 4.0, -2.2, 5.8, 0.0, 0.28])
HIGHEST = np.array([0.80, 1.30, 0.95, ANY, ANY, ANY, 32.0, 6.6, 2.2, 8.5, 0.8, 0.48])
"""Usual limits of each column; distance and pixel are limited by the photo instead."""

THROAT_CLEARANCE, ROOT_DEPTH, HALF_THICKNESS = 1.0, 1.0, np.pi / 4
"""Of standard teeth, in modules: throat inside the worm's pitch line, root below it, half a tooth on the pitch line."""
LEAST_LEAN, ROUNDS = 0.08, 2
"""Slope of a thread below which the point of contact runs away, and steps toward that point: two are enough here."""
TIP_WEIGHT, ROOT_WEIGHT, END_WEIGHT, REAR_WEIGHT, INSIDE_WEIGHT = 1.0, 0.8, 0.5, 0.6, -0.2
"""What an edge on each line of a tooth counts for; on a smooth flank an edge speaks against the pose."""
HEIGHTS_INSIDE = (0.2, 0.5, 0.8)
"""Where on the smooth flank it is looked for, spread over the height."""
BESIDE_WEIGHT = 0.5
"""What lines of the teeth beside count for, against those of the tooth itself."""
BORDER_LINES = 4
FOCAL_LENGTH = 1.2
"""Focal length of the camera over the long side of its picture; telephone cameras, cropped, lie about here."""


def limits_of(pair: WormPair | None) -> Numbers:
    """Lowest and highest (2, 12) of each column of a hypothesis; where the pair tells a column, that is all there is.

    Tooth 0 stands at +y below the worm here, so a right-hand wheel twists the other way.
    """
    limits = np.stack([LOWEST, HIGHEST])
    if pair is not None:
        limits[:, GEAR] = (
            pair.teeth / 2,
            pair.worm_radius_mm / pair.module_mm,
            (-1 if pair.hand is Hand.RIGHT else 1) * pair.starts / 2,
            pair.face_width_mm / pair.module_mm,
            (pair.rim_radius_mm - pair.throat_radius_mm) / pair.module_mm,
            np.radians(pair.pressure_angle_deg),
        )
    return limits


def lengthwise_line(up: float, tooth: int, side: int, count: int) -> Numbers:
    """Coordinates (count, 4) along a tooth at one height."""
    across = np.linspace(-0.5, 0.5, count)
    return np.stack([across, *(np.full(count, value) for value in (up, tooth, side))], axis=1)


def end_line(across: float, tooth: int, count: int) -> Numbers:
    """Coordinates (count, 4) from root to tip of the flank, so far across."""
    up = np.linspace(0, 1, count)
    return np.stack([np.full(count, across), up, np.full(count, tooth), np.ones(count)], axis=1)


def flank_patch(tooth: int, rows: int, cols: int) -> Numbers:
    """Coordinates (rows * cols, 4) of the middles of equal cells of a flank, row after row from the root."""
    up, across = (np.arange(rows) + 0.5) / rows, (np.arange(cols) + 0.5) / cols - 0.5
    grid = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
    return np.hstack([grid, np.tile([float(tooth), 1.0], (rows * cols, 1))])


def cameras(poses: Numbers, size_px: int) -> CameraSet:
    """The cameras of hypotheses (n, 12) about a picture with that long side, for points in modules."""
    focal = FOCAL_LENGTH * size_px
    toward, right, upward = _camera_axes(poses)
    aim = HALF_THICKNESS / poses[:, Column.RADIUS]
    centre = poses[:, Column.RADIUS, None] * np.stack([np.sin(aim), np.cos(aim), np.zeros_like(aim)], axis=1)
    roll = poses[:, Column.ROLL, None]
    turn, lean = focal * np.cos(roll), focal * np.sin(roll)
    rotation = np.stack([turn * right + lean * upward, lean * right - turn * upward, -toward], axis=1)
    shift = -(rotation @ centre[:, :, None])[..., 0]
    shift[:, 2] += np.exp(poses[:, Column.NEARNESS])
    return CameraSet.of_arrays(rotation, shift, poses[:, PIXEL])


def tooth_angle(poses: Numbers) -> Numbers:
    """Angle (n,) from tooth to tooth, rad."""
    return np.asarray(np.pi / poses[:, Column.RADIUS])


def seen_points(poses: Numbers, coordinates: Numbers, size_px: int) -> Numbers:
    """Pixels (n, m, 2) of coordinates (m, 4) by hypotheses (n, 12) about a picture with that long side."""
    seen = cameras(poses, size_px).see(surface_points(poses, coordinates).astype(np.float32))
    return np.stack(seen, axis=-1).astype(np.float64)


def surface_points(poses: NDArray[Any], coordinates: NDArray[Any]) -> NDArray[Any]:
    """Points (n, 3, m) on the wheel of coordinates (m, 4), or of each hypothesis' own (n, m, 4), as exact as the
    numbers given.

    In each plane z the thread is a rack that rolls on the wheel: it touches where its normal meets the pitch line.
    """
    across, up, tooth, side = np.moveaxis(coordinates, -1, 0)
    radius, worm, twist, width, rim, slant = (poses[:, k, None] for k in GEAR)
    z = across * width
    axes = radius + worm
    tip = np.minimum(axes - _chord(worm - THROAT_CLEARANCE, z), radius + 1 + rim)
    root = np.minimum(axes - _chord(worm + ROOT_DEPTH, z), tip - 0.3)
    rho = root + up * (tip - root)
    tangent = side * np.tan(slant)
    above = rho**2 - radius**2
    height = rho - radius
    twisted, z_square, rho_square = twist * z, z**2, rho**2
    for _ in range(ROUNDS):
        below = worm - height
        square = below**2 + z_square
        reach = np.sqrt(square)
        lean = np.maximum(((twisted - tangent * below * reach) / square) ** 2, LEAST_LEAN**2)
        height = above / (radius + np.sqrt(np.maximum(rho_square + above / lean, 0)))
    rolled = side * height / np.sqrt(lean)
    x = twist * np.arctan(z / below) + side * HALF_THICKNESS + tangent * (reach - worm)
    angle = np.arctan(rolled / (radius + height)) + (x - rolled + tooth * np.pi) / radius
    return np.stack([rho * np.sin(angle), rho * np.cos(angle), np.broadcast_to(z, angle.shape)], axis=1)


def _chord(circle: NDArray[Any], z: NDArray[Any]) -> NDArray[Any]:
    """Height of a circle about the worm axis at offset z."""
    height: NDArray[Any] = np.sqrt(np.maximum(circle**2 - z**2, 0.01))
    return height


def _camera_axes(poses: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Directions (n, 3) toward the camera, to its right, and upward in its picture before rolling."""
    azimuth, elevation = poses[:, Column.AZIMUTH], poses[:, Column.ELEVATION]
    level = np.cos(elevation)
    toward = np.stack([level * np.cos(azimuth), np.sin(elevation), level * np.sin(azimuth)], axis=1)
    right = np.stack([np.sin(azimuth), np.zeros_like(azimuth), -np.cos(azimuth)], axis=1)
    upward = np.stack([-np.sin(elevation) * np.cos(azimuth), level, -np.sin(elevation) * np.sin(azimuth)], axis=1)
    return toward, right, upward


def turned_to_tooth(pose: Numbers, tooth: int, size_px: int) -> Numbers:
    """The hypothesis (12,) with another tooth as its middle one; the camera stays, nearly."""
    turned, radius = pose.copy(), pose[Column.RADIUS]
    angle = tooth * np.pi / radius
    (toward,), (right,), (upward,) = _camera_axes(pose[None])
    x = np.cos(angle) * toward[0] - np.sin(angle) * toward[1]
    y = np.sin(angle) * toward[0] + np.cos(angle) * toward[1]
    turned[[Column.AZIMUTH, Column.ELEVATION]] = np.arctan2(toward[2], x), np.arcsin(np.clip(y, -1, 1))
    aim = HALF_THICKNESS / radius
    here, there = (radius * np.array([np.sin(a), np.cos(a), 0.0]) for a in (aim, aim + angle))
    step = there - here
    turned[Column.NEARNESS] = np.log(max(np.exp(pose[Column.NEARNESS]) - float(step @ toward), 1.0))
    scale = FOCAL_LENGTH * size_px / np.exp(turned[Column.NEARNESS])
    across, down = scale * (step @ right), -scale * (step @ upward)
    turn, lean = np.cos(pose[Column.ROLL]), np.sin(pose[Column.ROLL])
    turned[PIXEL] += turn * across - lean * down, lean * across + turn * down
    return turned


@dataclass(frozen=True, slots=True, eq=False)
class ToothTemplate:
    """Where on a tooth a picture is asked: patches of the flank, row after row, then points on its border and on
    further lines, as ``coordinates`` (m, 4).

    ``line``, ``end``: how many points a line along the tooth and one from root to tip have; ``rows`` and ``columns``
    of patches; ``weights``: what an edge at each point behind the patches counts for.
    """

    coordinates: Map
    line: int
    end: int
    rows: int
    columns: int
    weights: Map

    @property
    def patch(self) -> slice:
        """The patches, which lie in the middles of equal cells."""
        return slice(0, self.rows * self.columns)

    @property
    def tip(self) -> slice:
        """The tip edge."""
        return self._behind(0, self.line)

    @property
    def root(self) -> slice:
        """The root edge."""
        return self._behind(self.line, self.line)

    @property
    def border(self) -> slice:
        """All four edges of the flank: tip, root, ends."""
        return self._behind(0, 2 * self.line + 2 * self.end)

    @property
    def rear(self) -> slice:
        """The tip edge of the tooth's other side."""
        return self._behind(2 * self.line + 2 * self.end, self.line)

    @property
    def starts(self) -> NDArray[np.intp]:
        """Where each line begins among the points behind the patches."""
        rest = (len(self.weights) - 2 * self.line - 2 * self.end) // self.line
        lengths = [self.line, self.line, self.end, self.end, *[self.line] * rest]
        return np.cumsum([0, *lengths[:-1]])

    def _behind(self, first: int, count: int) -> slice:
        return slice(self.patch.stop + first, self.patch.stop + first + count)


def _template(line: int, end: int, rows: int, columns: int, heights_inside: tuple[float, ...]) -> ToothTemplate:
    lengthwise = ((1.0, -1, REAR_WEIGHT), *((up, 1, INSIDE_WEIGHT) for up in heights_inside))
    lines = (
        (lengthwise_line(1.0, 0, 1, line), TIP_WEIGHT),
        (lengthwise_line(0.0, 0, 1, line), ROOT_WEIGHT),
        *((end_line(across, 0, end), END_WEIGHT) for across in (-0.5, 0.5)),
        *((lengthwise_line(up, 0, side, line), weight) for up, side, weight in lengthwise),
    )
    points = np.vstack([flank_patch(0, rows, columns), *(line for line, _ in lines)]).astype(np.float32)
    weights = np.concatenate([np.full(len(line), weight / len(line)) for line, weight in lines]).astype(np.float32)
    return ToothTemplate(points, line, end, rows, columns, weights)


THOROUGH = _template(17, 7, 3, 8, HEIGHTS_INSIDE)
QUICK = _template(7, 3, 2, 5, ())
