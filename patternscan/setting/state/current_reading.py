"""The latest reading of a station, brought to the form in which limits are given, and whether it still counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patternscan.errors import WrongUse
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Alignment, Backlash, EndPlay, Event, LostMotion, ShimChange
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.mechanics.dial import bring_to_pitch_radius, find_lost_motion
from patternscan.setting.state.checks import CARRIER_PLACES, Station, find_void, station_read


@dataclass(frozen=True, slots=True)
class Standing:
    """The latest reading of a station, None when there is none, and the entry that voided it with the reason.

    ``readings_mm``: one number for end play and alignment; backlash brought to the pitch radius, or empty when the
    sheet does not give module and number of teeth (and starts, for a reading at the worm); empty for a pattern.
    """

    station: Station
    entry: Entry | None = None
    readings_mm: tuple[float, ...] = ()
    voided_by: Entry | None = None
    because: str | None = None

    @property
    def counts(self) -> bool:
        """Whether there is a reading and nothing has voided it since."""
        return self.entry is not None and self.voided_by is None


def find_standing(station: Station, entries: Sequence[Entry], sheet: Sheet) -> Standing:
    """The latest reading of the station among entries that count, and what voided it since."""
    places = [place for place, entry in enumerate(entries) if station_read(entry.event) is station]
    if not places:
        return Standing(station)
    entry = entries[places[-1]]
    later = [each for each in entries[places[-1] + 1 :] if not _harmless(each.event, station, sheet)]
    readings = _readings(entry.event, sheet)
    void = find_void(station, [each.event for each in later])
    if void is None:
        return Standing(station, entry, readings)
    return Standing(station, entry, readings, later[void[0]], void[1])


def _harmless(event: Event, station: Station, sheet: Sheet) -> bool:
    """Shims under a carrier that alone holds the shaft endways shift shaft and wheel, and the end play stays."""
    if station is not Station.WHEEL_END_PLAY or sheet.shims.carrier is None or not sheet.shims.alone:
        return False
    return isinstance(event, ShimChange) and event.place is CARRIER_PLACES[sheet.shims.carrier]


def _readings(event: Event, sheet: Sheet) -> tuple[float, ...]:
    match event:
        case EndPlay() | Alignment():
            return (event.reading_mm,)
        case Backlash():
            return _at_pitch_radius(event, sheet)
        case LostMotion():
            module, starts = sheet.gear.module_mm, sheet.gear.starts
            if module is None or starts is None:
                return ()
            return tuple(find_lost_motion(angle, module, starts) for angle in event.angles_deg)
        case _:
            return ()


def _at_pitch_radius(event: Backlash, sheet: Sheet) -> tuple[float, ...]:
    module, teeth = sheet.gear.module_mm, sheet.gear.teeth
    if module is None or teeth is None:
        return ()
    try:
        return tuple(bring_to_pitch_radius(each, event.radius_mm, module * teeth / 2) for each in event.readings_mm)
    except WrongUse:
        return ()
