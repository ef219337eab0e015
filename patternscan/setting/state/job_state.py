"""What counts now in a setting job: the shims, the marks, the latest readings and whether they still count."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from patternscan.judging.trials.trial import Trial
from patternscan.setting.log.entries import Entry, disowned_entries, kept_entries, struck_entries
from patternscan.setting.log.events import Closed, EccentricsFound, Event, Pattern, Secured, ShimsFound, SignOff
from patternscan.setting.log.words import Bolts, Occasion, ShimPlace
from patternscan.setting.machine.sheet import SMALL_MM, Sheet
from patternscan.setting.machine.stock import Stock
from patternscan.setting.state.checks import CHANGES, SIDE_PLACES, Check
from patternscan.setting.state.current_readings import CurrentReading, find_current_readings
from patternscan.setting.state.open_questions import changes_unnoted, references_gone
from patternscan.setting.state.packs import Marks, Pack, added, find_marks, find_pack_at, find_pieces
from patternscan.setting.state.trial_readings import TrialReading, find_trials


@dataclass(frozen=True, slots=True)
class JobState:
    """What counts now. ``entries`` are those that count; ``shims`` holds None where nothing was found noted.

    ``pieces`` are the single shims that are known to lie under the bolts of a place.
    ``found`` and ``marks_found`` are what stood there first; ``added`` is what was added since, whether found or not.
    ``secured`` is the entry of today that the load is landed and all isolated; None where today has none.
    ``as_found`` and ``maker`` are the latest patterns of the old wheel and of the maker. ``disowned`` is the answer by
    which the latest trial does not stand; None where another trial was judged after it; ``maker_disowned`` the same of
    the maker's. ``closed`` is None again as soon as anything is changed, and so is ``signed_off``.
    """

    entries: tuple[Entry, ...]
    found: Mapping[ShimPlace, ShimsFound]
    added: Mapping[ShimPlace, Pack]
    shims: Mapping[ShimPlace, Pack | None]
    pieces: Mapping[ShimPlace, Mapping[Bolts, Stock]]
    marks_found: EccentricsFound | None
    marks: Marks
    current_readings: Mapping[Check, CurrentReading]
    trials: tuple[TrialReading, ...]
    as_found: Entry | None
    maker: Entry | None
    disowned: Entry | None
    maker_disowned: Entry | None
    secured: Entry | None
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
    def series(self) -> tuple[TrialReading, ...]:
        """The trials of the latest series that tell how far the pattern was off, in order."""
        latest = (reading for reading in self.trials if reading.series == self.trials[-1].series)
        return tuple(reading for reading in latest if reading.trial is not None)

    @property
    def tried(self) -> tuple[Trial, ...]:
        """The trials of the latest series, whatever they ask. In doubt they may hold back, and teach nothing."""
        return tuple(reading.trial for reading in self.series if reading.trial is not None)

    @property
    def learning_trials(self) -> tuple[Trial, ...]:
        """The trials of the latest series from which the effect of a shim can be learned, in order.

        What a trial asks has to be answered first. Until the last one is, it stands alone: it tells where the pattern
        lies, but not what a change did.
        """
        last_waits = bool(self.trials) and self.trials[-1].waits
        used = self.series[-1:] if last_waits else (reading for reading in self.series if not reading.waits)
        return tuple(reading.trial for reading in used if reading.trial is not None)

    @property
    def tilted(self) -> bool:
        """Whether carriers or the bolts of one stand unlike, so that the shaft is tilted."""
        packs = (self.shims[place] or self.added[place] for place in SIDE_PLACES)
        return not self.marks.alike or any(not pack.alike for pack in packs)

    @property
    def contradicted(self) -> TrialReading | None:
        """The latest trial since the last change from which the last one lies clearly apart; None when they agree.

        Where teeth of one flank differ by so much the wheel is suspect; but here something was mixed up, or changed.
        """
        last = self.series[-1] if self.series else None
        if last is None or last is not self.trials[-1] or last.waits:
            return None
        changed = max((one.number for one in self.entries if isinstance(one.event, (*CHANGES, Closed))), default=0)
        since = [one for one in self.series[:-1] if one.entry.number > changed and not one.waits]
        return next((one for one in reversed(since) if last.apart_from(one)), None)

    def counts(self, check: Check) -> bool:
        """Whether the check's reading stands."""
        return self.current_readings[check].counts


def job_state(entries: Sequence[Entry], sheet: Sheet, today: date | None = None) -> JobState:
    """What counts after all entries of a log, in their order; ``today`` None means the day of the last entry."""
    kept, unnoted, fallen = kept_entries(entries), changes_unnoted(entries), references_gone(entries)
    found = {event.place: event for event in reversed([e.event for e in kept]) if isinstance(event, ShimsFound)}
    marks_found = next((entry.event for entry in kept if isinstance(entry.event, EccentricsFound)), None)
    return JobState(
        entries=kept,
        found=found,
        added={place: added(kept, place) for place in ShimPlace},
        shims={place: find_pack_at(kept, place) for place in ShimPlace},
        pieces={place: find_pieces(kept, place) for place in ShimPlace},
        marks_found=marks_found,
        marks=find_marks(kept, sheet),
        current_readings=find_current_readings(kept, sheet, unnoted, fallen),
        trials=tuple(find_trials(kept, sheet, unnoted, fallen)),
        as_found=_last_pattern(kept, Occasion.AS_FOUND),
        maker=_last_pattern(kept, Occasion.MAKER),
        disowned=_last_disowned(entries, Occasion.TRIAL),
        maker_disowned=_last_disowned(entries, Occasion.MAKER),
        secured=_secured_on(today, kept),
        closed=_unless_followed(kept, Closed, CHANGES),
        signed_off=_unless_followed(kept, SignOff, (*CHANGES, Closed)),
    )


def _secured_on(today: date | None, entries: Sequence[Entry]) -> Entry | None:
    day = today or (entries[-1].at.date() if entries else None)
    found = [one for one in entries if isinstance(one.event, Secured) and one.at.date() == day]
    return found[-1] if found else None


def _last_pattern(entries: Sequence[Entry], occasion: Occasion) -> Entry | None:
    wanted = [one for one in entries if isinstance(one.event, Pattern) and one.event.occasion is occasion]
    return wanted[-1] if wanted else None


def _last_disowned(entries: Sequence[Entry], occasion: Occasion) -> Entry | None:
    """The answer by which the latest pattern of an occasion does not stand, if none that counts came after it."""
    patterns = [one for one in entries if isinstance(one.event, Pattern) and one.event.occasion is occasion]
    struck, disowned = struck_entries(entries), disowned_entries(entries)
    unstruck = [one.number for one in patterns if one.number not in struck]
    by = disowned.get(unstruck[-1]) if unstruck else None
    return next((one for one in entries if one.number == by), None)


def _unless_followed(entries: Sequence[Entry], kind: type[Event], undone: tuple[type[Event], ...]) -> Entry | None:
    """The latest entry of the kind, None when there is none or when something that undoes it came after."""
    latest: Entry | None = None
    for entry in entries:
        if isinstance(entry.event, kind):
            latest = entry
        elif isinstance(entry.event, undone):
            latest = None
    return latest
