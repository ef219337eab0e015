"""Rules for the pattern: read again after every change, of both flanks and enough teeth, in its place, not crossed."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.frame import End, percent
from patternscan.judging.advice import Move
from patternscan.judging.findings import CROSSED_BEYOND
from patternscan.measuring.interval import Interval
from patternscan.setting.log.event_words import one_line
from patternscan.setting.log.events import Pattern
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Priority, Rule
from patternscan.setting.state.checks import Check
from patternscan.setting.state.job_state import JobState

MAKER_MAY_WANT_IT = (
    " It is a fault only if the maker's own pattern was not like this; if it was, judge that one with --occasion maker "
    "or put its places under [target] on the sheet."
)
ENDS = {Move.TOWARD_A: End.A, Move.TOWARD_B: End.B}


def _missing(state: JobState, sheet: Sheet) -> str | None:
    return _blue("Blue the pair", state, sheet) if state.pattern is None else None


def _void(state: JobState, sheet: Sheet) -> str | None:
    current = state.current_readings[Check.PATTERN]
    if current.invalidated_by is None:
        return None
    reason = f"{current.because} (entry {current.invalidated_by.number})"
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
    pattern = sound_pattern(state, sheet)
    if pattern is None or pattern.move is not Move.CANNOT_SAY:
        return None
    return f"{_blue('Blue the pair again, thinly', state, sheet)} The last pattern gave no direction; more teeth help."


def _crossed(state: JobState, sheet: Sheet) -> str | None:
    pattern = sound_pattern(state, sheet)
    opposed = _against_maker(pattern.opposed, state, pattern) if pattern is not None else None
    if pattern is None or opposed is None or abs(opposed.value) < CROSSED_BEYOND or opposed.holds(0.0):
        return None
    left, right = ("B", "A") if opposed.value > 0 else ("A", "B")
    compared = opposed is not pattern.opposed
    ask = "" if compared else MAKER_MAY_WANT_IT
    begin = "Beside what both flanks share, the pattern is" if pattern.move in ENDS else "The pattern is"
    against = "crossed against the maker's own" if compared else "crossed"
    return (
        f"{begin} {against}: the left flank carries it toward end {left}, the right flank toward end {right}, by "
        f"{percent(opposed.value)} of the face width each. Shims cannot cure that. First look whether every "
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


def _centred(state: JobState, sheet: Sheet) -> str | None:
    pattern = sound_pattern(state, sheet)
    if pattern is None or pattern.move is not Move.STAY:
        return None
    return "Taken together, both flanks carry the pattern in its place along the face."


def _old_photos(state: JobState, _: Sheet) -> str | None:
    earlier = state.trials[-1].repeats if state.counts(Check.PATTERN) else None
    if earlier is None:
        return None
    return (
        f"The last pattern (entry {state.trials[-1].entry.number}) was judged from a photo that entry {earlier.number} "
        "was judged from, and since then something was changed: strike the wrong entry with 'patternscan log strike', "
        "and judge the photos of today."
    )


def _counted(state: JobState) -> Pattern | None:
    return state.pattern if state.counts(Check.PATTERN) else None


def sound_pattern(state: JobState, sheet: Sheet) -> Pattern | None:
    """The pattern that counts, if it can be judged: both flanks, teeth enough, photos good enough and its own."""
    pattern = _counted(state)
    if pattern is None or pattern.grave or any(_lacking(pattern, sheet)) or state.trials[-1].repeats is not None:
        return None
    return pattern


def _blue(begin: str, state: JobState, sheet: Sheet) -> str:
    port = " through the inspection port" if state.closed is not None else ""
    teeth = sheet.teeth_per_flank
    many = "one tooth" if teeth == 1 else f"{teeth} teeth spread round the wheel"
    turn = "turn it by hand with a little drag"
    mark = "the end mark" if sheet.end_a is None else f"the letter A (end A: {one_line(sheet.end_a)})"
    return f"{begin}, {turn}, and photograph the pattern{port}: both flanks of {many}, {mark} in view."


PATTERN_RULES: tuple[Rule, ...] = (
    Rule("pattern-missing", Priority.READ, "The pattern shows where the wheel sits against the worm.", _missing),
    Rule("pattern-void", Priority.REDO, "Every change moves the pattern.", _void),
    Rule(
        "pattern-incomplete",
        Priority.REDO,
        "One flank alone points the right way only about two times in three, and one tooth is not the whole wheel.",
        _incomplete,
    ),
    Rule("pattern-old-photos", Priority.REDO, "A photo shows the pattern of one state only.", _old_photos),
    Rule("pattern-poor", Priority.REDO, "A poor photo points nowhere.", _poor),
    Rule("pattern-unclear", Priority.REDO, "Shims are not moved on a doubt.", _unclear),
    Rule("pattern-centred", Priority.MET, "The wheel sits where its pattern asks for.", _centred),
)
"""In the order of work (common practice); one flank alone: own simulation of 453 misaligned pairs."""
CROSSED = Rule(
    "crossed",
    Priority.DO_NOW,
    "A side shim moves both flanks to the same end; it cannot bring together what lies at opposite ends.",
    _crossed,
)
