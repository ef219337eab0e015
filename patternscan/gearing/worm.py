"""One flank of a cylindrical worm's thread, or of the hob's: a helicoid.

In the thread's own frame x is its axis and y, z lie across it. A helicoid is fixed by one section: a point at radius r
and angle t (right-handed about x) lies at x = side * h(r) + p t, where h is half the axial thickness of the thread
and p the lead per radian, negative for a left-hand thread. Turning the thread moves this surface along x.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, Profile, WormPair

Numbers = NDArray[np.float64]


def side_of(flank: Flank) -> int:
    """+1 for the thread side facing +x, which touches the wheel's right flank; -1 for the left flank."""
    return 1 if flank is Flank.RIGHT else -1


@dataclass(frozen=True, slots=True)
class Thread:
    """One side of a helicoidal thread. Lengths in mm, angles in radians.

    ``lead_mm_per_rad`` is positive for a right-hand thread. The thread is half a pitch thick on its pitch cylinder.
    """

    profile: Profile
    side: int
    radius_mm: float
    lead_mm_per_rad: float
    starts: int
    normal_pressure_angle: float

    @property
    def lead_angle(self) -> float:
        """At the pitch cylinder: tan = lead per radian / pitch radius, always positive."""
        return math.atan(abs(self.lead_mm_per_rad) / self.radius_mm)

    @property
    def half_thickness_mm(self) -> float:
        """Half of half the axial pitch."""
        return math.pi * abs(self.lead_mm_per_rad) / self.starts / 2

    def half_thickness(self, radius: Numbers) -> tuple[Numbers, Numbers]:
        """Half the axial thickness h (mm) at each radius (mm), and its slope dh/dr.

        Forms after ISO/TR 10828. An involute has no flank inside its base circle; there h stays as on the circle.
        """
        if self.profile is Profile.ZA:
            slope = math.tan(self.normal_pressure_angle) / math.cos(self.lead_angle)
            return self.half_thickness_mm - (radius - self.radius_mm) * slope, np.full_like(radius, -slope)
        return self._involute(radius) if self.profile is Profile.ZI else self._normal_straight(radius)

    def surface(self, y: Numbers, z: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """Axial place x of the surface over (y, z), in mm, and its slopes dx/dy and dx/dz.

        The thread meant is the one that crosses the y axis at x = 0.
        """
        radius = np.sqrt(y * y + z * z)
        half, slope = self.half_thickness(radius)
        x = self.side * half + self.lead_mm_per_rad * np.arctan2(z, y)
        outward, around = self.side * slope / radius, self.lead_mm_per_rad / radius**2
        return x, outward * y - around * z, outward * z + around * y

    def _involute(self, radius: Numbers) -> tuple[Numbers, Numbers]:
        """Involute helicoid: tan(transverse angle) = tan(normal angle) / sin(lead angle) at the pitch cylinder."""
        lead = abs(self.lead_mm_per_rad)
        transverse = math.atan(math.tan(self.normal_pressure_angle) / math.sin(self.lead_angle))
        base = self.radius_mm * math.cos(transverse)
        tangent = np.sqrt(np.maximum((radius / base) ** 2 - 1, 0.0))
        unrolled = tangent - np.arctan(tangent)
        half = self.half_thickness_mm - lead * (unrolled - (math.tan(transverse) - transverse))
        return half, -lead * tangent / radius

    def _normal_straight(self, radius: Numbers) -> tuple[Numbers, Numbers]:
        """Straight generator in the plane normal to the thread space, through the pitch cylinder.

        In that plane a point at height y above the axis lies w = w0 + k (y - r1) beside the middle of the space, so
        its radius is r^2 = y^2 + (w sin g)^2 and half the axial space there is w cos g + p atan(w sin g / y).
        """
        sine, cosine = math.sin(self.lead_angle), math.cos(self.lead_angle)
        k = math.tan(self.normal_pressure_angle)
        beside = self.half_thickness_mm * cosine - k * self.radius_mm

        def space(r: Numbers) -> tuple[Numbers, Numbers]:
            a, b, c = 1 + (sine * k) ** 2, 2 * sine**2 * k * beside, (sine * beside) ** 2
            y = (np.sqrt(np.maximum(b * b - 4 * a * (c - r * r), 0.0)) - b) / (2 * a)
            w, lead = beside + k * y, abs(self.lead_mm_per_rad)
            by_y = k * cosine + lead * sine * (k * y - w) / r**2
            return w * cosine + lead * np.arctan2(w * sine, y), by_y * 2 * r / (2 * a * y + b)

        width, slope = space(radius)
        at_pitch = space(np.array(self.radius_mm))[0]
        return self.half_thickness_mm - (width - at_pitch), -slope


def worm_thread(pair: WormPair, flank: Flank) -> Thread:
    """The side of the worm's thread that touches this flank of the wheel."""
    return _thread(pair, flank, pair.worm_radius_mm, pair.lead_mm / (2 * math.pi))


def hob_thread(pair: WormPair, flank: Flank) -> Thread:
    """The same side of the hob: a larger worm with the same normal pitch and the same normal pressure angle.

    Equal normal pitch makes sin(lead angle) shrink as the diameter grows: sin(hob) = sin(worm) / (1 + oversize).
    """
    radius = pair.worm_radius_mm * (1 + pair.hob_oversize)
    lead_angle = math.asin(math.sin(math.radians(pair.lead_angle_deg)) / (1 + pair.hob_oversize))
    return _thread(pair, flank, radius, radius * math.tan(lead_angle))


def _thread(pair: WormPair, flank: Flank, radius: float, lead_per_radian: float) -> Thread:
    sign = 1 if pair.hand is Hand.RIGHT else -1
    return Thread(
        profile=pair.profile,
        side=side_of(flank),
        radius_mm=radius,
        lead_mm_per_rad=sign * lead_per_radian,
        starts=pair.starts,
        normal_pressure_angle=math.radians(pair.normal_pressure_angle_deg),
    )
