"""A worm pair by its basic dimensions, and how its wheel stands.

Frame of the whole room: origin in the middle of the wheel, z along the wheel axis toward end A, y along the common
perpendicular from the worm axis to the wheel axis, x completing the right-handed frame; so the worm axis is the line
y = -centre distance, z = 0, along x. The tooth in mesh points along -y. Seen on end face A with the tip up, -x is on
the right hand: the right flank of the tooth faces -x, and the worm pushes it toward +x.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from patternscan.errors import WrongUse

ADDENDUM, DEDENDUM = 1.0, 1.2
"""Height of thread and tooth above and below the pitch circle, in modules (common practice, as in the worked worm
sets of the handbooks: worm d1 + 2 m over the tips and d1 - 2.4 m at the roots)."""
RIM = 1.5
"""Outside radius of a throated wheel over its pitch radius, in modules: throat diameter + 1 m (common practice)."""
SHORTEST_MM, LONGEST_MM = 0.01, 10_000.0
"""Lengths outside these belong to no worm pair."""
LARGEST_FACE = 0.95
"""Largest face width over the worm's tip diameter for which a flank can be computed."""
LEAST_END_HEIGHT = 0.25
"""Least height of the working flank at the ends of the tooth, in modules: a wider wheel has no flank left there."""
LARGEST_TRIM_DEG = 2.0
"""Largest trim of the hob's swivel that is believed."""


class Hand(StrEnum):
    """Hand of the worm thread, and so of the wheel."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> Hand:
        """Left for right, right for left."""
        return Hand.LEFT if self is Hand.RIGHT else Hand.RIGHT


class Profile(StrEnum):
    """Form of a cylindrical worm's thread, as in ISO/TR 10828."""

    ZA = "za"
    """Straight in the axial section: an Archimedean helicoid."""
    ZI = "zi"
    """Involute helicoid: an involute of the base circle in the section across the axis."""
    ZN = "zn"
    """Straight in the section normal to the thread space at the pitch cylinder."""


class Rim(StrEnum):
    """How the rim of the wheel was turned before it was hobbed."""

    THROATED = "throated"
    """Hollowed out round the worm."""
    STRAIGHT = "straight"
    """To a plain cylinder as large as a throat would be, so that the flank is lower toward its ends."""

    @property
    def other(self) -> Rim:
        """Straight for throated, throated for straight."""
        return Rim.STRAIGHT if self is Rim.THROATED else Rim.THROATED


@dataclass(frozen=True, slots=True)
class WormPair:
    """Basic dimensions of a cylindrical worm and its hobbed wheel. Lengths in mm, angles in degrees.

    ``pressure_angle_deg`` is axial for ZA, normal for ZI and ZN. ``hob_oversize`` is the hob's pitch diameter over
    the worm's, less 1; ``hob_trim_deg`` what the hob was swivelled beyond the difference of the lead angles (see
    ``trim_hob``). Raises WrongUse when no such pair can exist.
    """

    module_mm: float
    starts: int
    teeth: int
    worm_diameter_mm: float
    face_width_mm: float
    pressure_angle_deg: float = 20.0
    hand: Hand = Hand.RIGHT
    profile: Profile = Profile.ZI
    hob_oversize: float = 0.02
    hob_trim_deg: float = 0.0
    rim: Rim = Rim.THROATED

    def __post_init__(self) -> None:
        fault = _fault(self)
        if fault is not None:
            raise WrongUse(f"No worm pair has these gear data: {fault}.", "Check the gear data against the maker's.")

    @property
    def worm_radius_mm(self) -> float:
        """Pitch radius of the worm, d1 / 2."""
        return self.worm_diameter_mm / 2

    @property
    def wheel_radius_mm(self) -> float:
        """Pitch radius of the wheel, m z2 / 2."""
        return self.module_mm * self.teeth / 2

    @property
    def centre_distance_mm(self) -> float:
        """Distance of the axes, (d1 + m z2) / 2."""
        return self.worm_radius_mm + self.wheel_radius_mm

    @property
    def axial_pitch_mm(self) -> float:
        """Distance of neighbouring threads along the worm, pi m."""
        return math.pi * self.module_mm

    @property
    def lead_mm(self) -> float:
        """Advance of one thread in one turn of the worm, pi m z1."""
        return self.axial_pitch_mm * self.starts

    @property
    def lead_angle_deg(self) -> float:
        """Lead angle at the worm's pitch cylinder: tan = m z1 / d1."""
        return math.degrees(math.atan(self.module_mm * self.starts / self.worm_diameter_mm))

    @property
    def normal_pressure_angle_deg(self) -> float:
        """Pressure angle normal to the thread: tan(normal) = tan(axial) cos(lead angle)."""
        if self.profile is not Profile.ZA:
            return self.pressure_angle_deg
        tangent = math.tan(math.radians(self.pressure_angle_deg)) * math.cos(math.radians(self.lead_angle_deg))
        return math.degrees(math.atan(tangent))

    @property
    def axial_pressure_angle_deg(self) -> float:
        """Pressure angle in the worm's axial section, which is the wheel's middle plane."""
        if self.profile is Profile.ZA:
            return self.pressure_angle_deg
        tangent = math.tan(math.radians(self.pressure_angle_deg)) / math.cos(math.radians(self.lead_angle_deg))
        return math.degrees(math.atan(tangent))

    @property
    def worm_tip_radius_mm(self) -> float:
        """Radius over the threads."""
        return self.worm_radius_mm + ADDENDUM * self.module_mm

    @property
    def worm_root_radius_mm(self) -> float:
        """Radius at the bottom of the thread spaces."""
        return self.worm_radius_mm - DEDENDUM * self.module_mm

    @property
    def wheel_root_radius_mm(self) -> float:
        """Radius at the bottom of the wheel's tooth spaces, in its middle plane."""
        return self.wheel_radius_mm - DEDENDUM * self.module_mm

    @property
    def throat_radius_mm(self) -> float:
        """Radius of the wheel's tip in its middle plane (half the throat diameter)."""
        return self.wheel_radius_mm + ADDENDUM * self.module_mm

    @property
    def rim_radius_mm(self) -> float:
        """Radius of the wheel's outside cylinder; that of the throat where the rim is straight."""
        return self.wheel_radius_mm + _rim_height(self.rim) * self.module_mm

    @property
    def gorge_radius_mm(self) -> float:
        """Radius of the hollow in which the worm lies, round the worm's axis."""
        return self.worm_radius_mm - ADDENDUM * self.module_mm

    @property
    def tooth_angle_rad(self) -> float:
        """Angle from one wheel tooth to the next."""
        return 2 * math.pi / self.teeth


@dataclass(frozen=True, slots=True)
class Placement:
    """How the wheel stands against the place where it was hobbed.

    ``wheel_toward_a_mm`` is positive toward end A, ``centre_error_mm`` positive for axes too far apart,
    ``shaft_angle_error_deg`` a right-handed turn of the worm about the line from wheel axis to worm axis.
    """

    wheel_toward_a_mm: float = 0.0
    centre_error_mm: float = 0.0
    shaft_angle_error_deg: float = 0.0


def _rim_height(rim: Rim) -> float:
    """Outside radius over pitch radius, in modules."""
    return RIM if rim is Rim.THROATED else ADDENDUM


def _fault(pair: WormPair) -> str | None:
    """What makes the pair impossible, None when nothing does."""
    positive = ("module_mm", "worm_diameter_mm", "face_width_mm")
    for name in positive:
        if not SHORTEST_MM <= getattr(pair, name) <= LONGEST_MM:
            return f"{name} is {getattr(pair, name)!r}, expected {SHORTEST_MM:g} to {LONGEST_MM:g}"
    if pair.starts < 1 or pair.teeth < 10:
        return f"{pair.starts} starts and {pair.teeth} teeth, expected at least 1 and at least 10"
    if not 10 <= pair.pressure_angle_deg <= 35:
        return f"pressure_angle_deg is {pair.pressure_angle_deg:g}, expected 10 to 35"
    if not 0 <= pair.hob_oversize <= 0.2:
        return f"hob_oversize is {pair.hob_oversize:g}, expected 0 to 0.2 (0.02 is 2 %)"
    if not abs(pair.hob_trim_deg) <= LARGEST_TRIM_DEG:
        return f"hob_trim_deg is {pair.hob_trim_deg:g}, expected {-LARGEST_TRIM_DEG:g} to {LARGEST_TRIM_DEG:g}"
    return _misfit(pair)


def _misfit(pair: WormPair) -> str | None:
    """Dimensions that are each possible but not together."""
    if pair.worm_diameter_mm < 4 * pair.module_mm:
        return f"a worm of {pair.worm_diameter_mm:g} mm is too thin for module {pair.module_mm:g} mm"
    if pair.lead_angle_deg > 45:
        return f"the lead angle would be {pair.lead_angle_deg:.0f} degrees, more than 45"
    if pair.face_width_mm > _largest_face_mm(pair):
        return (
            f"a face width of {pair.face_width_mm:g} mm is too wide for a worm of {pair.worm_diameter_mm:g} mm "
            f"pitch diameter"
        )
    return None


def _largest_face_mm(pair: WormPair) -> float:
    """Face width at whose ends the root line comes so near the outside cylinder that hardly any flank is left."""
    hob, module = pair.worm_radius_mm * (1 + pair.hob_oversize), pair.module_mm
    least = hob - (_rim_height(pair.rim) - LEAST_END_HEIGHT) * module
    widest = 2 * math.sqrt((hob + ADDENDUM * module) ** 2 - least**2)
    return min(widest, LARGEST_FACE * 2 * pair.worm_tip_radius_mm)
