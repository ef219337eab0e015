"""Rules for the side shims: when to stop, how the wheel is to move, how much the job's own trials bear out."""

from __future__ import annotations

from functools import partial

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.frame import End
from patternscan.judging.advice import Move
from patternscan.judging.trials.bench import Bench
from patternscan.judging.trials.next_step import STOPS, Proposal, StepKind, propose_step
from patternscan.judging.trials.response import Response, find_expected_sign, learn_response
from patternscan.reasons import reason
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.words import ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.mechanics.shim_pack import find_pack, nearest_total
from patternscan.setting.mechanics.swap import find_swap
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.rules.pattern_rules import ENDS, questions_of, sound_pattern
from patternscan.setting.state.checks import CARRIER_PLACES, Check, limit_of, thickest_at
from patternscan.setting.state.current_readings import REFERENCE_GONE
from patternscan.setting.state.job_state import JobState

BOLTS = 2
"""Places of a carrier that are shimmed alike: the upper and the lower bolts."""
EFFECT_OF_MM = 0.1
"""The shims for which the learned effect is told."""


def _said_by(kind: StepKind, priority: Priority) -> Rule:
    def points(state: JobState, sheet: Sheet) -> Points:
        proposal = _proposal(state, sheet)
        if proposal is not None and proposal.kind is kind:
            yield proposal.because

    return Rule(kind.value, priority, points)


def _shim_step(state: JobState, sheet: Sheet) -> Points:
    pattern, proposal, carrier = sound_pattern(state, sheet), _proposal(state, sheet), sheet.shims.carrier
    if pattern is None or pattern.move not in ENDS or (proposal is not None and proposal.ends) or state.contradicted:
        return
    end = ENDS[pattern.move]
    if state.tilted:
        yield point("tilted-yet")
    elif _loose(state, sheet):
        yield point("loose-yet")
    elif proposal is None or carrier is None:
        yield point("move-wheel", end=end)
        yield point("no-carrier-known")
    elif proposal.kind is StepKind.LEAVE or not _agrees(proposal, end, sheet):
        yield point("trials-disagree", end=end)
    elif proposal.kind is StepKind.NO_NUMBER:
        yield point("no-amount-yet", end=end)
        yield proposal.because
    else:
        yield point("move-wheel", end=end)
        yield point("under-carrier", place=CARRIER_PLACES[carrier])
        yield proposal.because
        yield from _uncertainty(proposal)
        if proposal.kind is StepKind.FIRST_STEP and sheet.gear.missing:
            yield point("gear-data-worth")
        yield from _beside(proposal.step_mm, carrier, state, sheet)


def _loose(state: JobState, sheet: Sheet) -> bool:
    """Whether a shaft has an end play beyond its limit, by which no pattern counts once it is set."""
    limits = {check: limit_of(check, sheet) for check in (Check.WORM_END_PLAY, Check.WHEEL_END_PLAY)}
    return any(
        limit is not None and state.counts(check) and not limit.holds(state.current_readings[check].readings_mm)
        for check, limit in limits.items()
    )


def asks_for_shims(state: JobState, sheet: Sheet) -> bool:
    """Whether the wheel has still to be moved by its shims."""
    return any(_shim_step(state, sheet))


def advised_step(state: JobState, sheet: Sheet) -> float | None:
    """The change under the shimmed carrier that is asked for, in mm; None when none is, or either way would do."""
    proposal = _proposal(state, sheet) if asks_for_shims(state, sheet) else None
    return None if proposal is None else proposal.step_mm


def _uncertainty(proposal: Proposal) -> Points:
    """The steps that the uncertainty of the readings leaves open, where shims can tell them apart."""
    if proposal.interval is None or proposal.interval.width < PACK_TOLERANCE_MM:
        return
    least, most = sorted((proposal.interval.low, proposal.interval.high), key=abs)
    yield point("step-may-be", least_mm=0.0 if least * most < 0 else abs(least), most_mm=abs(most))


def _agrees(proposal: Proposal, end: End, sheet: Sheet) -> bool:
    """Whether the proposed shims move the wheel to the end that the pattern asks for, as far as the sheet tells."""
    rule = sheet.shim_rule
    if proposal.step_mm is None or rule is None:
        return True
    toward = rule.adding_moves_toward
    return (toward if proposal.step_mm > 0 else toward.other) is end


def _beside(step_mm: float | None, carrier: End, state: JobState, sheet: Sheet) -> Points:
    """What else has to be said about a shim change; None stands for a trial either way."""
    here, other = CARRIER_PLACES[carrier], CARRIER_PLACES[carrier.other]
    if step_mm is not None:
        yield from _which_shims(step_mm, here, state, sheet)
        yield from _room(step_mm, here, state, sheet)
    across = state.shims[other]
    if sheet.shims.alone or (sheet.shims.alone is None and (across is None or across.mean_mm <= 0)):
        return
    if step_mm is None:
        yield point("other-side-opposite", place=other)
        return
    yield point("other-side-less" if step_mm > 0 else "other-side-more", place=other)
    yield from _room(-step_mm, other, state, sheet)
    yield from _swaps(-step_mm, other, state, sheet)
    yield point("out-first", place=other if step_mm > 0 else here)


def _which_shims(step_mm: float, place: ShimPlace, state: JobState, sheet: Sheet) -> Points:
    swaps = tuple(_swaps(step_mm, place, state, sheet))
    if not swaps and step_mm > 0 and sheet.shims.stock.kinds:
        yield point("from-stock")
        yield find_pack(step_mm, sheet.shims.stock, BOLTS).told
    yield from swaps


def _swaps(step_mm: float, place: ShimPlace, state: JobState, sheet: Sheet) -> Points:
    """Which single shims come out and which go in, where those of the pack are known."""
    for bolts, pack in state.pieces[place].items():
        swap = find_swap(step_mm, pack, sheet.shims.stock, BOLTS)
        if swap is not None:
            code = "swap" if swap.out.kinds and swap.into.kinds else "swap-out" if swap.out.kinds else "swap-in"
            yield point(code, place=place, bolts=bolts, out=swap.out.words, into=swap.into.words)


def _bench(pattern: Pattern, sheet: Sheet) -> Bench:
    """What is known beside the trials; a change takes the shims on hand for the upper and the lower bolts alike."""
    stock, face_mm = sheet.shims.stock, sheet.gear.face_width_mm
    if not stock.kinds:
        return Bench(pattern.step_mm, face_mm)
    return Bench(pattern.step_mm, face_mm, partial(nearest_total, stock=stock, places=BOLTS))


def _room(step_mm: float, place: ShimPlace, state: JobState, sheet: Sheet) -> Points:
    """A warning when the pack would become less than nothing, or thicker than the place takes."""
    pack, thickest_mm = state.shims[place], thickest_at(place, sheet)
    if pack is None:
        return
    if pack.mean_mm + step_mm < -PACK_TOLERANCE_MM:
        yield point("too-few-shims", place=place, pack_mm=pack.mean_mm)
    if pack.mean_mm + step_mm > thickest_mm + PACK_TOLERANCE_MM:
        yield point("no-room", place=place, thickest_mm=thickest_mm, pack_mm=pack.mean_mm)


def _proposal(state: JobState, sheet: Sheet) -> Proposal | None:
    """The step that the trials bear out, None without a sound pattern that asks for a move, where the last two patterns
    contradict each other, and as long as the shaft is tilted or has too much end play.

    Trials that still ask something teach nothing, but they hold back: a stop stands that rests on them, and where
    without them it would be a first step again, no number is given.
    """
    pattern, trials = sound_pattern(state, sheet), state.learning_trials
    if state.current_readings[Check.PATTERN].invalidation == REFERENCE_GONE:
        return _stop_whatever_the_target(state, sheet)
    if pattern is None or pattern.move not in ENDS or not trials or state.contradicted:
        return None
    if state.tilted or _loose(state, sheet):
        return None
    sure, tried = (
        propose_step(each, find_expected_sign(sheet.shim_rule), _bench(pattern, sheet))
        for each in (trials, state.tried)
    )
    if tried.stop:
        return tried
    if sure.kind is StepKind.FIRST_STEP and tried.kind is not StepKind.FIRST_STEP:
        return Proposal(StepKind.NO_NUMBER, reason("trials-ask"))
    return sure


def _stop_whatever_the_target(state: JobState, sheet: Sheet) -> Proposal | None:
    """That the pattern went the wrong way, which shows whatever it was held against; None where it did not."""
    response = _tried_response(state, sheet)
    wrong = None if response is None else response.wrong_way
    return None if wrong is None else Proposal(StepKind.STOP_WRONG_WAY, reason("wrong-way", wrong))


def _tried_response(state: JobState, sheet: Sheet) -> Response | None:
    """What all trials show, also those that still ask something."""
    return learn_response(state.tried, find_expected_sign(sheet.shim_rule))


def _response(state: JobState, sheet: Sheet) -> Response | None:
    return learn_response(state.learning_trials, find_expected_sign(sheet.shim_rule))


def mixed_up(state: JobState, sheet: Sheet) -> bool:
    """Whether two patterns cannot both be right, so that the trials teach nothing of the shims."""
    proposal = _proposal(state, sheet)
    return state.contradicted is not None or (proposal is not None and proposal.kind is StepKind.STOP_TOO_FAR)


def _effect(state: JobState, sheet: Sheet) -> Points:
    """What the trials taught: the effect of a shim with its uncertainty, and the shim rule if the sheet lacks it."""
    carrier, response = sheet.shims.carrier, _response(state, sheet)
    learned = None if carrier is None or response is None else response.rule(carrier)
    if carrier is None or response is None or learned is None or mixed_up(state, sheet):
        return
    effect, toward = response.effect_per_mm, learned.adding_moves_toward
    least, most = sorted(abs(each) * EFFECT_OF_MM for each in (effect.low, effect.high))
    yield point(
        "shim-effect",
        place=CARRIER_PLACES[carrier],
        by_mm=EFFECT_OF_MM,
        share=abs(effect.value) * EFFECT_OF_MM,
        least=least,
        most=most,
        end=toward.other,
    )
    if sheet.shim_rule is None:
        yield point("write-rule", end=toward)


def _wrong_way_yet_centred(state: JobState, sheet: Sheet) -> Points:
    pattern, response = sound_pattern(state, sheet), _tried_response(state, sheet)
    if pattern is not None and pattern.move is Move.STAY and response is not None and response.wrong_way is not None:
        yield response.wrong_way


def _stop_asked(state: JobState, sheet: Sheet) -> Points:
    """What earlier trials ask on which a stop rests: misread, one of them may be all that is wrong."""
    proposal = _proposal(state, sheet)
    if proposal is not None and proposal.stop:
        for one in state.series[:-1]:
            if one.waits:
                yield point("asked-first-of-trial", entry=one.entry.number)
                yield from questions_of("asked-of-trial", one.open)


def _trials_asked(state: JobState, sheet: Sheet) -> Points:
    """That what changes did is not reckoned with as long as a pattern before or after them asks something."""
    proposal = _proposal(state, sheet)
    if sound_pattern(state, sheet) is None or len(state.series) < 2 or (proposal is not None and proposal.stop):
        return
    if state.trials[-1].waits:
        yield point("trials-wait")
        return
    for one in state.series:
        if one.waits:
            yield point("trial-not-used", entry=one.entry.number)
            yield from questions_of("asked-of-trial", one.open)


def _read_apart(state: JobState, sheet: Sheet) -> Points:
    """Two patterns of one state of the machine that cannot both be right, wherever the last one lies."""
    earlier = state.contradicted
    if earlier is not None and sound_pattern(state, sheet) is not None:
        last = state.trials[-1]
        yield point("read-apart", earlier=earlier.entry.number, entry=last.entry.number, share=last.apart_from(earlier))


STOP_RULES: tuple[Rule, ...] = (
    Rule("read-apart", Priority.DO_NOW, _read_apart),
    Rule("stop-asked", Priority.ASK, _stop_asked),
    *(_said_by(kind, Priority.DO_NOW) for kind in STOPS),
)
"""When to shim no further, whatever else the pattern shows."""
SHIM_RULES: tuple[Rule, ...] = (
    Rule("trials-asked", Priority.WARNING, _trials_asked),
    Rule("shim-step", Priority.DO_NOW, _shim_step),
    _said_by(StepKind.NEAR_ENOUGH, Priority.MET),
    Rule("wrong-way-yet-centred", Priority.WARNING, _wrong_way_yet_centred),
    Rule("shim-effect", Priority.WARNING, _effect),
)
"""In the order of work (common practice)."""
