"""The trials of a job, each with the shims that lay there then, and which of them may be compared."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from msgspec import UNSET

from patternscan.calibration.judging import UNEVEN_TEETH
from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.frame import End
from patternscan.judging.comparison import Target, near_end, shared_shift
from patternscan.judging.states.judged_state import FlankState
from patternscan.judging.states.one_exposure import SeenVisit, perhaps_one_exposure
from patternscan.judging.trials.trial import Trial
from patternscan.measuring.interval import Interval
from patternscan.seeing import image
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Closed, EccentricChange, Pattern, Replaced, ShimChange
from patternscan.setting.log.words import Occasion, Part, ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.state.checks import CARRIER_PLACES, CHANGES, find_play_set, shimmed_place
from patternscan.setting.state.open_questions import OpenQuestion, open_questions
from patternscan.setting.state.packs import added, packs_against_first


@dataclass(frozen=True, slots=True)
class TrialReading:
    """A trial's pattern, with the thickness added in all by then under the carrier that the sheet names, mm.

    ``target`` is what it counts against: its own, or where the reference of that fell, that of the next trial.
    Trials of one ``series`` may be compared: between two series something else than those shims moved the wheel or the
    shaft, or the target changed. ``added_mm`` is None when the sheet names no carrier.
    ``repeats`` is an earlier pattern judged from one of the same photos, although something was changed since;
    ``resembles`` one whose photos look like pieces of the same, with the same numbers. ``open`` is what it still asks.
    """

    entry: Entry
    pattern: Pattern
    target: Target
    added_mm: float | None
    series: int
    repeats: Entry | None
    resembles: Entry | None = None
    open: tuple[OpenQuestion, ...] = ()

    @property
    def waits(self) -> bool:
        """Whether it waits for an answer that somebody can give."""
        return any(one.replies for one in self.open)

    @property
    def is_of_its_own(self) -> bool:
        """Whether its photos were surely taken after the last change."""
        return self.repeats is None and self.resembles is None

    @property
    def _shared(self) -> Interval | None:
        """How far off its place the pattern lay, against what it counts against."""
        left, right = self.pattern.left, self.pattern.right
        if self.target == self.pattern.target or left is None or right is None:
            return self.pattern.shared
        return shared_shift(left.along, right.along, self.target)

    @property
    def trial(self) -> Trial | None:
        """What can be learned from; None without a carrier, without both flanks, with photos too poor or old ones."""
        shared = self._shared
        if self.added_mm is None or shared is None or self.pattern.grave or not self.is_of_its_own:
            return None
        flanks = (self.pattern.left, self.pattern.right)
        return Trial(self.added_mm, shared, any(near_end(one.along) for one in flanks if one is not None))

    def apart_from(self, other: TrialReading) -> float:
        """How far apart both patterns lie where no one wheel carries two such, beyond their uncertainty; else 0."""
        if self.trial is None or other.trial is None:
            return 0.0
        apart = self.trial.shared.minus(other.trial.shared)
        return 0.0 if abs(apart.value) < UNEVEN_TEETH or apart.holds(0.0) else abs(apart.value)


def find_trials(
    entries: Sequence[Entry], sheet: Sheet, unnoted: Collection[int] = (), fallen: Collection[int] = ()
) -> Iterator[TrialReading]:
    """All trials in their order; before those ``unnoted`` something was changed that no entry tells, and what those
    ``fallen`` were held against counts no more.
    """
    carrier, place = sheet.shims.carrier, shimmed_place(sheet)
    series, before = 0, 0
    target, targets = None, _targets(entries, fallen)
    packs = () if place is None else packs_against_first(entries, place)
    for number, entry in enumerate(entries):
        if not isinstance(entry.event, Pattern) or entry.event.occasion is not Occasion.TRIAL:
            continue
        series += (
            target not in (None, targets[entry.number])
            or _moved_otherwise(entries[before:number], carrier)
            or any(entries[before].number < changed < entry.number for changed in unnoted)
            or find_play_set([one.event for one in entries[:number]], before, sheet) is not None
        )
        target, before = targets[entry.number], number
        thickness = packs[number].mean_mm if packs else None
        earlier = repeated(entry.event, entries[:number])
        like = None if earlier else _latest_before_change(entry.event, entries[:number], _share_exposure)
        asked = open_questions(entry, entries)
        yield TrialReading(entry, entry.event, target, thickness, series, earlier, like, asked)


def _targets(entries: Sequence[Entry], fallen: Collection[int]) -> Mapping[int, Target]:
    """What every pattern counts against: where its own reference fell, the target of the next trial that has one."""
    targets: dict[int, Target] = {}
    standing: Target | None = None
    for entry in reversed(entries):
        if isinstance(entry.event, Pattern) and entry.event.occasion is Occasion.TRIAL:
            standing = standing if entry.number in fallen else entry.event.target
            targets[entry.number] = standing or entry.event.target
    return targets


def repeated(pattern: Pattern, before: Sequence[Entry]) -> Entry | None:
    """The latest earlier pattern that rests on one of the same photos although something was changed since; or None."""
    return _latest_before_change(pattern, before, _share_photo)


def _latest_before_change(
    pattern: Pattern, before: Sequence[Entry], alike: Callable[[Pattern, Pattern], bool]
) -> Entry | None:
    changed = False
    for entry in reversed(before):
        changed = changed or isinstance(entry.event, (*CHANGES, Closed))
        if changed and isinstance(entry.event, Pattern) and alike(pattern, entry.event):
            return entry
    return None


def _share_photo(one: Pattern, other: Pattern) -> bool:
    """Whether both rest on one exposure, however it was saved, mirrored or named."""
    if {photo.sha256 for photo in one.photos} & {photo.sha256 for photo in other.photos}:
        return True
    pictures, others = ([photo.picture for photo in each.photos if photo.picture is not UNSET] for each in (one, other))
    return any(image.same_picture.same_picture(*both) for both in product(pictures, others))


def _share_exposure(one: Pattern, other: Pattern) -> bool:
    """Whether both look as if they rested on pieces of one photo."""
    return perhaps_one_exposure(_seen(one), _seen(other))


def _seen(pattern: Pattern) -> SeenVisit:
    left, right = (
        None if flank is None else FlankState(flank.along, flank.up, flank.coverage)
        for flank in (pattern.left, pattern.right)
    )
    return SeenVisit(left, right, [outlined for photo in pattern.photos for outlined in photo.outlined])


def _moved_otherwise(entries: Sequence[Entry], carrier: End | None) -> bool:
    """Whether the pattern may have moved by anything else than the shims under the carrier that the sheet names.

    Shims of the other carrier may have been changed against them, not by themselves and not the same way.
    """
    for entry in entries:
        match entry.event:
            case EccentricChange():
                return True
            case Replaced(part=part) if part not in (Part.WORM_BEARINGS, Part.SEALS):
                return True
            case ShimChange(place=ShimPlace.OUTBOARD):
                return True
    if carrier is None:
        return False
    here, there = (added(entries, CARRIER_PLACES[each]).mean_mm for each in (carrier, carrier.other))
    return abs(there) > PACK_TOLERANCE_MM and abs(here + there) > PACK_TOLERANCE_MM
