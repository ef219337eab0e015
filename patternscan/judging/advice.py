"""Which way to move the wheel. The one home of the sign rule.

The worm lies in the throat of the wheel as a shaft in a cradle. Slide the cradle toward B and the shaft bears on
the cradle's A side, on both flanks. So a wheel that sits off centre toward B carries its pattern toward A, and the
wheel must move TOWARD THE END THAT CARRIES THE PATTERN. The US Army's worm reducer manual (TM 5-3895-372-34,
paragraph 6-10) says the same in its procedure: shim the side that carries the contact away from the centre.

Patterns at opposite ends on the two flanks come from shaft angle, centre distance or unmatched parts: turning the
pair half round about the common perpendicular swaps flanks and ends and leaves those errors as they are, so they
can never shift both flanks alike, and a side shim cannot cure them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from patternscan.calibration.judging import (
    CENTRED_WITHIN,
    FAR_OFF,
    LARGEST_CHANGE_MM,
    PART_OF_MOVE,
    SMALLEST_STEP_MM,
    TIGHT_ENOUGH,
)
from patternscan.cautions import Caution
from patternscan.frame import End, percent
from patternscan.judging.comparison import Comparison
from patternscan.judging.findings import find_faults
from patternscan.measuring.interval import Interval
from patternscan.reasons import Finding, Reason, reason

if TYPE_CHECKING:
    from patternscan.judging.estimate import Estimate

UNSURE = (
    "much-cut-off",
    "much-glare",
    "far-too-dark",
    "much-covered",
    "little-judged",
    "weak-contrast",
    "outline-found-unsure",
    "end-off-edges",
    "end-off-shape",
)
"""With these a direction is given with little certainty: the interval holds what they are about, and is wide. Of 13
ordinary photographs darkened to a median of 35 to 7 levels, every one that could be read still held the truth."""


ASKED_FIRST = "marking-doubtful"
"""Where several cautions forbid a direction: read by the wrong marking, whatever else is seen says little."""


class Move(StrEnum):
    """What to do with the wheel."""

    TOWARD_A = "toward-A"
    TOWARD_B = "toward-B"
    STAY = "stay"
    CANNOT_SAY = "cannot-say"
    NOT_BY_SHIM = "not-by-shim"


class ShimChange(StrEnum):
    """What to do with the shims under the named carrier."""

    ADD = "add"
    REMOVE = "remove"
    NONE = "none"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class ShimRule:
    """What one more shim does: adding under ``carrier`` moves the wheel toward ``adding_moves_toward``."""

    carrier: End
    adding_moves_toward: End


@dataclass(frozen=True, slots=True)
class ShimAdvice:
    """The shim side of the advice; ``carrier`` is None when the sheet does not say what a shim does.

    ``amount_mm`` is a first step, None unless the gear data tell the amount well enough (see ``propose_amount``): how
    far a pattern moves per millimetre of shim differs by a factor of ten between machines, so trials decide.
    """

    carrier: End | None
    change: ShimChange
    amount_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Advice:
    """The opinion: a move or CANNOT_SAY, the shims, the reason, and what else the pattern shows."""

    move: Move
    shims: ShimAdvice
    because: Reason
    findings: tuple[Finding, ...] = ()


def advise(comparison: Comparison, cautions: Sequence[Caution], shim_rule: ShimRule | None) -> Advice:
    """The advice for a comparison; ``cautions`` are those of all readings."""
    faults = find_faults(comparison)
    move, because = _opinion(comparison, cautions, faults)
    return Advice(move, _shims(move, shim_rule), because, faults)


def propose_amount(advice: Advice, estimate: Estimate, comparison: Comparison) -> Advice:
    """The same advice with a first step in mm, when the estimate bears it out; it never changes the direction.

    No amount when nobody knows what a shim does, when the pattern's target is not the middle, when estimate and pattern
    disagree, or when what fits the reading reaches over more than TIGHT_ENOUGH.
    """
    toward_b = estimate.wheel_toward_a_mm.value > 0
    least, likely = estimate.at_least_mm, abs(estimate.wheel_toward_a_mm.value)
    largest = max(abs(estimate.wheel_toward_a_mm.low), abs(estimate.wheel_toward_a_mm.high))
    step = math.floor(100 * min(PART_OF_MOVE * likely, least, LARGEST_CHANGE_MM)) / 100
    known = advice.shims.change in (ShimChange.ADD, ShimChange.REMOVE)
    agrees = advice.move is (Move.TOWARD_B if toward_b else Move.TOWARD_A)
    middle = math.isclose(comparison.target.left + comparison.target.right, 1.0, abs_tol=1e-9)
    if not (agrees and known and middle and largest <= TIGHT_ENOUGH * least and step >= SMALLEST_STEP_MM):
        return advice
    return replace(advice, shims=replace(advice.shims, amount_mm=step))


def _opinion(comparison: Comparison, cautions: Sequence[Caution], faults: Sequence[Finding]) -> tuple[Move, Reason]:
    graves = [one for one in cautions if one.grave]
    grave = next((one for one in graves if one.code == ASKED_FIRST), graves[0] if graves else None)
    unsure = next((one for one in cautions if one.code in UNSURE), None)
    if comparison.shared is None:
        return Move.CANNOT_SAY, _missing(comparison)
    if grave is not None:
        return Move.CANNOT_SAY, reason("grave-caution", grave)
    move, because = _direction(comparison.shared, clear=comparison.clearly_shifted)
    if because.code == "toward" and unsure is not None:
        return move, Reason("toward-unsure", because.values, unsure)
    crossed = next((fault for fault in faults if fault.code == "crossed"), None)
    if crossed and comparison.shared.low > -FAR_OFF and comparison.shared.high < FAR_OFF:
        return Move.NOT_BY_SHIM, Reason(crossed.code, crossed.values)
    apart = next((fault for fault in faults if fault.code == "crossed-early"), None)
    if move in (Move.STAY, Move.CANNOT_SAY) and apart and any(fault.code == "runs-out" for fault in faults):
        return Move.CANNOT_SAY, reason("crossed-early", left_end=apart["left_end"], right_end=apart["right_end"])
    return move, because


def _direction(shared: Interval, *, clear: bool) -> tuple[Move, Reason]:
    """The sign rule: the wheel moves toward the end that carries the pattern (positive = toward B)."""
    end, share = ("B" if shared.value > 0 else "A"), abs(shared.value)
    if clear:
        return (Move.TOWARD_B if shared.value > 0 else Move.TOWARD_A), reason("toward", end=end, share=share)
    if shared.low >= -CENTRED_WITHIN and shared.high <= CENTRED_WITHIN:
        return Move.STAY, reason("in-place")
    if not shared.holds(0.0):
        return Move.CANNOT_SAY, reason("small-shift", end=end, share=share)
    if percent(share) == "0 %":
        return Move.CANNOT_SAY, reason("centred-unsure")
    return Move.CANNOT_SAY, reason("within-uncertainty", end=end, share=share)


def _missing(comparison: Comparison) -> Reason:
    if comparison.left is None and comparison.right is None:
        return reason("no-contact-read")
    return reason("one-flank", lacking="left" if comparison.left is None else "right")


def _shims(move: Move, rule: ShimRule | None) -> ShimAdvice:
    """Add when adding moves the wheel the wanted way, remove when it moves it the other way."""
    if move in (Move.STAY, Move.NOT_BY_SHIM):
        return ShimAdvice(rule.carrier if rule else None, ShimChange.NONE)
    if move is Move.CANNOT_SAY or rule is None:
        return ShimAdvice(None, ShimChange.UNKNOWN)
    wanted = End.A if move is Move.TOWARD_A else End.B
    change = ShimChange.ADD if rule.adding_moves_toward is wanted else ShimChange.REMOVE
    return ShimAdvice(rule.carrier, change)
