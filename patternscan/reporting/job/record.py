"""Everything that the record of a setting job shows, gathered from its folder; nothing is drawn here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import inf
from pathlib import Path

from patternscan.judging.trials.response import Response, find_expected_sign, learn_response
from patternscan.reporting.job.kept_patterns import PatternShown, kept_patterns
from patternscan.reporting.kept.files import file_digest
from patternscan.setting.log.entries import Entry, gone_entries, struck_entries
from patternscan.setting.log.events import Closed, Note
from patternscan.setting.log.job_log import LOG_NAME, SHEET_NAME, Log, read_job
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import WORK, Action, Priority
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.rules.shim_rules import mixed_up
from patternscan.setting.state.checks import CHANGES, Check
from patternscan.setting.state.current_readings import CurrentReading, find_current_readings
from patternscan.setting.state.job_state import JobState, job_state

DEEDS = (*CHANGES, Closed)
"""What was done to the machine."""
READ_TRIES = 5
"""How often a log that somebody writes to is read again, until digest and content belong together."""


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
        """What must still be answered or done; for a signed job what it was signed off with, or came up since."""
        signed = {Priority.WARNING} if self.state.signed_off is not None else set()
        return tuple(action for action in self.actions if action.priority in {Priority.ASK, *WORK, *signed})

    @property
    def learned(self) -> Learned | None:
        """What the latest trials that tell anything show of the shims; None until two packs were tried in a series, and
        where a pattern was mixed up.
        """
        if mixed_up(self.state, self.sheet):
            return None
        expected = find_expected_sign(self.sheet.shim_rule)
        telling = [
            (number, reading.series, reading.trial)
            for number, reading in enumerate(self.state.trials, 1)
            if reading.trial is not None and not reading.waits
        ]
        for series in sorted({series for _, series, _ in telling}, reverse=True):
            response = learn_response([trial for _, of, trial in telling if of == series], expected)
            if response is not None:
                return Learned(response, tuple(number for number, of, _ in telling if of == series))
        return None

    @property
    def struck(self) -> Mapping[int, int]:
        """Numbers of the entries that were struck, with the entry that struck them."""
        return struck_entries(self.log.entries)

    @property
    def gone(self) -> Mapping[int, int]:
        """Numbers of the entries that no longer count, with the entry that struck or disowned them."""
        return gone_entries(self.log.entries)


def gather_record(folder: Path, made_at: datetime | None = None) -> JobRecord:
    """The record of the job in a folder; ``made_at`` None means now. Raises WrongUse, InconsistentInputs."""
    sheet, log, digest = _read_together(folder)
    state = job_state(log.entries, sheet)
    patterns = tuple(kept_patterns(folder, log.entries))
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
        sheet_sha256=file_digest(folder / SHEET_NAME),
        made_at=made_at or datetime.now(UTC).astimezone(),
    )


def _read_together(folder: Path) -> tuple[Sheet, Log, str]:
    """Sheet, log, and the digest of the very log that was read."""
    for _ in range(READ_TRIES):
        before = file_digest(folder / LOG_NAME)
        sheet, log = read_job(folder)
        if file_digest(folder / LOG_NAME) == before:
            break
    return sheet, log, before or ""


def _before(entries: Sequence[Entry], sheet: Sheet) -> Mapping[Check, CurrentReading]:
    first = next((place for place, entry in enumerate(entries) if isinstance(entry.event, CHANGES)), len(entries))
    return find_current_readings(entries[:first], sheet)


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
