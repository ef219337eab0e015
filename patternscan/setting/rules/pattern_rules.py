"""Rules for the pattern: read again after every change, of both flanks and enough teeth, in its place."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.calibration.judging import CROSSED_BEYOND, FAR_OFF, SMALLEST_SHIFT
from patternscan.cautions import Statement
from patternscan.frame import End, Flank
from patternscan.judging.advice import Move
from patternscan.measuring.interval import Interval
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Pattern, Replied
from patternscan.setting.log.words import Reply
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.state.checks import Check, find_invalidation
from patternscan.setting.state.current_readings import REFERENCE_GONE
from patternscan.setting.state.job_state import JobState
from patternscan.setting.state.open_questions import OpenQuestion, open_questions

ENDS = {Move.TOWARD_A: End.A, Move.TOWARD_B: End.B}
JUDGE_AGAIN = {
    Reply.TAPE_THROUGH: "judge-as-through",
    Reply.PAPER_TOUCHED: "judge-as-touched",
    Reply.OTHER_MACHINE: "judge-against-own",
    Reply.REFERENCE_BAD: "judge-against-another",
}
"""After these answers the photos serve again: only what was said of them, or what they were held against, was wrong."""


def _missing(state: JobState, sheet: Sheet) -> Points:
    if state.pattern is None and state.disowned is None:
        yield _blue("blue", state, sheet)


def _invalidated(state: JobState, sheet: Sheet) -> Points:
    current = state.current_readings[Check.PATTERN]
    if current.invalidated_by is not None and state.disowned is None and current.invalidation != REFERENCE_GONE:
        yield _blue("blue-again", state, sheet)
        yield point("pattern-invalidated", by=current.invalidation, entry=current.invalidated_by.number)


def _held_against_gone(state: JobState, _: Sheet) -> Points:
    """That what the last pattern was held against counts no more; the photos themselves still do."""
    current = state.current_readings[Check.PATTERN]
    if current.invalidated_by is not None and current.invalidation == REFERENCE_GONE:
        yield point("judge-against-another")
        yield point("pattern-invalidated", by=current.invalidation, entry=current.invalidated_by.number)


def _disowned(state: JobState, sheet: Sheet) -> Points:
    """That the last pattern does not stand by what was answered about it, and what to do in its place."""
    answer = state.disowned
    if answer is None or not isinstance(answer.event, Replied) or state.counts(Check.PATTERN):
        return
    said = answer.event
    yield point("pattern-disowned", entry=said.entry, name=said.name, reply=said.reply, by=answer.number)
    later = [one.event for one in state.entries if one.number > said.entry]
    again = JUDGE_AGAIN.get(said.reply) if find_invalidation(Check.PATTERN, later) is None else None
    yield _blue("blue-again", state, sheet) if again is None else point(again)


def _maker_disowned(state: JobState, _: Sheet) -> Points:
    """That the maker's pattern does not stand, so that what is crossed is held against none."""
    answer = state.maker_disowned
    if answer is not None and isinstance(answer.event, Replied) and state.maker is None:
        said = answer.event
        yield point("maker-disowned", entry=said.entry, name=said.name, reply=said.reply, by=answer.number)


def counts_again(state: JobState, _: Sheet) -> Points:
    """That an earlier pattern counts again, since the one that took its place does not stand by an answer."""
    pattern = state.trials[-1].entry if state.counts(Check.PATTERN) else None
    if pattern is not None and state.disowned is not None:
        yield _again("pattern-counts-again", state.disowned, pattern)
    if state.maker is not None and state.maker_disowned is not None:
        yield _again("maker-counts-again", state.maker_disowned, state.maker)


def _again(code: str, answer: Entry, earlier: Entry) -> Statement:
    said = answer.event
    assert isinstance(said, Replied)
    return point(code, entry=said.entry, name=said.name, reply=said.reply, by=answer.number, earlier=earlier.number)


def _incomplete(state: JobState, sheet: Sheet) -> Points:
    pattern = _counted(state)
    lacking = [] if pattern is None else list(_lacking(pattern, sheet))
    if lacking:
        yield _blue("blue-again", state, sheet)
        yield from lacking


def _lacking(pattern: Pattern, sheet: Sheet) -> Points:
    wanted = sheet.teeth_per_flank
    for name, flank in ((Flank.LEFT, pattern.left), (Flank.RIGHT, pattern.right)):
        if flank is None:
            yield point("no-flank", flank=name)
        elif flank.teeth < wanted:
            yield point("few-teeth", flank=name, teeth=flank.teeth, wanted=wanted)


def _poor(state: JobState, _: Sheet) -> Points:
    pattern = _counted(state)
    if pattern is not None and pattern.grave:
        yield point("cannot-be-used", told=pattern.grave[0])


def _asked(state: JobState, sheet: Sheet) -> Points:
    """What only a person can tell of the pattern on which all advice rests, and of the maker's beside it."""
    return _asked_back(state, sheet, "asked", "asked-of-maker")


def _maker_elsewhere(state: JobState, sheet: Sheet) -> Points:
    """That the maker's own pattern lies off the place against which the trials are held, to one end on both flanks."""
    pattern = sound_pattern(state, sheet)
    maker = None if pattern is None else _maker_beside(state, pattern)
    if state.maker is None or maker is None or maker.shared is None or maker.left is None or maker.right is None:
        return
    if abs(maker.shared.value) >= SMALLEST_SHIFT and not maker.shared.holds(0.0):
        end, share = (End.B if maker.shared.value > 0 else End.A), abs(maker.shared.value)
        places = {"left": maker.left.along.value, "right": maker.right.along.value}
        yield point("maker-elsewhere", entry=state.maker.number, end=end, share=share, **places)


def not_answered(state: JobState, sheet: Sheet) -> Points:
    """The same of a job that is signed off: what was asked of the patterns on which it rests, and nobody answered."""
    return _asked_back(state, sheet, "not-answered", "not-answered-of-maker")


def _asked_back(state: JobState, sheet: Sheet, of_trial: str, of_maker: str) -> Points:
    """The questions as points of these codes; last those that nobody can answer, as no answer is known to them."""
    pattern = sound_pattern(state, sheet)
    if pattern is None:
        return
    asked = [(of_trial, one) for one in state.trials[-1].open]
    if state.maker is not None and _maker_beside(state, pattern) is not None:
        asked += [(of_maker, one) for one in open_questions(state.maker, state.entries)]
    for code, question in sorted(asked, key=lambda each: each[1].replies is None):
        yield from questions_of(code, [question])


def questions_of(code: str, questions: Sequence[OpenQuestion]) -> Points:
    """Each question with the two answers to it."""
    for one in questions:
        yield from (point(code, told=told) for told in one.told)
        if len(one.told) > 1 and one.replies is not None:
            yield point("one-answer-for-all")
        if one.replies is not None:
            yield point("to-answer", entry=one.entry, stands=one.replies.stands, falls=one.replies.falls)


def _unclear(state: JobState, sheet: Sheet) -> Points:
    pattern = sound_pattern(state, sheet)
    if pattern is None or pattern.move is not Move.CANNOT_SAY:
        return
    if crossing(state, sheet) is None or is_far_off(pattern):
        yield _blue("blue-thinly", state, sheet)
        yield point("no-direction")


def is_far_off(pattern: Pattern) -> bool:
    """Whether both flanks together lie so far off that a crossing cannot be judged."""
    return pattern.shared is None or abs(pattern.shared.value) >= FAR_OFF


def crossing(state: JobState, sheet: Sheet) -> Interval | None:
    """What pulls the flanks apart beyond the maker's own pattern; None when that is little, or uncertain."""
    pattern = sound_pattern(state, sheet)
    opposed = None if pattern is None else _against_maker(pattern.opposed, state, pattern)
    return None if opposed is None or abs(opposed.value) < CROSSED_BEYOND or opposed.holds(0.0) else opposed


def _against_maker(opposed: Interval | None, state: JobState, pattern: Pattern) -> Interval | None:
    """What pulls the flanks apart beyond the maker's own pattern, where that may be held against it."""
    maker = _maker_beside(state, pattern)
    return opposed if opposed is None or maker is None or maker.opposed is None else opposed.minus(maker.opposed)


def _maker_beside(state: JobState, pattern: Pattern) -> Pattern | None:
    """The maker's own pattern, if it gives a direction and was taken against the same target."""
    maker = state.maker.event if state.maker is not None else None
    return maker if isinstance(maker, Pattern) and not maker.grave and maker.target == pattern.target else None


def _centred(state: JobState, sheet: Sheet) -> Points:
    pattern = sound_pattern(state, sheet)
    if pattern is None or state.contradicted is not None:
        return
    as_the_maker_cut_it = pattern.move is Move.NOT_BY_SHIM and crossing(state, sheet) is None
    if pattern.move is Move.STAY or as_the_maker_cut_it:
        yield point("in-its-place")


def _old_photos(state: JobState, _: Sheet) -> Points:
    yield from old_photos(state)


def old_photos(state: JobState) -> Points:
    """That the pattern that counts rests, or seems to rest, on photos of before a change."""
    if not state.counts(Check.PATTERN):
        return
    last = state.trials[-1]
    if last.repeats is not None:
        yield point("photo-used-before", entry=last.entry.number, earlier=last.repeats.number)
    elif last.resembles is not None:
        yield point("photo-looks-used", entry=last.entry.number, earlier=last.resembles.number)


def _counted(state: JobState) -> Pattern | None:
    return state.pattern if state.counts(Check.PATTERN) else None


def sound_pattern(state: JobState, sheet: Sheet) -> Pattern | None:
    """The pattern that counts, if it can be judged: both flanks, teeth enough, photos good enough and its own."""
    pattern = _counted(state)
    if pattern is None or pattern.grave or any(_lacking(pattern, sheet)) or not state.trials[-1].is_of_its_own:
        return None
    return pattern


def _blue(code: str, state: JobState, sheet: Sheet) -> Statement:
    return point(
        code,
        port=state.closed is not None,
        teeth=sheet.teeth_per_flank,
        end_a=sheet.end_a,
        marking=sheet.marking,
    )


PATTERN_RULES: tuple[Rule, ...] = (
    Rule("pattern-missing", Priority.READ, _missing),
    Rule("pattern-void", Priority.REDO, _invalidated),
    Rule("pattern-reference-gone", Priority.REDO, _held_against_gone),
    Rule("pattern-disowned", Priority.REDO, _disowned),
    Rule("pattern-incomplete", Priority.REDO, _incomplete),
    Rule("pattern-old-photos", Priority.REDO, _old_photos),
    Rule("pattern-poor", Priority.REDO, _poor),
    Rule("pattern-asked", Priority.ASK, _asked),
    Rule("maker-elsewhere", Priority.ASK, _maker_elsewhere),
    Rule("maker-disowned", Priority.WARNING, _maker_disowned),
    Rule("counts-again", Priority.WARNING, counts_again),
    Rule("pattern-unclear", Priority.REDO, _unclear),
    Rule("pattern-centred", Priority.MET, _centred),
)
"""In the order of work (common practice)."""
