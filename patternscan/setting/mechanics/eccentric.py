"""Eccentric carriers: what turning them does to the wheel shaft.

The bore of an eccentric carrier lies ``throw`` away from the axis of the seat in which the carrier turns. Everything
hangs on the reference angle: angle 0 is the dead centre at which the bore lies straight away from the worm, where the
centres are widest. Near it a turn hardly changes the centre distance, a quarter turn from it most, and beyond it the
other way. Where a carrier has its dead centre is told by the maker's mark or by measuring; as long as nobody knows,
only an upper bound can be given (``bound_move``).

Frame: look at end A of the wheel with the worm below. Centres are positive for axes further apart, sideways is
positive to the right hand, that is along the worm.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from patternscan.errors import WrongUse

FEWEST_HOLES, MOST_HOLES = 2, 360


@dataclass(frozen=True, slots=True)
class EccentricCarrier:
    """One eccentric carrier. Raises WrongUse for a throw that is not positive or an unusual number of holes.

    ``holes`` are evenly spaced round the whole circle and numbered from 1. ``widest_hole`` is the hole number, between
    two holes if need be (3.5), at which the centres are widest; None when not known. ``clockwise``: the carrier turns
    clockwise, seen from end A with the worm below, when the hole number rises.
    """

    throw_mm: float
    holes: int
    widest_hole: float | None = None
    clockwise: bool = True

    def __post_init__(self) -> None:
        if not 0 < self.throw_mm <= 100:
            raise WrongUse(f"A throw of {self.throw_mm:g} mm is not possible.", "Give the throw in mm, up to 100.")
        if not FEWEST_HOLES <= self.holes <= MOST_HOLES:
            raise WrongUse(
                f"A carrier with {self.holes} holes is not possible.", f"Give {FEWEST_HOLES} to {MOST_HOLES} holes."
            )
        if self.widest_hole is not None and not 1 <= self.widest_hole < self.holes + 1:
            raise WrongUse(
                f"Hole {self.widest_hole:g} of {self.holes} is not there.", f"Give a number from 1 to {self.holes}."
            )

    def angle_deg(self, hole: float) -> float:
        """Angle of the bore from the dead centre, clockwise positive; from hole 1 when the dead centre is not known.

        Raises WrongUse for a hole that is not there.
        """
        if not 1 <= hole <= self.holes:
            raise WrongUse(f"Hole {hole:g} of {self.holes} is not there.", f"Give a hole from 1 to {self.holes}.")
        zero = 1 if self.widest_hole is None else self.widest_hole
        return (hole - zero) * 360 / self.holes * (1 if self.clockwise else -1)

    def opening_way(self, hole: float) -> int | None:
        """Which way to turn by one hole for more backlash: +1 to the next number, -1 to the one before.

        0 at the dead centre, where neither opens. None when the dead centre is not known.
        """
        if self.widest_hole is None:
            return None
        angle, step = math.radians(self.angle_deg(hole)), 2 * math.pi / self.holes
        gains = {way: math.cos(angle + way * step) - math.cos(angle) for way in (1, -1)}
        best = max(gains, key=lambda way: gains[way])
        turned = best if self.clockwise else -best
        return turned if gains[best] > 1e-9 else 0


@dataclass(frozen=True, slots=True)
class Turn:
    """A carrier turned from one hole to another; equal numbers for one that stays."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class CarrierPair:
    """Two carriers alike, one at each end, and the span between their bearings, which must be positive (WrongUse)."""

    carrier: EccentricCarrier
    span_mm: float

    def __post_init__(self) -> None:
        if not 0 < self.span_mm < math.inf:
            raise WrongUse(
                f"A span of {self.span_mm:g} mm is not possible.", "Give the distance of the bearings in mm."
            )


@dataclass(frozen=True, slots=True)
class ShaftMove:
    """What the wheel shaft did; centres and sideways at its middle, where the wheel is taken to sit.

    ``tilt_deg``: positive when end A went further from the worm than end B. ``shaft_angle_deg``: positive when end A
    went further to the right than end B. From ``bound_move`` all four are upper bounds without sign.
    """

    centres_mm: float
    sideways_mm: float
    tilt_deg: float
    shaft_angle_deg: float

    def looks_like_axial_mm(self, wheel_radius_mm: float) -> float:
        """The wheel shift, positive toward end A, to which the tilt is equal at the teeth: tilt times pitch radius.

        A shaft lifted at end A swings the part of the wheel below it, which meets the worm, toward end A.
        """
        return math.radians(self.tilt_deg) * wheel_radius_mm


def move_shaft(pair: CarrierPair, at_a: Turn, at_b: Turn) -> ShaftMove | None:
    """What turning both carriers does to the shaft; None unless their dead centre is known (see ``bound_move``)."""
    if pair.carrier.widest_hole is None:
        return None
    path_a, path_b = _path(pair.carrier, at_a), _path(pair.carrier, at_b)
    mean, unequal = (path_a + path_b) / 2, path_a - path_b
    return ShaftMove(
        mean.real, mean.imag, _slope_deg(unequal.real, pair.span_mm), _slope_deg(unequal.imag, pair.span_mm)
    )


def bound_move(pair: CarrierPair, at_a: Turn, at_b: Turn) -> ShaftMove:
    """The most that turning both carriers can do when the dead centre is not known; no number has a sign.

    Carriers alike err together, so equal turns cannot tilt the shaft.
    """
    path_a, path_b = _path(pair.carrier, at_a), _path(pair.carrier, at_b)
    mean, slope = abs(path_a + path_b) / 2, _slope_deg(abs(path_a - path_b), pair.span_mm)
    return ShaftMove(mean, mean, slope, slope)


def _path(carrier: EccentricCarrier, turn: Turn) -> complex:
    """Way of the bore in mm: throw (cos end - cos start) in centres + i throw (sin end - sin start) sideways.

    Only its length, the chord, holds when the dead centre is not known.
    """
    start, end = (math.radians(carrier.angle_deg(hole)) for hole in (turn.start, turn.end))
    return carrier.throw_mm * (cmath.exp(1j * end) - cmath.exp(1j * start))


def _slope_deg(rise_mm: float, span_mm: float) -> float:
    return math.degrees(math.atan2(rise_mm, span_mm))
