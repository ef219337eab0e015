"""Everything that the record of a setting job shows, gathered from its folder; nothing is drawn here."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from hashlib import sha256
from math import inf
from pathlib import Path

from patternscan.frame import Flank
from patternscan.judging.response import Response, find_expected_sign, learn_response
from patternscan.reporting.documents.kept_judgement import JUDGEMENT_NAME
from patternscan.setting.log.entries import Entry, struck_entries
from patternscan.setting.log.events import Closed, FlankPrint, Note, Pattern, PhotoLink
from patternscan.setting.log.job_log import LOG_NAME, SHEET_NAME, Log, read_job
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import WORK, Action, Priority
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.state.checks import CHANGES, Check, CurrentReading, find_current_reading
from patternscan.setting.state.job_state import JobState, job_state

DEEDS = (*CHANGES, Closed)
"""What was done to the machine."""
READ_TRIES = 5
"""How often a log that somebody writes to is read again, until digest and content belong together."""


class PhotoPlace(StrEnum):
    """Whether a photo lies in the job's folder, in words."""

    KEPT = "in the job's folder"
    CHANGED = "in the job's folder, but no longer as it was read"
    NOT_KEPT = "not kept in the job's folder"


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """A photo of a pattern and whether it is there."""

    link: PhotoLink
    place: PhotoPlace


@dataclass(frozen=True, slots=True)
class FlankShown:
    """One flank of a pattern: its numbers, and the files of its first tooth as bytes (None when they are missing).

    ``flat`` is the flank laid flat, ``contact`` its contact map.
    """

    flank: Flank
    numbers: FlankPrint | None
    flat: bytes | None
    contact: bytes | None


@dataclass(frozen=True, slots=True)
class PatternShown:
    """A pattern with its pictures and photos. ``doubts`` are the lesser cautions of the judgement that lies with them;
    those that forbid a direction are in the log.
    """

    entry: Entry
    pattern: Pattern
    flanks: tuple[FlankShown, FlankShown]
    photos: tuple[PhotoShown, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrialShown:
    """A trial, counted from 1. ``added_mm`` and ``series`` as in ``TrialReading``.

    ``closed`` says whether the housing was closed before; ``followed`` is what was done and noted after it.
    """

    number: int
    shown: PatternShown
    added_mm: float | None
    series: int
    closed: bool
    followed: tuple[Entry, ...]

    @property
    def name(self) -> str:
        """What it is called."""
        return f"Trial {self.number}, after closing" if self.closed else f"Trial {self.number}"


@dataclass(frozen=True, slots=True)
class Learned:
    """What shims did, and the numbers of the trials that show it."""

    response: Response
    trials: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class JobRecord:
    """All that the paper shows. ``before`` are the readings before anything was changed.

    ``prepared`` is what was done and noted before the first trial.
    ``patterns`` are all of the log, struck or not; ``as_found``, ``maker`` and ``trials`` those that count. Digests are
    of the files as they lie on the disk; ``sheet_sha256`` is None without a machine sheet.
    """

    sheet: Sheet
    log: Log
    state: JobState
    actions: tuple[Action, ...]
    before: Mapping[Check, CurrentReading]
    prepared: tuple[Entry, ...]
    patterns: tuple[PatternShown, ...]
    as_found: PatternShown | None
    maker: PatternShown | None
    trials: tuple[TrialShown, ...]
    log_sha256: str
    sheet_sha256: str | None
    made_at: datetime

    @property
    def machine(self) -> str:
        """Its name, or that it has none."""
        return self.sheet.machine or "Machine without a name"

    @property
    def left_name(self) -> str:
        """What the machine's present state is called."""
        return "So far" if self.state.signed_off is None else "As left"

    @property
    def finished(self) -> bool:
        """Whether the job is signed off with nothing left open."""
        return self.state.signed_off is not None and not self.open_actions

    @property
    def open_actions(self) -> tuple[Action, ...]:
        """What must still be done; for a signed job what was open when it was signed."""
        early = self.state.signed_off is not None
        return tuple(
            action
            for action in self.actions
            if action.priority in WORK or (early and action.priority is Priority.WARNING)
        )

    @property
    def learned(self) -> Learned | None:
        """What the latest trials that tell anything show of the shims; None until two packs were tried in a series."""
        expected = find_expected_sign(self.sheet.shim_rule)
        telling = [
            (number, reading.series, reading.trial)
            for number, reading in enumerate(self.state.trials, 1)
            if reading.trial is not None
        ]
        for series in sorted({series for _, series, _ in telling}, reverse=True):
            response = learn_response([trial for _, of, trial in telling if of == series], expected)
            if response is not None:
                return Learned(response, tuple(number for number, of, _ in telling if of == series))
        return None

    @property
    def struck(self) -> Mapping[int, int]:
        """Numbers of the entries that no longer count, with the entry that struck them."""
        return struck_entries(self.log.entries)


def gather_record(folder: Path, made_at: datetime | None = None) -> JobRecord:
    """The record of the job in a folder; ``made_at`` None means now. Raises WrongUse, InconsistentInputs."""
    sheet, log, digest = _read_together(folder)
    state = job_state(log.entries, sheet)
    patterns = tuple(_patterns(folder, log.entries))
    return JobRecord(
        sheet=sheet,
        log=log,
        state=state,
        actions=next_actions(state, sheet),
        before=_before(state.entries, sheet),
        prepared=_told(state.entries, 0, state.trials[0].entry.number if state.trials else inf),
        patterns=patterns,
        as_found=_pick(patterns, state.as_found),
        maker=_pick(patterns, state.maker),
        trials=tuple(_trials(patterns, state)),
        log_sha256=digest,
        sheet_sha256=_digest(folder / SHEET_NAME),
        made_at=made_at or datetime.now(UTC).astimezone(),
    )


def _read_together(folder: Path) -> tuple[Sheet, Log, str]:
    """Sheet, log, and the digest of the very log that was read."""
    for _ in range(READ_TRIES):
        before = _digest(folder / LOG_NAME)
        sheet, log = read_job(folder)
        if _digest(folder / LOG_NAME) == before:
            break
    return sheet, log, before or ""


def _before(entries: Sequence[Entry], sheet: Sheet) -> Mapping[Check, CurrentReading]:
    first = next((place for place, entry in enumerate(entries) if isinstance(entry.event, CHANGES)), len(entries))
    return {check: find_current_reading(check, entries[:first], sheet) for check in Check}


def _trials(patterns: Sequence[PatternShown], state: JobState) -> Iterator[TrialShown]:
    numbers = [*(reading.entry.number for reading in state.trials), inf]
    closed = False
    for count, reading in enumerate(state.trials, 1):
        followed = _told(state.entries, numbers[count - 1], numbers[count])
        shown = _pick(patterns, reading.entry)
        if shown is not None:
            yield TrialShown(count, shown, reading.added_mm, reading.series, closed, followed)
        deeds = [entry.event for entry in followed if isinstance(entry.event, DEEDS)]
        if deeds:
            closed = isinstance(deeds[-1], Closed)


def _told(entries: Sequence[Entry], after: float, before: float) -> tuple[Entry, ...]:
    """What was done and noted between the entries of these numbers."""
    return tuple(
        entry for entry in entries if after < entry.number < before and isinstance(entry.event, (*DEEDS, Note))
    )


def _pick(patterns: Sequence[PatternShown], entry: Entry | None) -> PatternShown | None:
    return next((shown for shown in patterns if shown.entry is entry), None)


def _patterns(folder: Path, entries: Sequence[Entry]) -> Iterator[PatternShown]:
    for entry in entries:
        if isinstance(pattern := entry.event, Pattern):
            place = _inside(folder, pattern.folder)
            flanks = _flank(Flank.LEFT, pattern.left, place), _flank(Flank.RIGHT, pattern.right, place)
            photos = tuple(PhotoShown(link, _photo_place(place, link)) for link in pattern.photos)
            yield PatternShown(entry, pattern, flanks, photos, _doubts(place))


def _flank(flank: Flank, numbers: FlankPrint | None, place: Path | None) -> FlankShown:
    flat, contact = (_content(place, f"{flank}_1.{ending}") for ending in ("flat.jpg", "contact.png"))
    return FlankShown(flank, numbers, flat, contact)


def _doubts(place: Path | None) -> tuple[str, ...]:
    """None when the judgement is missing or damaged."""
    try:
        cautions = json.loads(_content(place, JUDGEMENT_NAME) or b"{}").get("cautions", [])
        return tuple(str(one["message"]) for one in cautions if not one["grave"])
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return ()


def _inside(folder: Path, name: str | None) -> Path | None:
    """The folder of that name if it lies inside the job's: a log changed by hand must not lead to other files."""
    try:
        place = (folder / (name or "")).resolve()
        return place if name and place.is_relative_to(folder.resolve()) and place.is_dir() else None
    except (OSError, ValueError):
        return None


def _content(place: Path | None, name: str) -> bytes | None:
    try:
        return None if place is None else (place / name).read_bytes()
    except OSError:
        return None


def _photo_place(place: Path | None, link: PhotoLink) -> PhotoPlace:
    """Copies of photos of one name carry a number before their ending."""
    name = Path(link.name)
    if place is None or name.name != link.name:
        return PhotoPlace.NOT_KEPT
    names = [name.name, *(f"{name.stem}.{number}{name.suffix}" for number in range(2, 10))]
    digests = {digest for each in names if (digest := _digest(place / each)) is not None}
    if not digests:
        return PhotoPlace.NOT_KEPT
    return PhotoPlace.KEPT if link.sha256 in digests else PhotoPlace.CHANGED


def _digest(path: Path) -> str | None:
    try:
        return sha256(path.read_bytes()).hexdigest()
    except (OSError, ValueError):
        return None
