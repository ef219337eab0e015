"""The next step of shims that a job's trials bear out.

The response of a pattern flattens outward: a line drawn through two trials on the same side of the centre overshoots
(own simulation: the true step was 0.24 to 0.57 of it), between two trials on either side it may be trusted. A pattern
that runs off an end hardly moves for the first 0.2 to 0.3 mm, so no effect there is no sign that shims do nothing. How
far to step was chosen in closed loops (calibration).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from patternscan.calibration.judging import (
    CENTRED_WITHIN,
    FAR_OFF,
    LARGEST_BLIND_MM,
    LARGEST_CHANGE_MM,
    NO_GAIN_MM,
    PART_OF_SECANT,
    SAME_PACK_MM,
    SMALLEST_STEP_MM,
    TIMES_LARGEST_CHANGE,
)
from patternscan.judging.trials.bench import Bench, nearest_shim
from patternscan.judging.trials.response import find_wrong_way
from patternscan.judging.trials.trial import Pair, Series, Trial, order_trials
from patternscan.measuring.interval import Interval
from patternscan.reasons import Reason, reason


class StepKind(StrEnum):
    """What a proposal rests on."""

    FIRST_STEP = "first-step"
    HALF_STEP = "half-step"
    FURTHER = "further"
    BETWEEN = "between"
    LEAVE = "leave"
    NEAR_ENOUGH = "near-enough"
    NO_NUMBER = "no-number"
    STOP_WRONG_WAY = "stop-wrong-way"
    STOP_NO_GAIN = "stop-no-gain"
    STOP_TOO_FAR = "stop-too-far"


STOPS = StepKind.STOP_WRONG_WAY, StepKind.STOP_NO_GAIN, StepKind.STOP_TOO_FAR
"""Where shimming must stop."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """The next step. ``step_mm``: add shims when positive, remove when negative; None without a number.

    ``interval`` is the step with its uncertainty, None unless it was computed from the readings.
    """

    kind: StepKind
    because: Reason
    step_mm: float | None = None
    interval: Interval | None = None

    @property
    def stop(self) -> bool:
        """Whether shimming must stop here."""
        return self.kind in STOPS

    @property
    def ends(self) -> bool:
        """Whether no further shim is asked for."""
        return self.stop or self.kind is StepKind.NEAR_ENOUGH


def propose_step(trials: Sequence[Trial], expected_sign: int | None = None, bench: Bench | None = None) -> Proposal:
    """The next shim change after ``trials``, which stand in the order of the job; the first is as found."""
    if not trials:
        return Proposal(StepKind.NO_NUMBER, reason("no-reading"))
    series, bench = order_trials(trials), bench or Bench()
    for rule in RULES:
        if (proposal := rule(series, expected_sign)) is not None:
            return proposal
    pair = series.telling_pair
    if pair is None:
        return _first_step(series.last, expected_sign, bench)
    return _next_step(series, pair, expected_sign, bench)


def _leave(series: Series, _: int | None) -> Proposal | None:
    shared = series.last.shared
    if shared.low < -CENTRED_WITHIN or shared.high > CENTRED_WITHIN or series.last.clear:
        return None
    return Proposal(StepKind.LEAVE, reason("leave-shims"))


def _stop_wrong_way(series: Series, expected: int | None) -> Proposal | None:
    wrong = find_wrong_way(series, expected)
    return None if wrong is None else Proposal(StepKind.STOP_WRONG_WAY, reason("wrong-way", wrong))


def _stop_no_gain(series: Series, expected: int | None) -> Proposal | None:
    """Stop when so much of shims, both ways if need be, brought no gain; twice as much where a pattern ran off."""
    below_mm, above_mm = series.tried_mm
    changed_mm = min(below_mm, above_mm) if expected is None else below_mm + above_mm
    enough_mm = NO_GAIN_MM * (2 if any(pack.runs_off for pack in series.packs) else 1)
    if changed_mm < enough_mm - SAME_PACK_MM or series.gained or series.bracket is not None:
        return None
    return Proposal(StepKind.STOP_NO_GAIN, reason("no-gain", changed_mm=changed_mm))


def _unclear(series: Series, _: int | None) -> Proposal | None:
    if series.last.clear:
        return None
    return Proposal(StepKind.NO_NUMBER, reason("trials-unclear", share=series.last.distance))


RULES: tuple[Callable[[Series, int | None], Proposal | None], ...] = (
    _leave,
    _stop_wrong_way,
    _stop_no_gain,
    _unclear,
)
"""What is looked at, in this order, before any step is proposed."""


def _first_step(last: Trial, expected: int | None, bench: Bench) -> Proposal:
    code, size = bench.first_size(last.distance)
    if expected is None:
        by_mm = bench.at_least_thinnest(min(size, LARGEST_BLIND_MM))
        return Proposal(StepKind.FIRST_STEP, reason("either-way", by_mm=by_mm))
    step = -math.copysign(bench.at_least_thinnest(size), last.shared.value * expected)
    return Proposal(StepKind.FIRST_STEP, reason(code, step_mm=step), step)


def _next_step(series: Series, pair: Pair, expected: int | None, bench: Bench) -> Proposal:
    """From two packs or more: between two that enclose the centre, else half of the way the line points to."""
    if series.bracket is not None:
        return _between(series, pair, bench)
    if expected is None and max(series.tried_mm) >= NO_GAIN_MM - SAME_PACK_MM and not series.gained:
        return _other_way(series, pair, bench)
    if pair.centre is None:
        return _further(series, pair, expected, bench)
    nearest = Pair(series.last, series.nearest)
    if series.nearest is series.last or nearest.sign != pair.sign or nearest.centre is None:
        return _half_step(series, series.last, pair, bench)
    return _half_step(series, series.nearest, nearest, bench)


def _between(series: Series, pair: Pair, bench: Bench) -> Proposal:
    last, centre = series.last, pair.centre
    if centre is None:
        because = reason("effect-unclear", from_mm=pair.one.shim_mm, to_mm=pair.other.shim_mm)
        return Proposal(StepKind.NO_NUMBER, because)
    step = centre.shifted(-last.shim_mm)
    if step.value * last.shared.value * pair.effect_per_mm.value > 0:
        return Proposal(StepKind.NO_NUMBER, reason("trials-contradict"))
    made = bench.made(step.value)
    if not made or series.holds(last.shim_mm + made):
        return _not_on_hand(series, pair, bench, (step.value,))
    thin_mm, thick_mm = sorted((pair.one.shim_mm, pair.other.shim_mm))
    return Proposal(StepKind.BETWEEN, reason("between", step_mm=made, thin_mm=thin_mm, thick_mm=thick_mm), made, step)


def _further(series: Series, pair: Pair, expected: int | None, bench: Bench) -> Proposal:
    """So far that the strongest effect that the readings allow brings the pattern to its place, and no further.

    Where nobody knows what a shim does, the way in which the pattern seemed to come nearer.
    """
    effect, shift = pair.effect_per_mm, series.last.shared.value
    pull = shift * (expected or effect.value) or series.steps[-2].shim_mm - series.steps[-1].shim_mm
    strongest = effect.half_width + max((expected or math.copysign(1, effect.value)) * effect.value, 0.0)
    size = abs(shift) / max(strongest, abs(shift) / _cap(series))
    step = -math.copysign(bench.at_least_thinnest(size), pull)
    because = reason("hardly-moved", step_mm=step, from_mm=pair.one.shim_mm, to_mm=pair.other.shim_mm)
    return Proposal(StepKind.FURTHER, because, step)


def _other_way(series: Series, pair: Pair, bench: Bench) -> Proposal:
    """As far to the other side of the first pack, or twice as far where both were tried, when nobody knows the way."""
    less, more = sorted(series.tried_mm)
    first, last = series.steps[0].shim_mm, series.last.shim_mm
    side = math.copysign(1, last - first or series.steps[-2].shim_mm - first)
    alike = more - less <= SAME_PACK_MM
    beyond = min(2 * more, more + _cap(series)) if alike else -min(more, less + _cap(series))
    step = bench.made(first + side * beyond - last)
    because = reason("hardly-moved", step_mm=step, from_mm=pair.one.shim_mm, to_mm=pair.other.shim_mm)
    return Proposal(StepKind.FURTHER, because, step)


def _half_step(series: Series, base: Trial, pair: Pair, bench: Bench) -> Proposal:
    """Half of the way from ``base`` to where the line meets the centre; first back to ``base`` if it is not in now."""
    centre = pair.centre
    assert centre is not None
    largest = _cap(series)
    way = centre.shifted(-base.shim_mm)
    floor, ceiling = (0.0, largest) if way.value > 0 else (-largest, 0.0)
    half = Interval(*(PART_OF_SECANT * each for each in (way.value, way.low, way.high))).clipped(floor, ceiling)
    back = base.shim_mm - series.last.shim_mm
    step = half if bench.made(half.shifted(back).value) else way
    made = bench.made(step.shifted(back).value)
    if not made:
        return _not_on_hand(series, pair, bench, (half.shifted(back).value, way.shifted(back).value))
    code = "as-capped" if abs(step.value) == largest else "half-way"
    because = reason(code, step_mm=made)
    if back:
        because = reason(f"back-{code}", step_mm=made, back_mm=back, beyond_mm=made - back)
    return Proposal(StepKind.HALF_STEP, because, made, step.shifted(back))


def _cap(series: Series) -> float:
    return min(TIMES_LARGEST_CHANGE * series.largest_change_mm, LARGEST_CHANGE_MM)


def _not_on_hand(series: Series, pair: Pair, bench: Bench, wanted_mm: Sequence[float]) -> Proposal:
    """Where the shims on hand make no step that brings it nearer: that is near enough, or thinner ones are wanted.

    Far off its place and yet nearer than the thinnest shim made is what no wheel can be, so a reading is mixed up.
    """
    nearest, too_thick = series.nearest, _too_thick(pair, bench)
    thinner = [math.copysign(nearest_shim(abs(step_mm)), step_mm) for step_mm in wanted_mm]
    step_mm = next((step for step in thinner if step and not series.holds(series.last.shim_mm + step)), None)
    if step_mm is not None and nearest.distance > CENTRED_WITHIN:
        return Proposal(StepKind.BETWEEN, reason("thinner-shims", step_mm=step_mm, **too_thick), step_mm)
    if nearest.distance >= FAR_OFF:
        return _not_to_be_believed(pair)
    if nearest is not series.last:
        back_mm = nearest.shim_mm - series.last.shim_mm
        return Proposal(StepKind.BETWEEN, reason("to-nearest-pack", step_mm=back_mm), back_mm)
    return Proposal(StepKind.NEAR_ENOUGH, reason("thinnest-step", **too_thick))


def _not_to_be_believed(pair: Pair) -> Proposal:
    """A line so steep that no shim made is thin enough, or one that goes by where the last reading lies."""
    if abs(pair.effect_per_mm.value) * SMALLEST_STEP_MM / 2 < FAR_OFF:
        return Proposal(StepKind.NO_NUMBER, reason("trials-contradict"))
    moved = abs(pair.other.shared.value - pair.one.shared.value)
    because = reason("moved-too-far", from_mm=pair.one.shim_mm, to_mm=pair.other.shim_mm, share=moved)
    return Proposal(StepKind.STOP_TOO_FAR, because)


def _too_thick(pair: Pair, bench: Bench) -> dict[str, Any]:
    """The thinnest step that the shims on hand make, and how far it moves the pattern."""
    thinnest_mm = bench.at_least_thinnest(SMALLEST_STEP_MM)
    return {"thinnest_mm": thinnest_mm, "share": abs(pair.effect_per_mm.value) * thinnest_mm}
