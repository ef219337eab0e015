"""What counts now in a setting job: the shims, the marks, the latest readings and whether they still stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from patternscan.frame import End
from patternscan.judging.comparison import Target
from patternscan.judging.trials import Trial
from patternscan.measuring.interval import Interval
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import (
    Closed,
    EccentricChange,
    EccentricsFound,
    Event,
    Occasion,
    Part,
    Pattern,
    Replaced,
    ShimChange,
    ShimPlace,
    ShimsFound,
    SignOff,
    Struck,
)
from patternscan.setting.machine.sheet import SMALL_MM, Sheet
from patternscan.setting.mechanics.shim_pack import TOLERANCE_MM
from patternscan.setting.state.checks import CARRIER_PLACES, CHANGES, Check, CurrentReading, find_current_reading


@dataclass(frozen=True, slots=True)
class Pack:
    """Shims under the upper and the lower bolts of one place, mm; negative where more was taken than was there."""

    upper_mm: float
    lower_mm: float

    @property
    def mean_mm(self) -> float:
        """Mean of the upper and the lower bolts."""
        return (self.upper_mm + self.lower_mm) / 2

    @property
    def alike(self) -> bool:
        """Whether the upper and the lower bolts carry the same thickness."""
        return abs(self.upper_mm - self.lower_mm) <= TOLERANCE_MM

    def plus(self, other: Pack) -> Pack:
        """Both laid on one another."""
        return Pack(round(self.upper_mm + other.upper_mm, 6), round(self.lower_mm + other.lower_mm, 6))


NO_SHIMS = Pack(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Marks:
    """The eccentric carriers: how far the marks were turned in all, in holes, and where they stand if that is known."""

    turned_a: int
    turned_b: int
    hole_a: int | None
    hole_b: int | None

    @property
    def alike(self) -> bool:
        """Whether both stand alike; as long as nobody noted where they stood, whether both were turned alike."""
        return self.hole_a == self.hole_b if self.hole_a is not None else self.turned_a == self.turned_b


@dataclass(frozen=True, slots=True)
class TrialReading:
    """A trial's pattern, with the thickness added in all by then under the carrier that the sheet names, mm.

    Trials of one ``series`` may be compared: between two series something else than those shims moved the wheel or the
    shaft, or the target changed. ``added_mm`` is None when the sheet names no carrier.
    ``repeats`` is an earlier pattern judged from one of the same photos, although something was changed since.
    """

    entry: Entry
    pattern: Pattern
    added_mm: float | None
    series: int
    repeats: Entry | None

    @property
    def trial(self) -> Trial | None:
        """What can be learned from; None without a carrier, without both flanks, with photos too poor or old ones."""
        shared: Interval | None = self.pattern.shared
        if self.added_mm is None or shared is None or self.pattern.grave or self.repeats is not None:
            return None
        return Trial(self.added_mm, shared)


@dataclass(frozen=True, slots=True)
class JobState:
    """What counts now. ``entries`` are those that were not struck; ``shims`` holds None where nothing was found noted.

    ``found`` and ``marks_found`` are what stood there first; ``added`` is what was added since, whether found or not.
    ``as_found`` and ``maker`` are the latest patterns of the old wheel and of the maker. ``closed`` is None again as
    soon as anything is changed, and so is ``signed_off``.
    """

    entries: tuple[Entry, ...]
    found: Mapping[ShimPlace, ShimsFound]
    added: Mapping[ShimPlace, Pack]
    shims: Mapping[ShimPlace, Pack | None]
    marks_found: EccentricsFound | None
    marks: Marks
    current_readings: Mapping[Check, CurrentReading]
    trials: tuple[TrialReading, ...]
    as_found: Entry | None
    maker: Entry | None
    closed: Entry | None
    signed_off: Entry | None

    @property
    def events(self) -> tuple[Event, ...]:
        """What happened, in order."""
        return tuple(entry.event for entry in self.entries)

    @property
    def changed(self) -> bool:
        """Whether anything was changed or tried yet, so that it is too late for what should be seen before."""
        return bool(self.trials) or any(isinstance(event, CHANGES) for event in self.events)

    @property
    def pattern(self) -> Pattern | None:
        """The latest trial's pattern, whether it still counts or not."""
        return self.trials[-1].pattern if self.trials else None

    @property
    def worm_end_play_mm(self) -> float | None:
        """End play of the worm that backlash readings hold; None when it does not count, or there is none."""
        play = self.current_readings[Check.WORM_END_PLAY]
        return play.readings_mm[0] if play.counts and play.readings_mm[0] > SMALL_MM else None

    @property
    def learning_trials(self) -> tuple[Trial, ...]:
        """The trials of the latest series from which the effect of a shim can be learned, in order."""
        latest = [reading.trial for reading in self.trials if reading.series == self.trials[-1].series]
        return tuple(trial for trial in latest if trial is not None)

    def counts(self, check: Check) -> bool:
        """Whether the check's reading stands."""
        return self.current_readings[check].counts


def job_state(entries: Sequence[Entry], sheet: Sheet) -> JobState:
    """What counts after all entries of a log, in their order."""
    kept = kept_entries(entries)
    found = {event.place: event for event in reversed([e.event for e in kept]) if isinstance(event, ShimsFound)}
    marks_found = next((entry.event for entry in kept if isinstance(entry.event, EccentricsFound)), None)
    return JobState(
        entries=kept,
        found=found,
        added={place: _added(kept, place) for place in ShimPlace},
        shims={place: _pack(kept, place) for place in ShimPlace},
        marks_found=marks_found,
        marks=_marks(kept, sheet),
        current_readings={check: find_current_reading(check, kept, sheet) for check in Check},
        trials=tuple(_trials(kept, sheet)),
        as_found=_last_pattern(kept, Occasion.AS_FOUND),
        maker=_last_pattern(kept, Occasion.MAKER),
        closed=_unless_followed(kept, Closed, CHANGES),
        signed_off=_unless_followed(kept, SignOff, (*CHANGES, Closed)),
    )


def kept_entries(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """All entries but those struck by a later one; a strike that is struck itself does not count."""
    struck = struck_entries(entries)
    return tuple(entry for entry in entries if entry.number not in struck)


def struck_entries(entries: Sequence[Entry]) -> dict[int, int]:
    """Numbers of the entries that no longer count, each with the number of the last entry that struck it."""
    numbers, struck = {entry.number for entry in entries}, dict[int, int]()
    for entry in reversed(entries):
        if isinstance(entry.event, Struck) and entry.number not in struck:
            target = entry.event.entry
            if target in numbers and target < entry.number:
                struck.setdefault(target, entry.number)
    return struck


def _added(entries: Sequence[Entry], place: ShimPlace) -> Pack:
    pack = NO_SHIMS
    for entry in entries:
        if isinstance(entry.event, ShimChange) and entry.event.place is place:
            pack = pack.plus(Pack(entry.event.upper_mm, entry.event.lower_mm))
    return pack


def _pack(entries: Sequence[Entry], place: ShimPlace) -> Pack | None:
    """What was last found there, with the changes since."""
    places = [n for n, one in enumerate(entries) if isinstance(one.event, ShimsFound) and one.event.place is place]
    if not places:
        return None
    found = entries[places[-1]].event
    assert isinstance(found, ShimsFound)
    return Pack(found.upper_mm, found.lower_mm).plus(_added(entries[places[-1] + 1 :], place))


def _marks(entries: Sequence[Entry], sheet: Sheet) -> Marks:
    turned = [0, 0]
    holes: list[int] | None = None
    for entry in entries:
        match entry.event:
            case EccentricsFound(hole_a, hole_b):
                holes = [hole_a, hole_b]
            case EccentricChange(holes_a, holes_b):
                turned = [turned[0] + holes_a, turned[1] + holes_b]
                holes = holes and [_hole(holes[0] + holes_a, sheet), _hole(holes[1] + holes_b, sheet)]
    return Marks(*turned, *(holes or (None, None)))


def _hole(hole: int, sheet: Sheet) -> int:
    """Past the last hole comes the first, where the sheet says how many there are."""
    count = sheet.eccentrics.holes if sheet.eccentrics is not None else None
    return hole if count is None else (hole - 1) % count + 1


def _trials(entries: Sequence[Entry], sheet: Sheet) -> Iterator[TrialReading]:
    carrier = sheet.shims.carrier
    series, before = 0, 0
    target: Target | None = None
    for number, entry in enumerate(entries):
        if not isinstance(entry.event, Pattern) or entry.event.occasion is not Occasion.TRIAL:
            continue
        series += target not in (None, entry.event.target) or _moved_otherwise(entries[before:number], carrier)
        target, before = entry.event.target, number
        added = None if carrier is None else _added(entries[:number], CARRIER_PLACES[carrier]).mean_mm
        yield TrialReading(entry, entry.event, added, series, _repeated(entry.event, entries[:number]))


def _repeated(pattern: Pattern, before: Sequence[Entry]) -> Entry | None:
    changed, photos = False, {photo.sha256 for photo in pattern.photos}
    for entry in reversed(before):
        changed = changed or isinstance(entry.event, (*CHANGES, Closed))
        if changed and isinstance(entry.event, Pattern) and photos & {photo.sha256 for photo in entry.event.photos}:
            return entry
    return None


def _moved_otherwise(entries: Sequence[Entry], carrier: End | None) -> bool:
    """Whether the pattern may have moved by anything else than the shims under the carrier that the sheet names.

    Shims of the other carrier may have been changed against them, not by themselves and not the same way.
    """
    for entry in entries:
        match entry.event:
            case EccentricChange() | Replaced(part=Part.WORM | Part.WHEEL | Part.WHEEL_BEARINGS):
                return True
            case ShimChange(place=ShimPlace.OUTBOARD):
                return True
    if carrier is None:
        return False
    here, there = (_added(entries, CARRIER_PLACES[each]).mean_mm for each in (carrier, carrier.other))
    return abs(there) > TOLERANCE_MM and abs(here + there) > TOLERANCE_MM


def _last_pattern(entries: Sequence[Entry], occasion: Occasion) -> Entry | None:
    wanted = [one for one in entries if isinstance(one.event, Pattern) and one.event.occasion is occasion]
    return wanted[-1] if wanted else None


def _unless_followed(entries: Sequence[Entry], kind: type[Event], undone: tuple[type[Event], ...]) -> Entry | None:
    """The latest entry of the kind, None when there is none or when something that undoes it came after."""
    latest: Entry | None = None
    for entry in entries:
        if isinstance(entry.event, kind):
            latest = entry
        elif isinstance(entry.event, undone):
            latest = None
    return latest
