"""A number with its uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass

NINE_IN_TEN = 1.645
"""Half-width of the 90 % interval of a normal error, in standard deviations (any table of the normal law)."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A value and the bracket that should hold the truth in 9 cases out of 10.

    Raises ValueError when not ``low <= value <= high`` or not finite.

    >>> Interval(0.5, 0.4, 0.7).shifted(-0.5).holds(0.0)
    True
    """

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not all(math.isfinite(x) for x in (self.value, self.low, self.high)):
            raise ValueError(f"an interval needs finite numbers, found {self.value}, {self.low}, {self.high}")
        if not self.low <= self.value <= self.high:
            raise ValueError(f"an interval needs low <= value <= high, found {self.low}, {self.value}, {self.high}")

    @classmethod
    def around(cls, value: float, half_width: float) -> Interval:
        """The symmetric interval ``value`` +/- ``half_width`` (``half_width`` >= 0)."""
        return cls(value, value - half_width, value + half_width)

    @property
    def width(self) -> float:
        """High - low."""
        return self.high - self.low

    @property
    def half_width(self) -> float:
        """Half of high - low."""
        return self.width / 2

    def holds(self, number: float) -> bool:
        """Whether the number lies between low and high, ends included."""
        return self.low <= number <= self.high

    def shifted(self, step: float) -> Interval:
        """The same uncertainty around value + step."""
        return Interval(self.value + step, self.low + step, self.high + step)

    def widened(self, margin: float) -> Interval:
        """The same value with a further, independent uncertainty of ``margin`` (>= 0) on either side."""
        below, above = math.hypot(self.value - self.low, margin), math.hypot(self.high - self.value, margin)
        return Interval(self.value, self.value - below, self.value + above)

    def stretched(self, factor: float) -> Interval:
        """The same value, low and high ``factor`` (>= 0) times as far from it.

        >>> Interval(0.5, 0.375, 0.75).stretched(2.0)
        Interval(value=0.5, low=0.25, high=1.0)
        """
        below, above = factor * (self.value - self.low), factor * (self.high - self.value)
        return Interval(self.value, self.value - below, self.value + above)

    def opened(self, step: float) -> Interval:
        """The same value, either end moved outward by ``step`` (>= 0).

        >>> Interval(0.5, 0.375, 0.75).opened(0.125)
        Interval(value=0.5, low=0.25, high=0.875)
        """
        return Interval(self.value, self.low - step, self.high + step)

    def turned(self) -> Interval:
        """The same uncertainty counted the other way: its negative.

        >>> Interval(0.5, 0.4, 0.75).turned()
        Interval(value=-0.5, low=-0.75, high=-0.4)
        """
        return Interval(-self.value, -self.high, -self.low)

    def minus(self, other: Interval) -> Interval:
        """The difference of two intervals whose uncertainties are independent.

        >>> Interval(9.0, 5.0, 13.0).minus(Interval(2.0, -1.0, 5.0))
        Interval(value=7.0, low=2.0, high=12.0)
        """
        value = self.value - other.value
        below = math.hypot(self.value - self.low, other.high - other.value)
        above = math.hypot(self.high - self.value, other.value - other.low)
        return Interval(value, value - below, value + above)

    def clipped(self, floor: float, ceiling: float) -> Interval:
        """All three numbers brought between floor and ceiling."""
        value, low, high = (min(max(x, floor), ceiling) for x in (self.value, self.low, self.high))
        return Interval(value, low, high)
