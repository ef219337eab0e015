"""Both flanks side by side: what they share is the wheel's side-to-side place, what opposes is not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from patternscan.calibration.judging import NEAR_END, SMALLEST_SHIFT
from patternscan.frame import FLANK_CENTRE, Flank
from patternscan.measuring.interval import NINE_IN_TEN, Interval

if TYPE_CHECKING:
    from patternscan.measuring.measurement import Measurement


@dataclass(frozen=True, slots=True)
class Target:
    """Where along the face the centroid should lie on each flank; the centre unless sheet or reference say otherwise.

    A reference is a pattern that was itself read: it is named, and its uncertainty is half the width of a
    9 in 10 interval.
    """

    left: float = FLANK_CENTRE.along
    right: float = FLANK_CENTRE.along
    left_doubt: float = 0.0
    right_doubt: float = 0.0
    reference: str | None = None


@dataclass(frozen=True, slots=True)
class PooledFlank:
    """Several teeth of one flank taken together.

    ``spread`` is the difference between the largest and smallest centroid along the face, None for one tooth.
    """

    flank: Flank
    teeth: int
    along: Interval
    up: Interval
    coverage: Interval
    length: Interval
    height: Interval
    spread: float | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """The two flanks against their targets. ``shared`` and ``opposed`` are None unless both flanks show contact.

    shared = mean of both offsets from target, positive toward B; opposed = half of left minus right.
    """

    left: PooledFlank | None
    right: PooledFlank | None
    target: Target
    shared: Interval | None
    opposed: Interval | None

    @property
    def clearly_shifted(self) -> bool:
        """Whether the shared shift is large enough to act on and beyond its uncertainty."""
        return self.shared is not None and abs(self.shared.value) >= SMALLEST_SHIFT and not self.shared.holds(0.0)


def near_end(along: Interval) -> bool:
    """Whether a pattern with its middle there is cut off by an end of the flank."""
    return min(along.value, 1 - along.value) <= NEAR_END


def pool_teeth(flank: Flank, teeth: Sequence[Sequence[Measurement]]) -> PooledFlank | None:
    """Pool the teeth of one flank: each has one vote, however often it was read. Readings without contact do not count.
    None when none of them shows contact.
    """
    touched = [[one for one in tooth if one.along is not None and one.up is not None] for tooth in teeth]
    touched = [tooth for tooth in touched if tooth]
    if not touched:
        return None
    numbers = {
        name: [pool_readings([getattr(one, name) for one in tooth]) for tooth in touched]
        for name in ("along", "up", "coverage", "length", "height")
    }
    places = [along.value for along in numbers["along"]]
    return PooledFlank(
        flank=flank,
        teeth=len(touched),
        **{name: pool_readings(each).clipped(0.0, 1.0) for name, each in numbers.items()},
        spread=max(places) - min(places) if len(places) > 1 else None,
    )


def compare_flanks(left: PooledFlank | None, right: PooledFlank | None, target: Target) -> Comparison:
    """Shared and opposed shift of two pooled flanks; all uncertainties are taken as independent."""
    if left is None or right is None:
        return Comparison(left, right, target, None, None)
    off_left, off_right = _offsets(left.along, right.along, target)
    return Comparison(left, right, target, _half_sum(off_left, off_right), _half_sum(off_left, off_right.turned()))


def shared_shift(left: Interval, right: Interval, target: Target) -> Interval:
    """What both flanks are off by together, from where the middle of the pattern lies along each of them."""
    return _half_sum(*_offsets(left, right, target))


def _offsets(left: Interval, right: Interval, target: Target) -> tuple[Interval, Interval]:
    off_left = left.shifted(-target.left).widened(target.left_doubt)
    return off_left, right.shifted(-target.right).widened(target.right_doubt)


def pool_readings(readings: Sequence[Interval]) -> Interval:
    """Mean of several readings of the same thing.

    The uncertainty of one reading does not shrink with the number of teeth, because lamp, eye and outline err alike on
    all of them; the scatter between them is added as the standard error of the mean.
    """
    count = len(readings)
    value = math.fsum(reading.value for reading in readings) / count
    squares = math.fsum((reading.value - value) ** 2 for reading in readings)
    scatter = NINE_IN_TEN * math.sqrt(squares / (count - 1) / count) if count > 1 else 0.0
    below = math.hypot(math.fsum(reading.value - reading.low for reading in readings) / count, scatter)
    above = math.hypot(math.fsum(reading.high - reading.value for reading in readings) / count, scatter)
    return Interval(value, value - below, value + above)


def _half_sum(first: Interval, second: Interval) -> Interval:
    value = (first.value + second.value) / 2
    below = math.hypot(first.value - first.low, second.value - second.low) / 2
    above = math.hypot(first.high - first.value, second.high - second.value) / 2
    return Interval(value, value - below, value + above)
