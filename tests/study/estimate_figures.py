"""What the estimate from gear data makes of two flanks: how far the wheel is off, and how sure that is."""

from __future__ import annotations

from dataclasses import replace

from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.judging.comparison import Target, compare_flanks
from patternscan.judging.estimate import Estimate, estimate_placement
from patternscan.measuring.interval import Interval
from tests.study.judging_figures import flank_at

PAIR = WormPair(3.15, 3, 46, 35.28, 23.9)
LIKE_THE_WORM = (0.004, 0.006)
"""Oversizes of hobs that are hardly larger than the worm."""


def estimate_figures() -> dict[str, float]:
    """Ends of the estimate's intervals, and how many hobs like the worm give an estimate at all."""
    estimate = _estimate(PAIR, oversize_known=False)
    intervals: dict[str, Interval | None] = (
        {}
        if estimate is None
        else {
            "wheel toward A, mm": estimate.wheel_toward_a_mm,
            "shaft angle error, deg": estimate.shaft_angle_error_deg,
            "centre error, mm": estimate.centre_error_mm,
            "oversize": estimate.hob_oversize,
            "film, um": estimate.film_um,
        }
    )
    hobs = [_estimate(replace(PAIR, hob_oversize=oversize), oversize_known=True) for oversize in LIKE_THE_WORM]
    return {
        f"{what}: {end}": getattr(interval, end)
        for what, interval in intervals.items()
        if interval is not None
        for end in ("low", "value", "high")
    } | {"hobs like the worm that are estimated": float(sum(hob is not None for hob in hobs))}


def _estimate(pair: WormPair, *, oversize_known: bool) -> Estimate | None:
    left, right = flank_at(Flank.LEFT, 0.62, 0.02, coverage=0.3), flank_at(Flank.RIGHT, 0.58, 0.02, coverage=0.35)
    return estimate_placement(compare_flanks(left, right, Target()), pair, oversize_known)
