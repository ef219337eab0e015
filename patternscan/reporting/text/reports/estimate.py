"""How far the wheel is off, in millimetres and inches, as a mechanic says it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.judging.comparison import Target
from patternscan.judging.estimate import Estimate
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.reporting.text.model_limits import LIMITS
from patternscan.units import length_words

SHAFTS_OR_CENTRES = "The place of the pattern cannot tell these two apart; backlash can: wrong centres change it most."


def estimate_lines(judgement: Judgement) -> list[str]:
    """The lines about the wheel's offset; none without an estimate, or when a photo is too poor to give a direction."""
    estimate = judgement.estimate
    if estimate is None or any(caution.grave for caution in judgement.cautions):
        return []
    apart, elsewhere = _opposed(estimate, judgement.comparison.opposed), _elsewhere(judgement.comparison.target)
    lines = [_offset(estimate), *elsewhere, *apart, _guesses(estimate), *LIMITS[:3]]
    return [*lines, "What this machine did when you last changed a shim counts for more than this."]


def step_words(step_mm: float) -> str:
    """The proposed first step of shims."""
    return (
        f"As a first step {length_words(step_mm)}: at most two thirds of what the pattern suggests, if the wheel moves "
        "by the thickness of the shim. Tighten, blue again, judge again and compare before you go on."
    )


def _offset(estimate: Estimate) -> str:
    offset = estimate.wheel_toward_a_mm
    if offset.holds(0.0):
        more = ", or further off, because a pattern runs off an end" if estimate.saturated else ""
        return (
            f"The wheel sits anywhere from {_amount(offset.high)} too far toward end A "
            f"to {_amount(offset.low)} too far toward end B{more}."
        )
    end = "A" if offset.value > 0 else "B"
    if estimate.saturated:
        return (
            f"The wheel sits at least {_amount(estimate.at_least_mm)} too far toward end {end}. A pattern runs off "
            f"an end, so how much more cannot be said; {_amount(offset.value)} would fit best."
        )
    least, most = sorted((abs(offset.low), abs(offset.high)))
    return (
        f"The wheel sits about {_amount(offset.value)} too far toward end {end}; anything from {_amount(least)} to "
        f"{_amount(most)} fits in 9 cases out of 10."
    )


def _elsewhere(target: Target) -> Iterator[str]:
    """What to say when sheet or reference want the pattern somewhere else than in the middle."""
    if not math.isclose(target.left + target.right, 1.0, abs_tol=1e-9):
        who = "sheet" if target.reference is None else "reference"
        yield (
            f"This is counted from where the wheel was cut. The {who} wants the pattern off the middle, so the wheel "
            f"belongs elsewhere: the advice above goes by the {who}."
        )


def _opposed(estimate: Estimate, opposed: Interval | None) -> Iterator[str]:
    """What pulls the flanks apart, when something does."""
    if opposed is None or opposed.holds(0.0):
        return
    turn, centres = estimate.shaft_angle_error_deg, estimate.centre_error_mm
    words = f"shafts out of square by about {abs(turn.value):.2f} degrees ({_span(turn)})"
    if centres is not None:
        way = "far apart" if centres.value > 0 else "close together"
        words += f", or centres about {_amount(centres.value)} too {way}"
    yield f"What pulls the two flanks apart would come from {words}. {SHAFTS_OR_CENTRES}"


def _guesses(estimate: Estimate) -> str:
    size, film = estimate.hob_oversize, estimate.film_um
    hob = f"a hob {size.value * 100:.1f} % larger than the worm"
    if size.width > 0:
        hob = f"a hob {size.low * 100:.0f} to {size.high * 100:.0f} % larger than the worm"
    return (
        f"This goes by the gear data of the sheet, with {hob} and a film of compound of {film.low:.0f} to "
        f"{film.high:.0f} thousandths of a millimetre."
    )


def _span(interval: Interval) -> str:
    least, most = sorted((abs(interval.low), abs(interval.high)))
    return f"up to {most:.2f}" if interval.holds(0.0) else f"{least:.2f} to {most:.2f}"


def _amount(length_mm: float) -> str:
    return length_words(abs(length_mm))
