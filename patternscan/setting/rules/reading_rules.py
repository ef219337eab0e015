"""Rules for readings: each is taken, taken again when it was invalidated, and lies within the maker's limit."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from patternscan.cautions import Statement
from patternscan.setting.log.events import Alignment, EccentricChange, ShimChange
from patternscan.setting.log.words import Height, ShimPlace
from patternscan.setting.machine.sheet import Limit, Sheet
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.state.checks import MEASURED, Check, limit_of, shimmed_place
from patternscan.setting.state.job_state import JobState


def has_outboard(state: JobState, sheet: Sheet) -> bool:
    """Whether the machine is known to have an outboard bearing."""
    noted = ShimPlace.OUTBOARD in state.found or any(isinstance(event, Alignment) for event in state.events)
    return noted or sheet.limits.outboard_alignment_mm is not None


def is_asked(check: Check, state: JobState, sheet: Sheet) -> bool:
    """Whether the check is one of this machine."""
    return check is not Check.ALIGNMENT or has_outboard(state, sheet)


def _missing(check: Check, state: JobState, sheet: Sheet) -> Points:
    """What was not read before the strip-down, whose list asks for it until then."""
    if state.changed and state.current_readings[check].entry is None and is_asked(check, state, sheet):
        yield place_to_read("read", check, state, sheet)


def place_to_read(code: str, check: Check, state: JobState, sheet: Sheet) -> Statement:
    """Where it is read: backlash at several places round the wheel, through the port once the housing is closed."""
    backlash = check is Check.BACKLASH
    port, places = backlash and state.closed is not None, sheet.dial.positions if backlash else 1
    return point(code, check=check, port=port, places=places)


def _invalidated(check: Check, state: JobState, sheet: Sheet) -> Points:
    current = state.current_readings[check]
    if current.invalidated_by is None:
        return
    yield place_to_read("read-again", check, state, sheet)
    yield point("invalidated", by=current.invalidation, entry=current.invalidated_by.number)
    if check is Check.WHEEL_END_PLAY and isinstance(current.invalidated_by.event, ShimChange):
        yield point("log-other-side")
        place = shimmed_place(sheet)
        if place is not None and sheet.shims.alone is None:
            yield point("say-holds-shaft", place=place)


def _beyond(check: Check, state: JobState, sheet: Sheet) -> Points:
    limit, readings = limit_of(check, sheet), state.current_readings[check].readings_mm
    if limit is not None and state.counts(check) and not limit.holds(readings):
        yield miss(check, readings, limit)
        yield point("how-to-set", check=check)
        yield from _by_shims(check, readings[0], limit, state)


def _by_shims(check: Check, reading_mm: float, limit: Limit, state: JobState) -> Points:
    """What the reading comes to in shims: of the worm's cover, to the middle of the limit, or of the outboard stand."""
    if check is Check.WORM_END_PLAY:
        middle = (limit.least_mm + limit.most_mm) / 2
        least, most = sorted((abs(reading_mm - limit.most_mm), abs(reading_mm - limit.least_mm)))
        code = "worm-shims-out" if reading_mm > limit.most_mm else "worm-shims-in"
        yield point(code, by_mm=abs(reading_mm - middle), least_mm=least, most_mm=most)
    entry = state.current_readings[check].entry
    if entry is None or not isinstance(entry.event, Alignment):
        return
    if entry.event.stands is None:
        yield point("say-how-it-stands")
    else:
        code = "stand-shims-out" if entry.event.stands is Height.HIGH else "stand-shims-in"
        yield point(code, by_mm=reading_mm, side=entry.event.side)


def _within(check: Check, state: JobState, sheet: Sheet) -> Points:
    limit, readings = limit_of(check, sheet), state.current_readings[check].readings_mm
    if limit is not None and state.counts(check) and readings and limit.holds(readings):
        yield point("within-limit", check=check, readings_mm=readings, limit_mm=(limit.least_mm, limit.most_mm))


def miss(check: Check, readings_mm: Sequence[float], limit: Limit) -> Statement:
    """How a reading misses its limit, by the worst of its numbers."""
    over, under = max(readings_mm) - limit.most_mm, limit.least_mm - min(readings_mm)
    if over >= under:
        return point("above-limit", check=check, reading_mm=max(readings_mm), limit_mm=limit.most_mm)
    return point("below-limit", check=check, reading_mm=min(readings_mm), limit_mm=limit.least_mm)


def _no_limits(state: JobState, sheet: Sheet) -> Points:
    checks = tuple(check for check in MEASURED if limit_of(check, sheet) is None and is_asked(check, state, sheet))
    if checks:
        yield point("no-limit" if len(checks) == 1 else "no-limits", checks=checks)


def _outboard_unseen(state: JobState, sheet: Sheet) -> Points:
    turned = any(isinstance(event, EccentricChange) for event in state.events)
    if turned and not has_outboard(state, sheet):
        yield point("outboard-unseen")


def _taken(check: Check) -> tuple[Rule, Rule]:
    return (
        Rule(f"{check}-missing", Priority.READ, partial(_missing, check)),
        Rule(f"{check}-void", Priority.REDO, partial(_invalidated, check)),
    )


def _play_rules(check: Check) -> tuple[Rule, ...]:
    return (*_taken(check), Rule(f"{check}-beyond", Priority.NOT_MET, partial(_beyond, check)), _met(check))


def _met(check: Check) -> Rule:
    return Rule(f"{check}-within", Priority.MET, partial(_within, check))


PLAY_RULES: tuple[Rule, ...] = (
    *_play_rules(Check.WORM_END_PLAY),
    *_play_rules(Check.WHEEL_END_PLAY),
    *_play_rules(Check.ALIGNMENT),
)
"""What is set before blueing, in the order of work (common practice)."""
BACKLASH_TAKEN, BACKLASH_MET = _taken(Check.BACKLASH), _met(Check.BACKLASH)
"""Rules for backlash that are those of any reading."""
LIMIT_RULES: tuple[Rule, ...] = (
    Rule("outboard-unseen", Priority.WARNING, _outboard_unseen),
    Rule("limits-missing", Priority.NO_LIMIT, _no_limits),
)
"""What no single reading tells."""
