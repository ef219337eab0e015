"""Rules for a crossed pattern: judged once the shims are done, open until what may cause it was looked into."""

from __future__ import annotations

from patternscan.cautions import Statement
from patternscan.frame import End
from patternscan.judging.comparison import near_end
from patternscan.judging.findings import is_too_early
from patternscan.measuring.interval import Interval
from patternscan.setting.log.events import Accepted, EccentricChange, Measured, Pattern, Replaced
from patternscan.setting.log.words import CROSSING, Geometry
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.rules.backlash_rules import centre_error
from patternscan.setting.rules.pattern_rules import crossing, is_far_off
from patternscan.setting.rules.shim_rules import asks_for_shims
from patternscan.setting.state.job_state import JobState


def _early(state: JobState, sheet: Sheet) -> Points:
    """Beside the shims that come first it is said as ``judge`` says it, by how far off the pattern lies."""
    opposed, pattern = crossing(state, sheet), state.pattern
    if opposed is None or pattern is None or _shims_are_done(state, sheet):
        return
    yield _apart("crossed-early" if is_too_early(pattern.shared, _places(pattern)) else "mixed", opposed)


def _crossed(state: JobState, sheet: Sheet) -> Points:
    opposed, known = crossing(state, sheet), _looked_into(state)
    if opposed is None or not _shims_are_done(state, sheet) or known.keys() == set(CROSSING):
        return
    compared = state.pattern is not None and opposed is not state.pattern.opposed
    off = state.pattern is not None and any(map(near_end, _places(state.pattern)))
    yield _apart("crossed-against-maker" if compared else "crossed-off-ends" if off else "crossed", opposed)
    if not compared:
        yield point("maker-may-want-it")
    yield from _by_backlash(state, sheet)
    yield point("log-geometry", what=tuple(one for one in CROSSING if one not in known))


def _by_backlash(state: JobState, sheet: Sheet) -> Points:
    """Whether backlash bears out that the centres cross the pattern, or leaves it to the shaft's angle."""
    pattern, centres = state.pattern, centre_error(state, sheet)
    if pattern is None or pattern.centres_mm is None or centres is None:
        return
    asked = pattern.centres_mm
    if min(centres.high, asked.high) >= max(centres.low, asked.low) and not centres.holds(0.0):
        yield point("centres-cross", wide=centres.value > 0, by_mm=abs(centres.value))
    elif asked.low > centres.high or asked.high < centres.low:
        yield point("centres-do-not-cross", least_mm=centres.low, most_mm=centres.high, asked_mm=asked.value)
        if pattern.shaft_angle_deg is not None:
            yield point("angle-crosses", angle_deg=abs(pattern.shaft_angle_deg.value))


def _settled(state: JobState, sheet: Sheet) -> Points:
    opposed, known = crossing(state, sheet), _looked_into(state)
    if opposed is None or not _shims_are_done(state, sheet) or known.keys() != set(CROSSING):
        return
    yield _apart("crossed-settled", opposed)
    for found in known.values():
        if isinstance(found, Measured):
            yield point("measured", what=found.what, reading_mm=found.reading_mm)
        else:
            yield point("accepted", what=found.what, name=found.name)


def _places(pattern: Pattern) -> list[Interval]:
    """Where the middle of the pattern lies along each flank that was read."""
    return [flank.along for flank in (pattern.left, pattern.right) if flank is not None]


def _apart(code: str, opposed: Interval) -> Statement:
    return point(code, left_end=End.B if opposed.value > 0 else End.A, share=abs(opposed.value))


def _shims_are_done(state: JobState, sheet: Sheet) -> bool:
    return state.pattern is not None and not is_far_off(state.pattern) and not asks_for_shims(state, sheet)


def _looked_into(state: JobState) -> dict[Geometry, Measured | Accepted]:
    """What was last measured or accepted since the carriers were turned or a part was replaced."""
    known: dict[Geometry, Measured | Accepted] = {}
    for event in state.events:
        match event:
            case EccentricChange() | Replaced():
                known.clear()
            case Measured() | Accepted() if event.what in CROSSING:
                known[event.what] = event
    return known


CROSSED_RULES: tuple[Rule, ...] = (
    Rule("crossed", Priority.DO_NOW, _crossed),
    Rule("crossed-early", Priority.WARNING, _early),
    Rule("crossed-settled", Priority.WARNING, _settled),
)
"""After the rules for shims, in the order of work (common practice)."""
