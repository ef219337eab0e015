"""What is at hand for a step of shims beside the trials: which thicknesses can be made, and how large to begin."""

from __future__ import annotations

import math
from bisect import bisect
from collections.abc import Callable
from dataclasses import dataclass

from patternscan.calibration.judging import (
    FIRST_STEP_BY_FACE,
    FIRST_STEPS_FROM,
    FIRST_STEPS_MM,
    LARGEST_STEP_MM,
    SMALLEST_STEP_MM,
)


def nearest_shim(wanted_mm: float) -> float:
    """The nearest thickness when nobody said which shims are on hand: to a hundredth, none below the thinnest made.

    >>> [nearest_shim(wanted) for wanted in (0.01, 0.02, 0.0567)]
    [0.0, 0.025, 0.06]
    """
    return 0.0 if wanted_mm < SMALLEST_STEP_MM / 2 else max(round(wanted_mm, 2), SMALLEST_STEP_MM)


@dataclass(frozen=True, slots=True)
class Bench:
    """What is at hand beside the trials; None where it is not known.

    ``by_gear_mm``: the first step that the gear data bear out (``advice.propose_amount``). ``nearest`` gives the
    thickness that the shims on hand can make nearest to a wanted one, 0 when that is nearer than the thinnest.
    """

    by_gear_mm: float | None = None
    face_width_mm: float | None = None
    nearest: Callable[[float], float] = nearest_shim

    def made(self, step_mm: float) -> float:
        """The step that the shims on hand can make."""
        return math.copysign(self.nearest(abs(step_mm)), step_mm)

    def at_least_thinnest(self, size_mm: float) -> float:
        """What the shims on hand can make, even where that is more than wanted: a trial has to change something."""
        return next((made for times in (1, 2, 4, 8) if (made := self.nearest(times * size_mm)) > 0), size_mm)

    def first_size(self, distance: float) -> tuple[str, float]:
        """How large the first step is in mm, before what can be made, and the code of the reason for it."""
        if self.by_gear_mm:
            return "by-gear-data", self.by_gear_mm
        if self.face_width_mm:
            by_face = FIRST_STEP_BY_FACE * distance * self.face_width_mm
            return "by-face-width", min(max(by_face, FIRST_STEPS_MM[0]), LARGEST_STEP_MM)
        return "by-shift", FIRST_STEPS_MM[bisect(FIRST_STEPS_FROM, distance)]
