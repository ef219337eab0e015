"""What a shim change did to the pattern, learned from the job's own trials, and the next step it bears out.

How far a pattern moves for a millimetre of shim differs by a factor of ten between machines (own simulation of 13 gear
sets: 4 to 40 % of the face width per 0.1 mm), so no number is built in. The response flattens outward: a line drawn
through two trials on the same side of the centre overshoots (own simulation: the true step was 0.24 to 0.57 of it),
between two trials on either side it may be trusted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from patternscan.calibration import CENTRED_WITHIN, FIRST_STEP_MM, PART_OF_SECANT, TRIALS_WITHOUT_GAIN
from patternscan.cautions import Caution, Reason, caution, reason
from patternscan.frame import End
from patternscan.judging.advice import ShimRule
from patternscan.judging.trials import Pair, Series, Trial, order_trials
from patternscan.measuring.interval import Interval


@dataclass(frozen=True, slots=True)
class Response:
    """What was learned: ``effect_per_mm`` in fractions of the face width per mm of shim, positive toward end B.

    ``sign`` is +1 or -1 when the effect is beyond its uncertainty, else None. ``wrong_way`` is there when the pattern
    clearly moved against the shim rule, or against an earlier trial.
    """

    effect_per_mm: Interval
    sign: int | None
    wrong_way: Caution | None

    def rule(self, carrier: End) -> ShimRule | None:
        """The shim rule that the trials show for the shimmed carrier, to complete the sheet; None when uncertain."""
        if self.sign is None or self.wrong_way is not None:
            return None
        return ShimRule(carrier, End.B if self.sign < 0 else End.A)


class StepKind(StrEnum):
    """What a proposal rests on."""

    FIRST_STEP = "first-step"
    HALF_STEP = "half-step"
    BETWEEN = "between"
    LEAVE = "leave"
    NO_NUMBER = "no-number"
    STOP_WRONG_WAY = "stop-wrong-way"
    STOP_NO_GAIN = "stop-no-gain"


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
        return self.kind in (StepKind.STOP_WRONG_WAY, StepKind.STOP_NO_GAIN)


def find_expected_sign(rule: ShimRule | None) -> int | None:
    """Which way one more shim moves the pattern by the rule: +1 toward end B, -1 toward end A, None when not known.

    The pattern moves against the wheel (see ``advice``, the home of the sign rule).
    """
    return None if rule is None else (-1 if rule.adding_moves_toward is End.B else 1)


def learn_response(trials: Sequence[Trial], expected_sign: int | None = None) -> Response | None:
    """What shims did in ``trials``, which stand in the order of the job; None until two packs were tried.

    ``expected_sign`` as from ``find_expected_sign``.
    """
    series = order_trials(trials)
    pair = series.telling_pair
    return None if pair is None else Response(pair.effect_per_mm, pair.sign, _wrong_way(series, expected_sign))


def propose_step(
    trials: Sequence[Trial], expected_sign: int | None = None, by_gear_mm: float | None = None
) -> Proposal:
    """The next shim change after ``trials``, which stand in the order of the job; the first is as found.

    ``by_gear_mm`` is the first step that the gear data bear out (``advice.propose_amount``), None when they do not.
    """
    if not trials:
        return Proposal(StepKind.NO_NUMBER, reason("no-reading"))
    series = order_trials(trials)
    for rule in RULES:
        if (proposal := rule(series, expected_sign)) is not None:
            return proposal
    pair = series.telling_pair
    if pair is None:
        return _first_step(series.last, expected_sign, by_gear_mm)
    return _next_step(series, pair)


def _wrong_way(series: Series, expected: int | None) -> Caution | None:
    """A warning when the latest clear step, or the telling pair, went against the rule or the first clear step."""
    clear = [pair for pair in series.step_pairs if pair.sign is not None]
    telling = series.telling_pair
    looked_at = [*clear[-1:], *([telling] if telling is not None and telling.sign is not None else [])]
    right = expected or next((pair.sign for pair in clear), None)
    wrong = [pair for pair in looked_at if right is not None and pair.sign != right]
    return _wrong_way_caution(wrong[0], known=expected is not None) if wrong else None


def _wrong_way_caution(pair: Pair, *, known: bool) -> Caution:
    moved = pair.other.shared.value - pair.one.shared.value
    return caution(
        "trial-against-rule" if known else "trial-against-trial",
        from_mm=pair.one.shim_mm,
        to_mm=pair.other.shim_mm,
        share=abs(moved),
        end="B" if moved > 0 else "A",
    )


def _leave(series: Series, _: int | None) -> Proposal | None:
    shared = series.last.shared
    if shared.low < -CENTRED_WITHIN or shared.high > CENTRED_WITHIN or series.last.clear:
        return None
    return Proposal(StepKind.LEAVE, reason("leave-shims"))


def _stop_wrong_way(series: Series, expected: int | None) -> Proposal | None:
    wrong = _wrong_way(series, expected)
    return None if wrong is None else Proposal(StepKind.STOP_WRONG_WAY, reason("wrong-way", wrong))


def _stop_no_gain(series: Series, _: int | None) -> Proposal | None:
    """Stop when the last trials together came no nearer, beyond the uncertainty, than the best one before them."""
    before, since = series.steps[:-TRIALS_WITHOUT_GAIN], series.steps[-TRIALS_WITHOUT_GAIN:]
    if not before:
        return None
    old, new = (min(part, key=lambda trial: trial.distance) for part in (before, since))
    if old.distance - new.distance > math.hypot(old.shared.half_width, new.shared.half_width):
        return None
    return Proposal(StepKind.STOP_NO_GAIN, reason("no-gain", trials=TRIALS_WITHOUT_GAIN))


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


def _first_step(last: Trial, expected: int | None, by_gear_mm: float | None) -> Proposal:
    if expected is None:
        return Proposal(StepKind.FIRST_STEP, reason("either-way", by_mm=FIRST_STEP_MM))
    code, size = ("by-gear-data", by_gear_mm) if by_gear_mm else ("small-step", FIRST_STEP_MM)
    step = -math.copysign(size, last.shared.value * expected)
    return Proposal(StepKind.FIRST_STEP, reason(code, step_mm=step), step)


def _next_step(series: Series, pair: Pair) -> Proposal:
    """From two packs or more: between two that enclose the centre, else half of the way the line points to."""
    centre = pair.centre
    if centre is None:
        because = reason("effect-unclear", from_mm=pair.one.shim_mm, to_mm=pair.other.shim_mm)
        return Proposal(StepKind.NO_NUMBER, because)
    if series.bracket is not None:
        return _between(series.last, pair, centre.shifted(-series.last.shim_mm))
    nearest = Pair(series.last, series.nearest)
    if series.nearest is series.last or nearest.sign != pair.sign or nearest.centre is None:
        return _half_step(series, series.last, centre)
    return _half_step(series, series.nearest, nearest.centre)


def _between(last: Trial, pair: Pair, step: Interval) -> Proposal:
    if step.value * last.shared.value * pair.effect_per_mm.value > 0:
        return Proposal(StepKind.NO_NUMBER, reason("trials-contradict"))
    thin_mm, thick_mm = sorted((pair.one.shim_mm, pair.other.shim_mm))
    because = reason("between", step_mm=step.value, thin_mm=thin_mm, thick_mm=thick_mm)
    return Proposal(StepKind.BETWEEN, because, step.value, step)


def _half_step(series: Series, base: Trial, centre: Interval) -> Proposal:
    """Half of the way from ``base`` to where the line meets the centre; first back to ``base`` if it is not in now."""
    largest = abs(series.steps[-1].shim_mm - series.steps[-2].shim_mm)
    way = centre.shifted(-base.shim_mm)
    floor, ceiling = (0.0, largest) if way.value > 0 else (-largest, 0.0)
    half = Interval(*(PART_OF_SECANT * each for each in (way.value, way.low, way.high))).clipped(floor, ceiling)
    back = base.shim_mm - series.last.shim_mm
    step = half.shifted(back)
    code = "as-last-change" if abs(half.value) == largest else "half-way"
    because = reason(code, step_mm=step.value)
    if back:
        because = reason(f"back-{code}", step_mm=step.value, back_mm=back, beyond_mm=half.value)
    return Proposal(StepKind.HALF_STEP, because, step.value, step)
