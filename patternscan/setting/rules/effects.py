"""What an event brings about, told as soon as it stands in the log, as far as the sheet tells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.calibration.setting import SMALLEST_MOVE_MM, SMALLEST_TURN_DEG
from patternscan.cautions import Statement
from patternscan.errors import WrongUse
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Backlash, EccentricChange, LostMotion, Pattern, Replied, SignOff
from patternscan.setting.machine.sheet import Eccentrics, Gear, Sheet
from patternscan.setting.mechanics.backlash import axial_angle_deg, backlash_from_centres, take_out_end_play
from patternscan.setting.mechanics.eccentric import (
    CarrierPair,
    EccentricCarrier,
    ShaftMove,
    Turn,
    bound_move,
    move_shaft,
)
from patternscan.setting.rules.action import Points, point
from patternscan.setting.rules.next_actions import open_actions
from patternscan.setting.rules.pattern_rules import counts_again, not_answered, old_photos
from patternscan.setting.state.checks import Check
from patternscan.setting.state.job_state import JobState, job_state
from patternscan.setting.state.packs import Marks

UNKNOWN_SPAN_MM = 1.0
"""Stands in for a span that the sheet does not give; nothing that hangs on it is said then."""

Line = tuple[Statement, ...]
"""Points that are told in one line."""


def effects_of(entries: Sequence[Entry], sheet: Sheet) -> tuple[Line, ...]:
    """What the last entry brings about, line by line; nothing for most events."""
    event = entries[-1].event
    match event:
        case EccentricChange():
            return tuple((one,) for one in turn_effect(job_state(entries[:-1], sheet).marks, event, sheet))
        case Backlash() | LostMotion():
            return tuple((one,) for one in backlash_effect(job_state(entries, sheet), sheet))
        case Pattern():
            return tuple((one,) for one in old_photos(job_state(entries, sheet)))
        case Replied(stands=False):
            again = counts_again(job_state(entries, sheet), sheet)
            return tuple((one,) for one in again if one["by"] == entries[-1].number)
        case SignOff():
            return tuple(_left_open(job_state(entries, sheet), sheet))
        case _:
            return ()


def _left_open(state: JobState, sheet: Sheet) -> Iterator[Line]:
    """What a job is signed off with: questions that nobody answered, then what was still to do."""
    asked = tuple(not_answered(state, sheet))
    if asked:
        yield asked
    yield from ((point("still-open"), *action.points) for action in open_actions(state, sheet))


def turn_effect(marks: Marks, change: EccentricChange, sheet: Sheet) -> Points:
    """What the turn from ``marks`` did, and how the shaft lies since they were found, without sign where the sheet does
    not tell the dead centre.

    Nothing when the sheet gives no throw or holes, or nobody noted where the marks stood.
    """
    now = marks.turned_by(change.holes_a, change.holes_b, sheet)
    yield from _likeness(marks, now, change)
    table = sheet.eccentrics
    if table is None or table.throw_mm is None or table.holes is None or marks.hole_a is None or marks.hole_b is None:
        return
    found = marks.turned_by(-marks.turned_a, -marks.turned_b, sheet)
    try:
        carrier = EccentricCarrier(table.throw_mm, table.holes, table.widest_hole, table.clockwise is not False)
        pair = CarrierPair(carrier, table.span_mm or UNKNOWN_SPAN_MM)
        turns, since_found = _turns(marks, now, carrier), _turns(found, now, carrier)
        known, stands, most = move_shaft(pair, *turns), move_shaft(pair, *since_found), bound_move(pair, *turns)
        most_unlike = bound_move(pair, *since_found)
    except WrongUse as fault:
        yield point("turn-not-reckoned", found=fault.found, remedy=fault.remedy)
        return
    if known is None or stands is None:
        yield from _at_most(most, most_unlike, now, table)
    else:
        yield from _centres(known, sheet.gear)
        yield from () if now.put_alike else _shaft(stands, table, sheet.gear)
        yield from _contradiction(known, change, table)


def _likeness(before: Marks, now: Marks, change: EccentricChange) -> Points:
    """That the carriers were turned unlike, or that what stood unlike stands alike now."""
    if now.stand_alike and not before.stand_alike:
        yield point("alike-now")
    elif not now.alike and change.holes_a != now.sense_b * change.holes_b:
        yield point("turned-unlike")


def _turns(start: Marks, end: Marks, carrier: EccentricCarrier) -> tuple[Turn, Turn]:
    """Both carriers turned from the one to the other, the holes of both counted as at end A."""
    assert start.hole_a is not None
    assert start.hole_b is not None
    assert end.hole_a is not None
    assert end.hole_b is not None
    return Turn(start.hole_a, end.hole_a), _as_seen_from_a(Turn(start.hole_b, end.hole_b), carrier, end.sense_b)


def _centres(move: ShaftMove, gear: Gear) -> Points:
    if abs(move.centres_mm) < SMALLEST_MOVE_MM:
        return
    opened, angle = move.centres_mm > 0, axial_angle_deg(gear)
    yield point("centres-opened" if opened else "centres-closed", by_mm=abs(move.centres_mm))
    if angle is not None:
        backlash_mm = abs(backlash_from_centres(move.centres_mm, angle))
        yield point("backlash-added" if opened else "backlash-taken", backlash_mm=backlash_mm)


def _shaft(move: ShaftMove, table: Eccentrics, gear: Gear) -> Points:
    if table.span_mm is None:
        return
    if abs(move.tilt_deg) >= SMALLEST_TURN_DEG:
        if gear.module_mm is None or gear.teeth is None:
            yield point("shaft-tilted", tilt_deg=abs(move.tilt_deg))
        else:
            axial = move.looks_like_axial_mm(gear.module_mm * gear.teeth / 2)
            end = "A" if axial > 0 else "B"
            yield point("shaft-tilted-as-if", tilt_deg=abs(move.tilt_deg), axial_mm=abs(axial), end=end)
    if abs(move.shaft_angle_deg) >= SMALLEST_TURN_DEG:
        yield point("shaft-out-of-square", angle_deg=abs(move.shaft_angle_deg))


def _at_most(most: ShaftMove, most_unlike: ShaftMove, now: Marks, table: Eccentrics) -> Points:
    yield point("centres-at-most", by_mm=most.centres_mm)
    if table.span_mm is not None and not now.put_alike and most_unlike.tilt_deg >= SMALLEST_TURN_DEG:
        yield point("shaft-at-most", tilt_deg=most_unlike.tilt_deg)
    yield point("dead-centre-unknown")


def _contradiction(move: ShaftMove, change: EccentricChange, table: Eccentrics) -> Points:
    """A warning when the sheet's two ways of telling more backlash from less do not agree."""
    way = change.holes_a
    if table.more_backlash is None or way == 0 or abs(move.centres_mm) < SMALLEST_MOVE_MM:
        return
    if (way * table.more_backlash > 0) != (move.centres_mm > 0):
        yield point("sheet-contradicts-itself")


def _as_seen_from_a(turn: Turn, carrier: EccentricCarrier, sense_b: int) -> Turn:
    """The turn at end B by the numbers of end A, which run the other way from the same hole of widest centres."""
    if sense_b > 0:
        return turn
    middle = 2 * (carrier.widest_hole or 1)
    start, end = (_wrapped(round(middle - hole), carrier.holes) for hole in (turn.start, turn.end))
    return Turn(start, end)


def _wrapped(hole: int, count: int) -> int:
    return (hole - 1) % count + 1


def backlash_effect(state: JobState, sheet: Sheet) -> Points:
    """The last backlash reading as the maker's limit counts it, and what is left of it without the worm's end play."""
    readings, play_mm = state.current_readings[Check.BACKLASH].readings_mm, state.worm_end_play_mm
    if not readings:
        return
    if sheet.limits.backlash_of_teeth and play_mm is not None:
        yield point("teeth-at-radius", readings_mm=readings, radius_mm=sheet.limit_radius_mm, play_mm=play_mm)
        return
    if sheet.limits.backlash_radius_mm is None:
        yield point("at-pitch-radius", readings_mm=readings)
    else:
        yield point("at-limit-radius", readings_mm=readings, radius_mm=sheet.limit_radius_mm)
    if play_mm is None:
        return
    left = [take_out_end_play(reading, play_mm) for reading in readings]
    teeth = tuple(one for one in left if one is not None)
    if len(teeth) < len(left):
        yield point("end-play-too-large", play_mm=play_mm)
    else:
        yield point("left-for-teeth", play_mm=play_mm, teeth_mm=teeth)
