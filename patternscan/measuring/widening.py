"""How much wider the intervals of one flank are made by what was seen on earlier photographs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patternscan.measuring.interval import Interval
from patternscan.measuring.measurement import Measurement


@dataclass(frozen=True, slots=True)
class Widening:
    """How far either end of an interval is moved outward, in fractions of face width, flank height and flank area.

    It rests on photographs of so many ``machines``. Raises ValueError for a step inward.
    """

    machines: int
    along: float
    up: float
    coverage: float

    def __post_init__(self) -> None:
        if not all(step >= 0 for step in self.steps):
            raise ValueError(f"intervals are widened by 0 or more, found {self.steps}")

    @property
    def steps(self) -> tuple[float, float, float]:
        """Along, up, coverage."""
        return self.along, self.up, self.coverage


def widen(measured: Measurement, by: Widening) -> Measurement:
    """The same values, the intervals of their places and of the coverage wider, none beyond 0..1."""
    return replace(
        measured,
        along=None if measured.along is None else _opened(measured.along, by.along),
        up=None if measured.up is None else _opened(measured.up, by.up),
        coverage=_opened(measured.coverage, by.coverage),
    )


def _opened(interval: Interval, step: float) -> Interval:
    return interval.opened(step).clipped(0.0, 1.0)
