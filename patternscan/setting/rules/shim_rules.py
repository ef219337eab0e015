"""Rules for the side shims: when to stop, how the wheel is to move, how much the job's own trials bear out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.frame import End, percent
from patternscan.judging.advice import SMALLEST_STEP_MM, Move, ShimRule
from patternscan.judging.response import Proposal, StepKind, find_expected_sign, learn_response, propose_step
from patternscan.setting.log.event_words import PLACE_WORDS
from patternscan.setting.log.events import ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.mechanics.shim_pack import TOLERANCE_MM, find_pack
from patternscan.setting.rules.action import Priority, Rule
from patternscan.setting.rules.pattern_rules import ENDS, sound_pattern
from patternscan.setting.state.checks import CARRIER_PLACES
from patternscan.setting.state.job_state import JobState
from patternscan.units import fine_length_words, length_words

EFFECT_OF_MM = 0.1
"""The shims for which the learned effect is told."""


def _stop(kind: StepKind) -> Rule:
    def words(state: JobState, sheet: Sheet) -> str | None:
        proposal = _proposal(state, sheet)
        return proposal.because if proposal is not None and proposal.kind is kind else None

    because = {
        StepKind.STOP_WRONG_WAY: "A pattern that moves the wrong way means that an end or the shim rule is mixed up.",
        StepKind.STOP_NO_GAIN: "Shims that bring no gain are not what is wrong.",
    }
    return Rule(kind.value, Priority.DO_NOW, because[kind], words)


def _shim_step(state: JobState, sheet: Sheet) -> str | None:
    pattern, proposal = sound_pattern(state, sheet), _proposal(state, sheet)
    if pattern is None or pattern.move not in ENDS or (proposal is not None and proposal.stop):
        return None
    end = ENDS[pattern.move]
    first = f"Move the wheel toward end {end}."
    carrier = sheet.shims.carrier
    if proposal is None or carrier is None:
        return f"{first} The sheet does not say which carrier holds the side shims, so no amount can be given."
    if proposal.kind is StepKind.LEAVE or not _agrees(proposal, end, state, sheet):
        return f"The last pattern points toward end {end}, the trials together do not: blue again before any shim."
    if proposal.kind is StepKind.NO_NUMBER:
        return f"The pattern asks for the wheel to move toward end {end}, but not yet by how much. {proposal.because}"
    because = proposal.because[:1].lower() + proposal.because[1:]
    where = f"Under {PLACE_WORDS[CARRIER_PLACES[carrier]]}, at the upper and the lower bolts alike, {because}"
    return " ".join([first, where, *_doubt(proposal), *_beside(proposal.step_mm, carrier, state, sheet)])


def _doubt(proposal: Proposal) -> Iterator[str]:
    """The step with what the doubt of the readings leaves open, where that can be told apart with shims."""
    if proposal.interval is None or proposal.interval.width < TOLERANCE_MM:
        return
    least, most = sorted((proposal.interval.low, proposal.interval.high), key=abs)
    if least * most < 0:
        least = 0.0
    thin, thick = fine_length_words(abs(least)), fine_length_words(abs(most))
    yield f"By the readings anything from {thin} to {thick} may be right."


def _agrees(proposal: Proposal, end: End, state: JobState, sheet: Sheet) -> bool:
    """Whether the proposed shims move the wheel to the end that the pattern asks for, as far as anyone knows."""
    rule = _rule(state, sheet)
    if proposal.step_mm is None or rule is None:
        return True
    toward = rule.adding_moves_toward
    return (toward if proposal.step_mm > 0 else toward.other) is end


def _rule(state: JobState, sheet: Sheet) -> ShimRule | None:
    """The sheet's shim rule, or the one that the trials show."""
    if sheet.shim_rule is not None or sheet.shims.carrier is None:
        return sheet.shim_rule
    response = learn_response(state.learning_trials)
    return None if response is None else response.rule(sheet.shims.carrier)


def _beside(step_mm: float | None, carrier: End, state: JobState, sheet: Sheet) -> Iterator[str]:
    """What else has to be said about a shim change; None stands for a trial either way."""
    if step_mm is not None:
        yield from _which_shims(step_mm, sheet)
        yield from _room(step_mm, CARRIER_PLACES[carrier], state, _thickest(sheet))
    other = CARRIER_PLACES[carrier.other]
    across = state.shims[other]
    if sheet.shims.alone or (sheet.shims.alone is None and (across is None or across.mean_mm <= 0)):
        return
    if step_mm is None:
        yield f"Change those under {PLACE_WORDS[other]} by as much the other way, so that the end play stays."
        return
    way = "Take the same from" if step_mm > 0 else "Put the same under"
    yield f"{way} {PLACE_WORDS[other]}, so that the end play stays."
    yield from _room(-step_mm, other, state, math.inf)


def _which_shims(step_mm: float, sheet: Sheet) -> Iterator[str]:
    stock = sheet.shims.stock
    if abs(step_mm) < SMALLEST_STEP_MM - TOLERANCE_MM / 100:
        yield f"No shim is so thin: exchange one for another that is so much {'thicker' if step_mm > 0 else 'thinner'}."
    elif step_mm > 0 and stock.kinds:
        yield f"From the shims on hand, for the upper and the lower bolts each: {find_pack(step_mm, stock, 2).words}"


def _room(step_mm: float, place: ShimPlace, state: JobState, thickest_mm: float) -> Iterator[str]:
    """A warning when the pack would become less than nothing, or thicker than the place takes."""
    pack = state.shims[place]
    if pack is None:
        return
    if pack.mean_mm + step_mm < -TOLERANCE_MM:
        yield f"But only {length_words(pack.mean_mm)} of shims lie under {PLACE_WORDS[place]}."
    if pack.mean_mm + step_mm > thickest_mm + TOLERANCE_MM:
        yield (
            f"But {PLACE_WORDS[place]} takes no more than {length_words(thickest_mm)}; "
            f"{length_words(pack.mean_mm)} lie there."
        )


def _thickest(sheet: Sheet) -> float:
    return math.inf if sheet.shims.thickest_mm is None else sheet.shims.thickest_mm


def _proposal(state: JobState, sheet: Sheet) -> Proposal | None:
    """The step that the trials bear out, None without a sound pattern that asks for a move."""
    pattern, trials = sound_pattern(state, sheet), state.learning_trials
    if pattern is None or pattern.move not in ENDS or not trials:
        return None
    return propose_step(trials, find_expected_sign(sheet.shim_rule), pattern.step_mm)


def _effect(state: JobState, sheet: Sheet) -> str | None:
    """What the trials taught: the effect of a shim with its doubt, and the shim rule if the sheet lacks it."""
    carrier = sheet.shims.carrier
    response = learn_response(state.learning_trials, find_expected_sign(sheet.shim_rule))
    learned = None if carrier is None or response is None else response.rule(carrier)
    if carrier is None or response is None or learned is None:
        return None
    effect = response.effect_per_mm
    least, most = sorted(abs(each) * EFFECT_OF_MM * 100 for each in (effect.low, effect.high))
    told = (
        f"By the trials, {length_words(EFFECT_OF_MM)} more under {PLACE_WORDS[CARRIER_PLACES[carrier]]} moves the "
        f"pattern {percent(effect.value * EFFECT_OF_MM)} of the face width ({least:.0f} to {most:.0f} %) toward end "
        f"{learned.adding_moves_toward.other}."
    )
    if sheet.shim_rule is not None:
        return told
    toward = learned.adding_moves_toward
    return (
        f'{told} So it moves the wheel toward end {toward}: write adding_moves_wheel = "toward-{toward}" on the sheet.'
    )


def _wrong_way_yet_centred(state: JobState, sheet: Sheet) -> str | None:
    pattern = sound_pattern(state, sheet)
    if pattern is None or pattern.move is not Move.STAY:
        return None
    response = learn_response(state.learning_trials, find_expected_sign(sheet.shim_rule))
    return None if response is None or response.wrong_way is None else response.wrong_way.message


STOP_RULES: tuple[Rule, ...] = (_stop(StepKind.STOP_WRONG_WAY), _stop(StepKind.STOP_NO_GAIN))
"""When to shim no further, whatever else the pattern shows."""
SHIM_RULES: tuple[Rule, ...] = (
    Rule("shim-step", Priority.DO_NOW, "The wheel moves toward the end that carries the pattern.", _shim_step),
    Rule(
        "wrong-way-yet-centred",
        Priority.WARNING,
        "A pattern that moved the wrong way means that an end or the shim rule is mixed up.",
        _wrong_way_yet_centred,
    ),
    Rule("shim-effect", Priority.WARNING, "Only this machine's own trials tell how far its pattern moves.", _effect),
)
"""In the order of work (common practice)."""
