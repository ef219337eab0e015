"""What looks like a slip of the pen in an entry that could be right all the same, so that it is asked back once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median

from patternscan.calibration.judging import SMALLEST_STEP_MM
from patternscan.calibration.setting import (
    ABSURD_CHANGE_MM,
    ABSURD_PACK_MM,
    ABSURD_PLAY_MM,
    ABSURD_TIMES,
    PACK_TOLERANCE_MM,
)
from patternscan.frame import End
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import (
    Alignment,
    Backlash,
    EndPlay,
    Event,
    LostMotion,
    Measured,
    PackPieces,
    ShimChange,
    ShimsFound,
    TeethPhotographed,
)
from patternscan.setting.log.words import Bolts, Geometry
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Points, point
from patternscan.setting.rules.shim_rules import advised_step
from patternscan.setting.state.checks import CARRIER_PLACES, check_read, limit_of, thickest_at
from patternscan.setting.state.current_readings import readings_of
from patternscan.setting.state.job_state import JobState, job_state
from patternscan.setting.state.packs import Pack
from patternscan.units import MM_PER_INCH

SAME_RADIUS_MM = 0.5
"""A radius that was measured with a ruler is the same within this."""


def doubts_about(event: Event, entries: Sequence[Entry], sheet: Sheet) -> Points:
    """What is to be asked back before the event follows the entries; nothing for most."""
    match event:
        case EndPlay() | Alignment() | Measured(what=Geometry.SQUARENESS):
            yield from _far_beyond(event, sheet)
        case Backlash():
            yield from _far_beyond(event, sheet)
            yield from _unlike_fellows(event.readings_mm)
            if sheet.dial.radius_mm is not None and abs(event.radius_mm - sheet.dial.radius_mm) > SAME_RADIUS_MM:
                yield point("other-radius", radius_mm=event.radius_mm, sheet_mm=sheet.dial.radius_mm)
        case LostMotion():
            yield from _unlike_fellows(event.angles_deg, "angle-unlike-fellows")
        case PackPieces():
            yield from _unlike_pack(event, job_state(entries, sheet))
        case TeethPhotographed(teeth):
            if sheet.gear.teeth is not None and max(teeth) > sheet.gear.teeth:
                yield point("tooth-not-there", tooth=max(teeth), teeth=sheet.gear.teeth)
        case ShimsFound():
            yield from _thick_pack(event, sheet)
            yield from _other_than_noted(event, job_state(entries, sheet))
        case ShimChange():
            yield from _odd_change(event, job_state(entries, sheet), sheet)


def _far_beyond(event: Event, sheet: Sheet) -> Points:
    """Far beyond the maker's most, or beyond all that is usual where the sheet gives none."""
    check = check_read(event)
    limit = None if check is None else limit_of(check, sheet)
    if limit is None and isinstance(event, Backlash):
        return
    readings = (event.reading_mm,) if isinstance(event, Measured) else readings_of(event, sheet)
    most_mm = ABSURD_PLAY_MM if limit is None else ABSURD_TIMES * limit.most_mm or ABSURD_PLAY_MM
    if readings and max(readings) > most_mm:
        yield point("far-beyond", reading_mm=max(readings), most_mm=most_mm if limit is None else limit.most_mm)
        typed = event.readings_mm if isinstance(event, Backlash) else readings
        yield from _perhaps_inches(max(typed), most_mm)


def _perhaps_inches(length_mm: float, most_mm: float) -> Points:
    if abs(length_mm) / MM_PER_INCH <= most_mm:
        yield point("perhaps-inches", length_mm=abs(length_mm), meant_mm=abs(length_mm) / MM_PER_INCH)


def _unlike_fellows(readings: Sequence[float], code: str = "unlike-fellows") -> Points:
    for place, reading in enumerate(readings):
        fellows = [*readings[:place], *readings[place + 1 :]]
        if fellows and reading > ABSURD_TIMES * median(fellows) > 0:
            yield point(code, reading=reading, median=float(median(fellows)))
            return


def _unlike_pack(event: PackPieces, state: JobState) -> Points:
    """Single shims that come to another thickness than the pack that was noted there."""
    pack = state.shims[event.place]
    total_mm = sum(piece.thickness_mm * piece.count for piece in event.pieces)
    if pack is None or event.bolts.isdecimal():
        return
    noted_mm = pack.lower_mm if event.bolts is Bolts.LOWER else pack.upper_mm
    if abs(total_mm - noted_mm) > PACK_TOLERANCE_MM:
        yield point("unlike-pack", total_mm=total_mm, noted_mm=noted_mm, place=event.place)


def _thick_pack(event: ShimsFound, sheet: Sheet) -> Points:
    thickest_mm = thickest_at(event.place, sheet)
    most_mm = thickest_mm if math.isfinite(thickest_mm) else ABSURD_PACK_MM
    pack_mm = Pack(event.upper_mm, event.lower_mm).most_mm
    if pack_mm > most_mm + PACK_TOLERANCE_MM:
        yield point("thick-pack", place=event.place, pack_mm=pack_mm, most_mm=most_mm)
        yield from _perhaps_inches(pack_mm, most_mm)


def _other_than_noted(event: ShimsFound, state: JobState) -> Points:
    """Another thickness than the log comes to, by a whole shim or more: a change was forgotten, or not made."""
    noted = state.shims[event.place]
    if noted is None:
        return
    pack = Pack(event.upper_mm, event.lower_mm)
    off = pack.minus(noted)
    if max(abs(off.upper_mm), abs(off.lower_mm)) >= SMALLEST_STEP_MM:
        yield point("other-than-noted", place=event.place, pack_mm=pack.mean_mm, noted_mm=noted.mean_mm)


def _odd_change(event: ShimChange, state: JobState, sheet: Sheet) -> Points:
    """Against the advice just given, or much more than that, or than anyone changes at once."""
    advised_mm = _advised_at(event, state, sheet)
    change_mm = Pack(event.upper_mm, event.lower_mm).mean_mm
    if advised_mm is not None and advised_mm * change_mm < 0:
        yield point("against-advice", change_mm=change_mm, advised_mm=advised_mm)
        return
    most_mm = ABSURD_CHANGE_MM if advised_mm is None else ABSURD_TIMES * abs(advised_mm)
    if abs(change_mm) > most_mm + PACK_TOLERANCE_MM:
        yield point("large-change", change_mm=change_mm, place=event.place)
        yield from _perhaps_inches(change_mm, most_mm)


def _advised_at(event: ShimChange, state: JobState, sheet: Sheet) -> float | None:
    """The step that was advised for the place: as much the other way under the other carrier."""
    step_mm = advised_step(state, sheet)
    ends = {CARRIER_PLACES[end]: end for end in End}
    if step_mm is None or event.place not in ends:
        return None
    return step_mm if ends[event.place] is sheet.shims.carrier else -step_mm
