"""Coverage, centroid and extents of the contact on one flank, each with its interval."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.frame import FlankPoint
from patternscan.measuring.interval import Interval


@dataclass(frozen=True, slots=True)
class Measurement:
    """Plain numbers read from one flank. ``along`` and ``up`` are None exactly when there is no contact.

    ``length`` and ``height`` are the extents of the contact as fractions of face width and flank
    height, gaps taken out. ``judged_fraction`` is the part of the flank that could be judged.
    """

    coverage: Interval
    along: Interval | None
    up: Interval | None
    length: float
    height: float
    judged_fraction: float

    @property
    def centroid(self) -> FlankPoint | None:
        """The most likely centroid of the contact, None when there is no contact."""
        if self.along is None or self.up is None:
            return None
        return FlankPoint(self.along.value, self.up.value)
