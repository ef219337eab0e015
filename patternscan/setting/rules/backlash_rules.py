"""Rules for backlash: at enough places round the wheel, within the maker's limit, set with both carriers alike."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.calibration.setting import UNEVEN_BACKLASH
from patternscan.cautions import Statement
from patternscan.measuring.interval import Interval
from patternscan.setting.log.events import Backlash, LostMotion
from patternscan.setting.machine.sheet import SMALL_MM, Eccentrics, Limit, Sheet
from patternscan.setting.mechanics.backlash import axial_angle_deg, bring_to_radius, centres_from_backlash
from patternscan.setting.mechanics.eccentric import EccentricCarrier
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.rules.reading_rules import BACKLASH_MET, BACKLASH_TAKEN, miss
from patternscan.setting.state.checks import Check
from patternscan.setting.state.job_state import JobState

ANY_THROW_MM = 1.0
"""The way of a carrier does not hang on its throw."""


def _places_taken(state: JobState) -> int:
    entry = state.current_readings[Check.BACKLASH].entry
    match entry.event if entry is not None else None:
        case Backlash(readings_mm=readings):
            return len(readings)
        case LostMotion(angles_deg=angles):
            return len(angles)
        case _:
            return 0


def _too_few(state: JobState, sheet: Sheet) -> Points:
    taken, wanted = _places_taken(state), sheet.dial.positions
    if state.counts(Check.BACKLASH) and taken < wanted:
        yield point("few-places", wanted=wanted, taken=taken)


def _no_gear_data(state: JobState, sheet: Sheet) -> Points:
    counts = state.counts(Check.BACKLASH) and _places_taken(state) > 0
    if sheet.limits.backlash is not None and counts and not state.current_readings[Check.BACKLASH].readings_mm:
        yield point("not-comparable")


def _beyond(state: JobState, sheet: Sheet) -> Points:
    limit, readings = sheet.limits.backlash, state.current_readings[Check.BACKLASH].readings_mm
    if limit is None or not state.counts(Check.BACKLASH) or limit.holds(readings):
        return
    yield miss(Check.BACKLASH, readings, limit)
    play_mm = state.worm_end_play_mm
    if play_mm is not None and not sheet.limits.backlash_of_teeth:
        yield point("holds-end-play", play_mm=play_mm)
    yield from _remedy(readings, limit, state, sheet)


def _remedy(readings: Sequence[float], limit: Limit, state: JobState, sheet: Sheet) -> Points:
    if max(readings) - min(readings) > limit.most_mm - limit.least_mm + SMALL_MM:
        yield point("no-setting-helps")
        return
    more = min(readings) < limit.least_mm
    yield point("set-centres") if sheet.eccentrics is None else _turn(more, state, sheet.eccentrics)
    angle = axial_angle_deg(sheet.gear)
    if angle is None:
        return
    lacking = limit.least_mm - min(readings) if more else max(readings) - limit.most_mm
    by_mm = centres_from_backlash(_at_pitch(lacking, sheet), angle)
    yield point("open-centres" if more else "close-centres", by_mm=by_mm)


def centre_error(state: JobState, sheet: Sheet) -> Interval | None:
    """How much too wide the centres stand by the backlash, in mm: from what the limit allows to what was read.

    None when backlash does not count, or limit and pressure angle are not on the sheet.
    """
    limit, angle = sheet.limits.backlash, axial_angle_deg(sheet.gear)
    readings = state.current_readings[Check.BACKLASH].readings_mm
    if limit is None or angle is None or not readings or not state.counts(Check.BACKLASH):
        return None
    mean, middle = sum(readings) / len(readings), (limit.least_mm + limit.most_mm) / 2
    ends = (mean - middle, min(readings) - limit.most_mm, max(readings) - limit.least_mm)
    value, low, high = (centres_from_backlash(_at_pitch(end, sheet), angle) for end in ends)
    return Interval(value, low, high)


def _at_pitch(length_mm: float, sheet: Sheet) -> float:
    """What is so much at the radius of the limit is so much at the pitch radius."""
    gear = sheet.gear
    if gear.module_mm is None or gear.teeth is None or sheet.limit_radius_mm is None:
        return length_mm
    return bring_to_radius(length_mm, sheet.limit_radius_mm, gear.module_mm * gear.teeth / 2)


def _turn(more: bool, state: JobState, carriers: Eccentrics) -> Statement:
    wanted = "more" if more else "less"
    told, reckoned = carriers.more_backlash, _reckoned_way(state, carriers)
    known = told if reckoned is None else reckoned
    if told is not None and known != told:
        return point("turn-carriers-contradicted", wanted=wanted)
    if known is None:
        return point("turn-carriers-either-way", wanted=wanted)
    higher = (known > 0) == more
    if state.marks.sense_b < 0:
        return point("turn-carriers-apart", wanted=wanted, hole=_way(higher), hole_b=_way(not higher))
    return point("turn-carriers", wanted=wanted, hole=_way(higher))


def _way(higher: bool) -> str:
    return "higher" if higher else "lower"


def _reckoned_way(state: JobState, carriers: Eccentrics) -> int | None:
    """Which way of the mark gives more backlash where it stands, from the hole of the widest centres; None if unknown.

    None as well at that hole and opposite it, where both ways do the same.
    """
    hole, holes, widest = state.marks.hole_a, carriers.holes, carriers.widest_hole
    if hole is None or holes is None or widest is None or hole > holes or 2 * (hole - widest) % holes == 0:
        return None
    return EccentricCarrier(ANY_THROW_MM, holes, widest).opening_way(hole)


def _none_left(state: JobState, _: Sheet) -> Points:
    tight = sum(reading <= SMALL_MM for reading in state.current_readings[Check.BACKLASH].readings_mm)
    if tight and state.counts(Check.BACKLASH):
        yield point("teeth-bind", places=tight)


def _uneven(state: JobState, _: Sheet) -> Points:
    readings = state.current_readings[Check.BACKLASH].readings_mm
    if len(readings) < 2 or not state.counts(Check.BACKLASH):
        return
    spread = max(readings) - min(readings)
    if spread > UNEVEN_BACKLASH * sum(readings) / len(readings):
        yield point("uneven-backlash", spread_mm=spread, readings_mm=readings)


BACKLASH_RULES: tuple[Rule, ...] = (
    *BACKLASH_TAKEN,
    Rule("backlash-places", Priority.REDO, _too_few),
    Rule("backlash-no-number", Priority.READ, _no_gear_data),
    Rule("backlash-beyond", Priority.NOT_MET, _beyond),
    BACKLASH_MET,
    Rule("backlash-none", Priority.NOT_MET, _none_left),
    Rule("backlash-uneven", Priority.WARNING, _uneven),
)
"""In the order of work (common practice)."""
