"""What a shim change did to the pattern, learned from the job's own trials.

How far a pattern moves for a millimetre of shim differs by a factor of ten between machines (own simulation of 13 gear
sets: 4 to 40 % of the face width per 0.1 mm), so no number is built in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patternscan.cautions import Caution, caution
from patternscan.frame import End
from patternscan.judging.advice import ShimRule
from patternscan.judging.trials.trial import Pair, Series, Trial, order_trials
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
    return None if pair is None else Response(pair.effect_per_mm, pair.sign, find_wrong_way(series, expected_sign))


def find_wrong_way(series: Series, expected: int | None) -> Caution | None:
    """A warning when the latest clear step, or the telling pair, went against the rule or the first clear step.

    Without a rule, patterns that run off an end contradict nothing: there they hardly move, and not always one way.
    """
    told = [pair for pair in series.step_pairs if expected or not (pair.one.runs_off and pair.other.runs_off)]
    clear = [pair for pair in told if pair.sign is not None]
    telling = series.telling_pair
    looked_at = [*clear[-1:], *([telling] if telling is not None and telling.sign is not None else [])]
    right = expected or next((pair.sign for pair in clear), None)
    wrong = [pair for pair in looked_at if right is not None and pair.sign != right]
    return _wrong_way_caution(wrong[0], known=expected is not None) if wrong else None


def _wrong_way_caution(pair: Pair, *, known: bool) -> Caution:
    """Against a rule that was known, also toward which end one more shim moved the wheel."""
    moved = pair.other.shared.value - pair.one.shared.value
    trial = {"from_mm": pair.one.shim_mm, "to_mm": pair.other.shim_mm, "share": abs(moved)}
    end = "B" if moved > 0 else "A"
    if not known:
        return caution("trial-against-trial", None, None, **trial, end=end)
    toward = "A" if pair.effect_per_mm.value > 0 else "B"
    return caution("trial-against-rule", None, None, **trial, end=end, toward=toward)
