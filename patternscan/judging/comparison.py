"""Both flanks side by side: what they share is the wheel's side-to-side place, what opposes is not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patternscan.frame import FLANK_CENTRE, Flank
from patternscan.measuring.interval import Interval
from patternscan.measuring.measurement import Measurement


@dataclass(frozen=True, slots=True)
class Target:
    """Where along the face the centroid should lie on each flank; the centre unless the machine sheet says otherwise."""

    left: float = FLANK_CENTRE.along
    right: float = FLANK_CENTRE.along


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
    length: float
    height: float
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


def pool_teeth(flank: Flank, teeth: Sequence[Measurement]) -> PooledFlank | None:
    """Pool the teeth of one flank; None when none of them shows contact."""
    raise NotImplementedError


def compare_flanks(left: PooledFlank | None, right: PooledFlank | None, target: Target) -> Comparison:
    """Shared and opposed shift of two pooled flanks."""
    raise NotImplementedError
