"""Rules for what comes before any work: the load secured for the day, and what is gone once the machine is apart."""

from __future__ import annotations

from patternscan.setting.log.words import ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.rules.reading_rules import has_outboard, is_asked, place_to_read
from patternscan.setting.state.checks import CARRIER_PLACES, MEASURED
from patternscan.setting.state.job_state import JobState
from patternscan.setting.state.packs import NO_SHIMS


def _not_secured(state: JobState, _: Sheet) -> Points:
    if state.secured is None:
        yield point("secure")


def _before_strip_down(state: JobState, sheet: Sheet) -> Points:
    items = () if state.changed else (*_shims(state, sheet), *_marks(state, sheet), *_readings(state, sheet))
    if items:
        yield point("strip-down")
        yield from items


def _shims(state: JobState, sheet: Sheet) -> Points:
    missing = wanted_places(sheet) - state.found.keys()
    if not state.found:
        yield point("shims-not-noted")
    elif missing:
        yield point("shims-not-noted-at", places=tuple(sorted(missing)))
    stands_on_shims = has_outboard(state, sheet) and state.shims[ShimPlace.OUTBOARD] != NO_SHIMS
    if stands_on_shims and not state.pieces[ShimPlace.OUTBOARD]:
        yield point("stand-not-marked")


def wanted_places(sheet: Sheet) -> set[ShimPlace]:
    """Places whose shims have to be noted; what other places have any nobody knows beforehand."""
    return set() if sheet.shims.carrier is None else {CARRIER_PLACES[sheet.shims.carrier]}


def _marks(state: JobState, sheet: Sheet) -> Points:
    if sheet.eccentrics is not None and state.marks_found is None:
        yield point("marks-not-noted")


def _readings(state: JobState, sheet: Sheet) -> Points:
    for check in MEASURED:
        if state.current_readings[check].entry is None and is_asked(check, state, sheet):
            yield place_to_read("read", check, state, sheet)
    if state.as_found is None:
        yield point("old-pattern-not-seen")


SECURE = Rule("secure", Priority.DO_NOW, _not_secured)
"""Asked anew each day, before any other work."""
STRIP_DOWN = Rule("before-strip-down", Priority.DO_NOW, _before_strip_down)
