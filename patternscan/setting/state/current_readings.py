"""The latest reading of each check as the maker's limit counts it, and whether it still stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from patternscan.errors import WrongUse
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Alignment, Backlash, EndPlay, Event, LostMotion, ShimChange
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.mechanics.backlash import bring_to_radius, find_lost_motion
from patternscan.setting.state.checks import Check, check_read, find_invalidation, find_play_set, shimmed_place

CHANGED_UNNOTED = "changed-unnoted"
"""What invalidates a pattern when something was changed between the photos of a later one."""
REFERENCE_GONE = "reference-gone"
"""What invalidates a pattern when what it was held against counts no more."""
END_PLAY_SET = "end-play-set"
"""What invalidates pattern and backlash when they were read with an end play beyond its limit, which was set since."""
NONE: Mapping[int, Entry] = {}
"""No such change (``changes_unnoted``), and no such reference (``references_gone``)."""


@dataclass(frozen=True, slots=True)
class CurrentReading:
    """The latest reading of a check, None when there is none, and the entry that invalidated it, with what that did.

    ``readings_mm``: one number for end play and alignment; backlash as the maker's limit counts it, so at the radius
    of the limit (the pitch radius unless the sheet says otherwise) and with or without the worm's end play; empty when
    the sheet does not tell enough for that, and for a pattern.
    """

    check: Check
    entry: Entry | None = None
    readings_mm: tuple[float, ...] = ()
    invalidated_by: Entry | None = None
    invalidation: str | None = None

    @property
    def counts(self) -> bool:
        """Whether there is a reading and nothing has invalidated it since."""
        return self.entry is not None and self.invalidated_by is None


def find_current_reading(
    check: Check,
    entries: Sequence[Entry],
    sheet: Sheet,
    unnoted: Mapping[int, Entry] = NONE,
    fallen: Mapping[int, Entry] = NONE,
) -> CurrentReading:
    """The latest reading of the check among entries that count, and what invalidated it since."""
    places = [place for place, entry in enumerate(entries) if check_read(entry.event) is check]
    if not places:
        return CurrentReading(check)
    entry = entries[places[-1]]
    later = [each for each in entries[places[-1] + 1 :] if not _harmless(each.event, check, sheet)]
    readings = readings_of(entry.event, sheet)
    found = find_invalidation(check, [each.event for each in later])
    if found is not None:
        return CurrentReading(check, entry, readings, later[found[0]], found[1])
    play_set = find_play_set([each.event for each in entries], places[-1], sheet)
    if check in (Check.PATTERN, Check.BACKLASH) and play_set is not None:
        return CurrentReading(check, entry, readings, entries[play_set], END_PLAY_SET)
    since = [answer for number, answer in unnoted.items() if number > entry.number]
    if check is Check.PATTERN and since:
        return CurrentReading(check, entry, readings, since[0], CHANGED_UNNOTED)
    if check is Check.PATTERN and entry.number in fallen:
        return CurrentReading(check, entry, readings, fallen[entry.number], REFERENCE_GONE)
    return CurrentReading(check, entry, readings)


def _harmless(event: Event, check: Check, sheet: Sheet) -> bool:
    """Shims under a carrier that alone holds the shaft endways shift shaft and wheel, and the end play stays."""
    if check is not Check.WHEEL_END_PLAY or not sheet.shims.alone:
        return False
    return isinstance(event, ShimChange) and event.place is shimmed_place(sheet)


def readings_of(event: Event, sheet: Sheet) -> tuple[float, ...]:
    """What an event reads in mm, as in ``CurrentReading``; empty when it reads no length."""
    match event:
        case EndPlay() | Alignment():
            return (event.reading_mm,)
        case Backlash():
            return _as_limited(event, sheet)
        case LostMotion():
            return _lost_motion(event, sheet)
        case _:
            return ()


def _as_limited(event: Backlash, sheet: Sheet) -> tuple[float, ...]:
    """What the dial would have read at the radius of the maker's limit."""
    radius_mm = sheet.limit_radius_mm
    if radius_mm is None:
        return ()
    try:
        return tuple(bring_to_radius(each, event.radius_mm, radius_mm) for each in event.readings_mm)
    except WrongUse:
        return ()


def find_current_readings(
    entries: Sequence[Entry],
    sheet: Sheet,
    unnoted: Mapping[int, Entry] = NONE,
    fallen: Mapping[int, Entry] = NONE,
) -> Mapping[Check, CurrentReading]:
    """The current reading of every check; backlash without the worm's end play where the maker's limit is without."""
    current = {check: find_current_reading(check, entries, sheet, unnoted, fallen) for check in Check}
    play, backlash = current[Check.WORM_END_PLAY], current[Check.BACKLASH]
    if sheet.limits.backlash_of_teeth and play.counts and play.readings_mm:
        teeth = tuple(max(0.0, each - play.readings_mm[0]) for each in backlash.readings_mm)
        current[Check.BACKLASH] = replace(backlash, readings_mm=teeth)
    return current


def _lost_motion(event: LostMotion, sheet: Sheet) -> tuple[float, ...]:
    module, starts, teeth = sheet.gear.module_mm, sheet.gear.starts, sheet.gear.teeth
    if module is None or starts is None:
        return ()
    at_pitch = (find_lost_motion(angle, module, starts) for angle in event.angles_deg)
    scale = 1.0 if teeth is None or sheet.limit_radius_mm is None else sheet.limit_radius_mm / (module * teeth / 2)
    return tuple(each * scale for each in at_pitch)
