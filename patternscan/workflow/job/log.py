"""An event put into the log of a job, and what the job wants next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from patternscan.cautions import Caution, caution
from patternscan.errors import LooksLikeASlip
from patternscan.handles import Handle, named
from patternscan.judging.states.judged_state import GoneEntry
from patternscan.reporting.text.job.points import points_sentence
from patternscan.setting.log.entries import Entry, gone_entry, kept_entries
from patternscan.setting.log.events import Event
from patternscan.setting.log.job_log import Log, append_entry, read_job
from patternscan.setting.log.words import Occasion
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Action
from patternscan.setting.rules.doubtful_entry import doubts_about
from patternscan.setting.rules.effects import Line, effects_of
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.state.entry_check import refuse_impossible
from patternscan.setting.state.job_state import job_state
from patternscan.setting.state.open_questions import OpenQuestion, open_questions
from patternscan.workflow.job.folder import folders_without_entry


@dataclass(frozen=True, slots=True)
class LogRequest:
    """An event for the log of the job in a folder; ``at`` None means now. ``sure``: what looks odd is meant so."""

    job: Path
    event: Event
    by: str | None = None
    at: datetime | None = None
    sure: bool = False


@dataclass(frozen=True, slots=True)
class LogResult:
    """The entry, what the event brings about, line by line, and what the job asks for now."""

    entry: Entry
    effects: tuple[Line, ...]
    due: Action


@dataclass(frozen=True, slots=True)
class DueActions:
    """What a job asks for, first what to do now; ``damage`` tells of lines of its log that do not count, and of
    judgements that no line names.
    """

    machine: str | None
    actions: tuple[Action, ...]
    damage: tuple[Caution, ...]


def log_event(request: LogRequest) -> LogResult:
    """Put an event into the log. Raises WrongUse, InconsistentInputs for what cannot be, CannotWrite."""
    sheet, _ = read_job(request.job)
    entry = append_entry(
        request.job,
        request.event,
        request.by,
        request.at,
        lambda log: _check(request, log, sheet),
    )
    entries = read_job(request.job)[1].entries
    return LogResult(entry, effects_of(entries, sheet), due_actions(request.job).actions[0])


def latest_effects(job: Path, number: int) -> tuple[Line, ...]:
    """What the entry of this number brings about, as long as it is the last one; later ones may have changed that."""
    sheet, log = read_job(job)
    return effects_of(log.entries, sheet) if log.entries and log.entries[-1].number == number else ()


def doubts_before(job: Path, event: Event) -> Line:
    """What looks like a slip in an event that is not in the log yet, to be asked back.

    Raises WrongUse, InconsistentInputs for what cannot be.
    """
    sheet, log = read_job(job)
    refuse_impossible(event, log.entries, sheet)
    return tuple(doubts_about(event, log.entries, sheet))


def _check(request: LogRequest, log: Log, sheet: Sheet) -> None:
    """Raise WrongUse for what cannot be, and for what looks like a slip unless a person is sure of it."""
    refuse_impossible(request.event, log.entries, sheet)
    doubts = () if request.sure else tuple(doubts_about(request.event, log.entries, sheet))
    if doubts:
        raise LooksLikeASlip(
            points_sentence(doubts), f"Nothing was kept. If it is right, give it again {named(Handle.SURE)}."
        )


def due_actions(job: Path) -> DueActions:
    """What the job asks for now and after that. Raises WrongUse when there is no job."""
    sheet, log = read_job(job)
    unlogged = (caution("pattern-without-entry", folder=folder) for folder in folders_without_entry(job, log))
    today = datetime.now().astimezone().date()
    actions = tuple(next_actions(job_state(log.entries, sheet, today), sheet))
    return DueActions(sheet.machine, actions, (*log.damage, *unlogged))


def asked_about(job: Path, number: int) -> tuple[OpenQuestion, ...]:
    """What the pattern of an entry still asks; nothing of one that no longer counts."""
    kept = kept_entries(read_job(job)[1].entries)
    return tuple(question for one in kept if one.number == number for question in open_questions(one, kept))


def gone_in_job(job: Path, number: int) -> GoneEntry | None:
    """How an entry of a job no longer counts; None where it does."""
    return gone_entry(number, read_job(job)[1].entries)


def tells_amount(job: Path, occasion: Occasion) -> bool:
    """Whether the job's own trials say how much to move, so that a judgement is not to say so too.

    Only a trial before there is one to learn from is left to the judgement.
    """
    sheet, log = read_job(job)
    return occasion is not Occasion.TRIAL or bool(job_state(log.entries, sheet).tried)
