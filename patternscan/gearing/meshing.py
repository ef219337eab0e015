"""Where a turning thread touches a turning wheel: the equation of meshing on one circle of the wheel.

A thread that turns moves its surface along its own axis, and the wheel turns in a fixed ratio to that travel. A point
of the wheel runs on a circle of radius rho at height z. At the place ``angle`` of that circle (0 in the middle of the
mesh, positive toward +x) the thread's surface passes once, at the travel F(angle). Seen from the wheel it passes at
angle - ratio * F(angle). The thread sweeps all such places; what it leaves of the wheel, or what it can touch at most,
is the outermost of them: the greatest for the right flank, the least for the left. Where its slope is zero the speed
of thread and wheel along the common normal is the same, which is the equation of meshing in the theory of gearing
(F. L. Litvin, Gear Geometry and Applied Theory, envelope to a family of surfaces).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.gearing.worm import Numbers, Thread

SCAN_STEPS, SCAN_REACH = 48, 1.35
"""Places tried on every circle before the exact one is solved for, and how far out, in mesh half-lengths."""
BEYOND_PITCH = 0.5
"""How far over its pitch cylinder a thread's flank is followed, as a fraction of the pitch radius."""
CIRCLES = 600
"""So many circles are scanned at once: their numbers stay near the processor."""
SOLVER_ROUNDS, SETTLED = 6, 1e-6
"""Most steps toward the exact place, and a step in radians after which the next would be far below a nanometre."""


@dataclass(frozen=True, slots=True)
class Setting:
    """How a thread stands against a wheel: distance of the axes (mm), turn of the thread's axis (radians, right-handed
    about the line from wheel axis to thread axis), and the wheel's shift toward end A (mm).
    """

    centre_distance_mm: float
    axis_turn: float = 0.0
    wheel_shift_mm: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Passage:
    """How a thread's surface passes places of the wheel; all arrays have the shape of those places.

    ``travel_mm`` is the thread's travel at which its surface passes, ``by_angle`` its slope in mm per radian of the
    wheel's turn, ``gradient`` that of x - surface in the wheel's fixed frame along x, y and z, and ``radius_mm`` the
    distance from the thread's axis.
    """

    travel_mm: Numbers
    by_angle: Numbers
    gradient: tuple[Numbers, Numbers, Numbers]
    radius_mm: Numbers

    @property
    def normal(self) -> Numbers:
        """The gradient as vectors (..., 3), which are normal to the surface and of any length."""
        return np.stack(self.gradient, axis=-1)

    @property
    def steepness(self) -> Numbers:
        """The gradient's length."""
        x, y, z = self.gradient
        return np.sqrt(x * x + y * y + z * z)


def passage(thread: Thread, setting: Setting, rho: Numbers, z: Numbers, angle: Numbers) -> Passage:
    """The passage of the thread at the places (rho, z, angle) of the wheel, in mm and radians."""
    return passage_at(thread, setting, rho * np.sin(angle), rho * np.cos(angle), z)


def in_thread(setting: Setting, x: Numbers, down: Numbers, z: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Places of the wheel (x, down, z) in the thread's own frame: along its axis and the two ways across, in mm."""
    sine, cosine = math.sin(setting.axis_turn), math.cos(setting.axis_turn)
    height = z + setting.wheel_shift_mm
    return x * cosine + height * sine, setting.centre_distance_mm - down, height * cosine - x * sine


def passage_at(thread: Thread, setting: Setting, x: Numbers, down: Numbers, z: Numbers) -> Passage:
    """The same for places of the wheel in mm: ``down`` is how far they lie from its axis toward the thread's."""
    sine, cosine = math.sin(setting.axis_turn), math.cos(setting.axis_turn)
    along, y, across = in_thread(setting, x, down, z)
    surface, by_y, by_across = thread.surface(y, across)
    gradient = cosine + by_across * sine, -by_y, sine - by_across * cosine
    return Passage(along - surface, down * gradient[0] + x * gradient[1], gradient, np.sqrt(y * y + across * across))


def turn_per_mm(thread: Thread, teeth: int) -> float:
    """Turn of the wheel in radians for a millimetre of the thread's travel: z1 / (z2 p)."""
    return thread.starts / (teeth * abs(thread.lead_mm_per_rad))


def conjugate(thread: Thread, setting: Setting, teeth: int, rho: Numbers, z: Numbers) -> tuple[Numbers, Numbers]:
    """The flank that a thread sweeps on a wheel: its angle and the angle at which it touches, both in radians.

    ``rho`` and ``z`` are the radius and height (mm) of points of the wheel, any shape; the angles have that shape.
    The first is counted in the wheel, from its middle tooth space's line of centres; the second in the fixed frame.
    """
    ratio = turn_per_mm(thread, teeth)
    scanned = _outermost(thread, setting, teeth, rho, z)
    place = scanned
    for _ in range(SOLVER_ROUNDS):
        step = _newton_step(thread, setting, ratio, (rho, z, place))
        place = place - step
        if np.abs(step).max() < SETTLED:
            break
    coarse, exact = (at - ratio * passage(thread, setting, rho, z, at).travel_mm for at in (scanned, place))
    lost = thread.side * (coarse - exact) > 0
    return np.where(lost, coarse, exact), np.where(lost, scanned, place)


def mesh_reach(teeth: int) -> float:
    """Half the angle of the wheel over which a thread can touch it, roughly: where the pitch circles are one module
    apart. In radians.
    """
    return math.sqrt(6 / teeth)


def _outermost(thread: Thread, setting: Setting, teeth: int, rho: Numbers, z: Numbers) -> Numbers:
    """The outermost of a row of places on every circle."""
    reach, ratio = SCAN_REACH * mesh_reach(teeth), turn_per_mm(thread, teeth)
    angle = np.linspace(-reach, reach, SCAN_STEPS)
    place = np.empty(rho.size)
    for part in np.array_split(np.arange(rho.size), math.ceil(rho.size / CIRCLES)):
        here = passage(thread, setting, rho.ravel()[part], z.ravel()[part], angle[:, None])
        out = thread.side * (angle[:, None] - ratio * here.travel_mm)
        out[here.radius_mm > (1 + BEYOND_PITCH) * thread.radius_mm] = -np.inf
        place[part] = np.where(np.isneginf(out).all(axis=0), 0.0, angle[out.argmax(axis=0)])
    return place.reshape(rho.shape)


def _newton_step(
    thread: Thread, setting: Setting, ratio: float, places: tuple[Numbers, Numbers, Numbers], step: float = 1e-5
) -> Numbers:
    """Newton's step toward the place where 1 = ratio * dF/dangle, bounded so that it stays near the scan's place."""
    rho, z, angle = places
    here = 1 - ratio * passage(thread, setting, rho, z, angle).by_angle
    there = 1 - ratio * passage(thread, setting, rho, z, angle + step).by_angle
    curvature = (there - here) / step
    safe = np.where(np.abs(curvature) > 1e-9, curvature, np.inf)
    return np.clip(here / safe, -0.02, 0.02)


def places_of(rho: Numbers, angle: Numbers, z: Numbers) -> NDArray[np.float64]:
    """Points (..., 3) in mm from radius (mm), angle (radians) and height (mm) in the wheel's frame."""
    return np.stack([rho * np.sin(angle), -rho * np.cos(angle), np.broadcast_to(z, rho.shape)], axis=-1)
