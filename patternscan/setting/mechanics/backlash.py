"""Backlash: dial readings brought to the wheel's pitch radius and taken apart, and what the centres do to it.

What the centres give or take is a guide from above: the formula holds for teeth that touch at the pitch circle, but on
opening the worm keeps touching at the leaving ends of unworn teeth. Own simulation of a worm pair (module 8, 2 starts,
53 teeth): 0.8 mm per mm on closing, 0.3 to 0.5 on opening, where the formula says 0.73.
"""

from __future__ import annotations

import math

from patternscan.errors import WrongUse
from patternscan.setting.machine.sheet import Gear

LEAST_ANGLE_DEG, MOST_ANGLE_DEG = 10.0, 35.0
"""Pressure angles of worm pairs lie between (common practice)."""


def bring_to_radius(reading_mm: float, gauge_radius_mm: float, wheel_radius_mm: float) -> float:
    """What a dial at ``gauge_radius_mm`` would have read at another radius of the wheel: j = ME r / M. Raises WrongUse.

    Source: operating manuals of lift machines (2012, page 37), which print this formula.

    >>> bring_to_radius(2.0, gauge_radius_mm=260, wheel_radius_mm=130)
    1.0
    """
    for radius in (gauge_radius_mm, wheel_radius_mm):
        _refuse_unless(0 < radius < math.inf, f"A radius of {radius:g} mm is not possible.")
    return reading_mm * wheel_radius_mm / gauge_radius_mm


def find_lost_motion(worm_angle_deg: float, module_mm: float, starts: int) -> float:
    """Lost motion at the wheel's pitch radius in mm, from the angle the worm turns freely while the wheel is held.

    The angle in radians times lead / 2 pi, which is m z1 / 2 (the lead is pi m z1). It holds the worm's end play.
    """
    return math.radians(worm_angle_deg) * module_mm * starts / 2


def take_out_end_play(backlash_mm: float, worm_end_play_mm: float) -> float | None:
    """What is left for the teeth: the worm's end play adds to measured backlash in full, as the thread pushes along.

    None when the end play is larger than the whole backlash: then one of the readings is wrong, or the worm did not
    slide while the backlash was measured.
    """
    return backlash_mm - worm_end_play_mm if worm_end_play_mm <= backlash_mm else None


def find_axial_pressure_angle(normal_deg: float, lead_angle_deg: float) -> float:
    """Pressure angle in the worm's axial section, in degrees: tan(normal) = tan(axial) cos(lead angle).

    Source: any gear handbook, for instance the worked worm pair in the KHK gear handbook.
    """
    return math.degrees(math.atan(math.tan(math.radians(normal_deg)) / math.cos(math.radians(lead_angle_deg))))


def axial_angle_deg(gear: Gear) -> float | None:
    """The pressure angle in the worm's axial section; None when the sheet does not give the angle, or an odd one."""
    angle = gear.pressure_angle_deg
    if angle is None:
        return None
    if gear.profile in ("zi", "zn") and gear.module_mm and gear.starts and gear.worm_diameter_mm:
        lead_deg = math.degrees(math.atan(gear.module_mm * gear.starts / gear.worm_diameter_mm))
        angle = find_axial_pressure_angle(angle, lead_deg)
    return angle if LEAST_ANGLE_DEG <= angle <= MOST_ANGLE_DEG else None


def backlash_from_centres(opening_mm: float, axial_angle_deg: float) -> float:
    """Backlash in mm gained by opening the centres, as a guide from above: dj = 2 da tan(axial angle).

    A guide and no more (see above). Source: Elements of Metric Gear Technology, eq. 14-2. Raises WrongUse for an angle
    outside 10 to 35 degrees.
    """
    return opening_mm * _backlash_per_opening(axial_angle_deg)


def centres_from_backlash(backlash_mm: float, axial_angle_deg: float) -> float:
    """The inverse: how far the centres open for a wanted backlash in mm, if the formula's most is reached.

    At least this much is needed, so it is also the most to try before measuring again. Guide, source and error as in
    ``backlash_from_centres``.
    """
    return backlash_mm / _backlash_per_opening(axial_angle_deg)


def _backlash_per_opening(axial_angle_deg: float) -> float:
    _refuse_unless(
        LEAST_ANGLE_DEG <= axial_angle_deg <= MOST_ANGLE_DEG,
        f"A pressure angle of {axial_angle_deg:g} degrees is not usual.",
    )
    return 2 * math.tan(math.radians(axial_angle_deg))


def _refuse_unless(possible: bool, found: str) -> None:
    if not possible:
        raise WrongUse(found, "Check the number and its unit.")
