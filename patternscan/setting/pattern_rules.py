"""Rules for the pattern: of both flanks and enough teeth, not crossed, and brought to its place with side shims."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.frame import End, percent
from patternscan.judging.advice import SMALLEST_STEP_MM, Move, ShimRule
from patternscan.judging.findings import CROSSED_BEYOND
from patternscan.judging.response import Proposal, StepKind, find_expected_sign, learn_response, propose_step
from patternscan.lengths import length_words
from patternscan.measuring.interval import Interval
from patternscan.setting.event_words import PLACE_WORDS, one_line
from patternscan.setting.events import Pattern, ShimPlace
from patternscan.setting.job_state import JobState
from patternscan.setting.sheet import Sheet
from patternscan.setting.shims import TOLERANCE_MM, find_pack
from patternscan.setting.stations import CARRIER_PLACES, Station
from patternscan.setting.step import Need, Rule

MAKER_MAY_WANT_IT = (
    " It is a fault only if the maker's own pattern was not like this; if it was, judge that one with --occasion maker "
    "or put its places under [target] on the sheet."
)
EFFECT_OF_MM = 0.1
"""The shims for which the learned effect is told."""
ENDS = {Move.TOWARD_A: End.A, Move.TOWARD_B: End.B}


def _missing(state: JobState, sheet: Sheet) -> str | None:
    return _blue("Blue the pair", state, sheet) if state.pattern is None else None


def _void(state: JobState, sheet: Sheet) -> str | None:
    standing = state.standings[Station.PATTERN]
    if standing.voided_by is None:
        return None
    reason = f"{standing.because} (entry {standing.voided_by.number})"
    return f"{_blue('Blue the pair again', state, sheet)} The last pattern does not count: {reason}."


def _incomplete(state: JobState, sheet: Sheet) -> str | None:
    pattern = _counted(state)
    lacking = list(_lacking(pattern, sheet)) if pattern is not None else []
    return f"{_blue('Blue the pair again', state, sheet)} {' '.join(lacking)}" if lacking else None


def _lacking(pattern: Pattern, sheet: Sheet) -> Iterator[str]:
    wanted = sheet.teeth_per_flank
    for name, flank in (("left", pattern.left), ("right", pattern.right)):
        if flank is None:
            yield f"The last pattern has no {name} flank."
        elif flank.teeth < wanted:
            teeth = "1 tooth" if flank.teeth == 1 else f"{flank.teeth} teeth"
            yield f"The last pattern has {teeth} of the {name} flank, {wanted} are wanted."


def _poor(state: JobState, _: Sheet) -> str | None:
    pattern = _counted(state)
    return f"Photograph again: {pattern.grave[0]}" if pattern is not None and pattern.grave else None


def _unclear(state: JobState, sheet: Sheet) -> str | None:
    pattern = _sound(state, sheet)
    if pattern is None or pattern.move is not Move.CANNOT_SAY:
        return None
    return f"{_blue('Blue the pair again, thinly', state, sheet)} The last pattern gave no direction; more teeth help."


def _crossed(state: JobState, sheet: Sheet) -> str | None:
    pattern = _sound(state, sheet)
    opposed = _against_maker(pattern.opposed, state, pattern) if pattern is not None else None
    if pattern is None or opposed is None or abs(opposed.value) < CROSSED_BEYOND or opposed.holds(0.0):
        return None
    left, right = ("B", "A") if opposed.value > 0 else ("A", "B")
    known = " more than in the maker's pattern" if state.maker is not None else ""
    ask = "" if state.maker is not None else MAKER_MAY_WANT_IT
    begin = "Beside what both flanks share, the pattern" if pattern.move in ENDS else "The pattern"
    return (
        f"{begin} is crossed: the left flank carries it toward end {left}, the right flank toward end {right}, by "
        f"{percent(opposed.value)} of the face width each{known}. Shims cannot cure that. First look whether every "
        "photo was given as the flank that it shows: one mixed up looks the same. Then check that the shafts are "
        "square, that both eccentric carriers stand alike, the centre distance and backlash, and that worm and wheel "
        f"are a matched pair.{ask}"
    )


def _against_maker(opposed: Interval | None, state: JobState, pattern: Pattern) -> Interval | None:
    """What pulls the flanks apart beyond the maker's own pattern, if that was taken against the same target."""
    maker = state.maker.event if state.maker is not None else None
    if opposed is None or not isinstance(maker, Pattern) or maker.opposed is None or maker.target != pattern.target:
        return opposed
    return opposed.minus(maker.opposed)


def _stop(kind: StepKind) -> Rule:
    def words(state: JobState, sheet: Sheet) -> str | None:
        proposal = _proposal(state, sheet)
        return proposal.because if proposal is not None and proposal.kind is kind else None

    because = {
        StepKind.STOP_WRONG_WAY: "A pattern that moves the wrong way means that an end or the shim rule is mixed up.",
        StepKind.STOP_NO_GAIN: "Shims that bring no gain are not what is wrong.",
    }
    return Rule(kind.value, Need.DO_NOW, because[kind], words)


def _shim_step(state: JobState, sheet: Sheet) -> str | None:
    pattern, proposal = _sound(state, sheet), _proposal(state, sheet)
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
    return " ".join([first, where, *_beside(proposal.step_mm, carrier, state, sheet)])


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
    pattern, trials = _sound(state, sheet), state.learning_trials
    if pattern is None or pattern.move not in ENDS or not trials:
        return None
    return propose_step(trials, find_expected_sign(sheet.shim_rule))


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
    pattern = _sound(state, sheet)
    if pattern is None or pattern.move is not Move.STAY:
        return None
    response = learn_response(state.learning_trials, find_expected_sign(sheet.shim_rule))
    return None if response is None or response.wrong_way is None else response.wrong_way.message


def _centred(state: JobState, sheet: Sheet) -> str | None:
    pattern = _sound(state, sheet)
    if pattern is None or pattern.move is not Move.STAY:
        return None
    return "Taken together, both flanks carry the pattern in its place along the face."


def _counted(state: JobState) -> Pattern | None:
    return state.pattern if state.counts(Station.PATTERN) else None


def _sound(state: JobState, sheet: Sheet) -> Pattern | None:
    """The pattern that counts, if it can be judged: both flanks, teeth enough, photos good enough."""
    pattern = _counted(state)
    return None if pattern is None or pattern.grave or any(_lacking(pattern, sheet)) else pattern


def _blue(begin: str, state: JobState, sheet: Sheet) -> str:
    port = " through the inspection port" if state.closed is not None else ""
    teeth = sheet.teeth_per_flank
    many = "one tooth" if teeth == 1 else f"{teeth} teeth spread round the wheel"
    turn = "turn it by hand with a little drag"
    mark = "the end mark" if sheet.end_a is None else f"the letter A (end A: {one_line(sheet.end_a)})"
    return f"{begin}, {turn}, and photograph the pattern{port}: both flanks of {many}, {mark} in view."


PATTERN_RULES: tuple[Rule, ...] = (
    Rule("pattern-missing", Need.READ, "The pattern shows where the wheel sits against the worm.", _missing),
    Rule("pattern-void", Need.REDO, "Every change moves the pattern.", _void),
    Rule(
        "pattern-incomplete",
        Need.REDO,
        "One flank or one tooth alone points the right way only about two times in three.",
        _incomplete,
    ),
    Rule("pattern-poor", Need.REDO, "A poor photo points nowhere.", _poor),
    Rule("pattern-unclear", Need.REDO, "Shims are not moved on a doubt.", _unclear),
    _stop(StepKind.STOP_WRONG_WAY),
    Rule(
        "crossed",
        Need.DO_NOW,
        "A side shim moves both flanks to the same end; it cannot bring together what lies at opposite ends.",
        _crossed,
    ),
    _stop(StepKind.STOP_NO_GAIN),
    Rule("shim-step", Need.DO_NOW, "The wheel moves toward the end that carries the pattern.", _shim_step),
    Rule(
        "wrong-way-yet-centred",
        Need.WARNING,
        "A pattern that moved the wrong way means that an end or the shim rule is mixed up.",
        _wrong_way_yet_centred,
    ),
    Rule("shim-effect", Need.WARNING, "Only this machine's own trials tell how far its pattern moves.", _effect),
    Rule("pattern-centred", Need.MET, "The wheel sits where its pattern asks for.", _centred),
)
"""In the order of work (common practice); one flank alone: own simulation of 453 misaligned pairs."""
