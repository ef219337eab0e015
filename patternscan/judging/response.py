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

from patternscan.calibration import CENTRED_WITHIN, FIRST_STEP_MM, PART_OF_SECANT, SAME_PACK_MM, TRIALS_WITHOUT_GAIN
from patternscan.frame import End, percent
from patternscan.judging.advice import ShimRule
from patternscan.judging.trials import Pair, Series, Trial, order_trials
from patternscan.measuring.interval import Interval
from patternscan.units import fine_length_words


@dataclass(frozen=True, slots=True)
class WrongWay:
    """A pattern that moved against the shim rule, or against an earlier trial, and what to do."""

    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Response:
    """What was learned: ``effect_per_mm`` in fractions of the face width per mm of shim, positive toward end B.

    ``sign`` is +1 or -1 when the effect is beyond its uncertainty, else None. ``wrong_way`` is there when the pattern
    clearly moved against the shim rule, or against an earlier trial.
    """

    effect_per_mm: Interval
    sign: int | None
    wrong_way: WrongWay | None

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
    because: str
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
        return Proposal(StepKind.NO_NUMBER, "There is no reading yet: photograph both flanks first.")
    series = order_trials(trials)
    for rule in RULES:
        if (proposal := rule(series, expected_sign)) is not None:
            return proposal
    pair = series.telling_pair
    if pair is None:
        return _first_step(series.last, expected_sign, by_gear_mm)
    return _next_step(series, pair)


def _wrong_way(series: Series, expected: int | None) -> WrongWay | None:
    """A warning when the latest clear step, or the telling pair, went against the rule or the first clear step."""
    clear = [pair for pair in series.step_pairs if pair.sign is not None]
    telling = series.telling_pair
    looked_at = [*clear[-1:], *([telling] if telling is not None and telling.sign is not None else [])]
    right = expected or next((pair.sign for pair in clear), None)
    wrong = [pair for pair in looked_at if right is not None and pair.sign != right]
    return _wrong_way_caution(wrong[0], known=expected is not None) if wrong else None


def _wrong_way_caution(pair: Pair, *, known: bool) -> WrongWay:
    moved = pair.other.shared.value - pair.one.shared.value
    against = "against the shim rule of the machine sheet" if known else "against what an earlier trial showed"
    return WrongWay(
        f"From {_pack(pair.one)} to {_pack(pair.other)} the pattern moved {percent(moved)} of the face width toward "
        f"end {'B' if moved > 0 else 'A'}, {against}.",
        "Stop, and check which end face carries the letter A, whether every photo was given as the flank that it "
        "shows, and which way a shim under this carrier moves the wheel.",
    )


def _leave(series: Series, _: int | None) -> Proposal | None:
    shared = series.last.shared
    if shared.low < -CENTRED_WITHIN or shared.high > CENTRED_WITHIN or series.last.clear:
        return None
    return Proposal(
        StepKind.LEAVE, "Taken together, both flanks carry the pattern in its place along the face: leave the shims."
    )


def _stop_wrong_way(series: Series, expected: int | None) -> Proposal | None:
    caution = _wrong_way(series, expected)
    return None if caution is None else Proposal(StepKind.STOP_WRONG_WAY, f"{caution.message} {caution.remedy}")


def _stop_no_gain(series: Series, _: int | None) -> Proposal | None:
    """Stop when the last trials together came no nearer, beyond its uncertainty, than the best one before them."""
    before, since = series.steps[:-TRIALS_WITHOUT_GAIN], series.steps[-TRIALS_WITHOUT_GAIN:]
    if not before:
        return None
    old, new = (min(part, key=lambda trial: trial.distance) for part in (before, since))
    if old.distance - new.distance > math.hypot(old.shared.half_width, new.shared.half_width):
        return None
    return Proposal(
        StepKind.STOP_NO_GAIN,
        "The last three shim changes brought the pattern no nearer to its place: stop, shims are not what is wrong; "
        "check the end play, both carriers, and whether worm and wheel belong together.",
    )


def _within_doubt(series: Series, _: int | None) -> Proposal | None:
    if series.last.clear:
        return None
    size = percent(series.last.shared.value)
    return Proposal(
        StepKind.NO_NUMBER,
        f"All readings with these shims together put the pattern {size} of the face width off its place, too little or "
        "too uncertain to shim for: blue again and read more teeth.",
    )


RULES: tuple[Callable[[Series, int | None], Proposal | None], ...] = (
    _leave,
    _stop_wrong_way,
    _stop_no_gain,
    _within_doubt,
)
"""What is looked at, in this order, before any step is proposed."""


def _first_step(last: Trial, expected: int | None, by_gear_mm: float | None) -> Proposal:
    if expected is not None and by_gear_mm:
        step = -math.copysign(by_gear_mm, last.shared.value * expected)
        why = "at most half of what the gear data point to, as no trial has shown yet what a shim does here"
        return Proposal(StepKind.FIRST_STEP, f"{_change(step)} as a first step, {why}.", step)
    why = (
        "small on purpose, as nobody knows yet how far the pattern of this wheel moves (a hob 2 % oversize magnifies a "
        "shift of the wheel about fifty times)"
    )
    if expected is None:
        return Proposal(
            StepKind.FIRST_STEP,
            f"Change the shims by {fine_length_words(FIRST_STEP_MM)} either way, to find out what a shim does here, "
            f"which the sheet does not say: {why}.",
        )
    step = -math.copysign(FIRST_STEP_MM, last.shared.value * expected)
    return Proposal(StepKind.FIRST_STEP, f"{_change(step)} as a first step, {why}.", step)


def _next_step(series: Series, pair: Pair) -> Proposal:
    """From two packs or more: between two that enclose the centre, else half of the way the line points to."""
    centre = pair.centre
    if centre is None:
        return Proposal(
            StepKind.NO_NUMBER,
            f"From {_pack(pair.one)} to {_pack(pair.other)} the pattern moved less than the doubt of the readings, so "
            "no amount can be given: read more teeth, or go on the same way by another small step and blue again.",
        )
    if series.bracket is not None:
        return _between(series.last, pair, centre.shifted(-series.last.shim_mm))
    nearest = Pair(series.last, series.nearest)
    if series.nearest is series.last or nearest.sign != pair.sign or nearest.centre is None:
        return _half_step(series, series.last, centre)
    return _half_step(series, series.nearest, nearest.centre)


def _between(last: Trial, pair: Pair, step: Interval) -> Proposal:
    if step.value * last.shared.value * pair.effect_per_mm.value > 0:
        return Proposal(
            StepKind.NO_NUMBER,
            "The readings contradict each other: by the last one the shims have to change one way, by the others the "
            "other way; blue again and read more teeth.",
        )
    thin, thick = sorted((pair.one, pair.other), key=lambda trial: trial.shim_mm)
    return Proposal(
        StepKind.BETWEEN,
        f"{_change(step.value)}: the pattern lay on one side of its place with {_pack(thin)} and on the other with "
        f"{_pack(thick)}, so the right pack lies between.",
        step.value,
        step,
    )


def _half_step(series: Series, base: Trial, centre: Interval) -> Proposal:
    """Half of the way from ``base`` to where the line meets the centre; first back to ``base`` if it is not in now."""
    largest = abs(series.steps[-1].shim_mm - series.steps[-2].shim_mm)
    way = centre.shifted(-base.shim_mm)
    floor, ceiling = (0.0, largest) if way.value > 0 else (-largest, 0.0)
    half = Interval(*(PART_OF_SECANT * each for each in (way.value, way.low, way.high))).clipped(floor, ceiling)
    what = "no more than the last change" if abs(half.value) == largest else "half of what the readings point to"
    back = base.shim_mm - series.last.shim_mm
    if back:
        again = (
            f"{fine_length_words(abs(back))} of it back to the shims with which the pattern lay nearer, and beyond them"
        )
        what = f"{again} {fine_length_words(abs(half.value))}, {what}"
    step = half.shifted(back)
    return Proposal(
        StepKind.HALF_STEP,
        f"{_change(step.value)}, {what}: all readings lie on the same side, and the pattern moves faster the nearer "
        "it comes to its place.",
        step.value,
        step,
    )


def _pack(trial: Trial) -> str:
    if abs(trial.shim_mm) <= SAME_PACK_MM:
        return "the shims as found"
    return f"{fine_length_words(abs(trial.shim_mm))} {'more' if trial.shim_mm > 0 else 'less'} than as found"


def _change(step_mm: float) -> str:
    return f"{'Add' if step_mm > 0 else 'Remove'} {fine_length_words(round(abs(step_mm), 6))}"
