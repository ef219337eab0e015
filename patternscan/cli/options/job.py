"""Options of the commands that keep a job's log, and what these commands say."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import option
from patternscan.cli.options.types import FOLDER
from patternscan.errors import WrongUse
from patternscan.plain_text import quoted
from patternscan.reporting.text.job.actions import action_lines, points_lines
from patternscan.reporting.text.job.events import event_sentence
from patternscan.setting.log.events import Event
from patternscan.setting.log.words import Occasion
from patternscan.setting.rules.action import Action
from patternscan.setting.rules.effects import Line
from patternscan.workflow.job.log import LogRequest, due_actions, log_event

JOB = option("--job", "Folder of the job.  [default: where you are]", default=Path(), type=FOLDER)
OCCASION = "A trial of this job, the old wheel as found, or the maker's own pattern."
WHEN = "When, as 2026-03-01T09:30, if not now; never before the last entry."


@dataclass(frozen=True, slots=True)
class EntryOptions:
    """Into which job's log an event goes, who did or read it, and when."""

    job: Annotated[Path, JOB]
    by: Annotated[str | None, option("--by", "Who did or read it.", metavar="NAME")]
    at: Annotated[str | None, option("--at", WHEN, metavar="TIME")]
    sure: Annotated[bool, option("--sure", "Keep it although it looks like a slip.")]

    def keep(self, event: Event) -> None:
        """Put the event into the log and say on standard output what was kept, and what it brings about."""
        result = log_event(LogRequest(self.job, event, self.by, moment(self.at), self.sure))
        click.echo(f"Entry {result.entry.number}: {event_sentence(result.entry.event)}")
        click.echo("\n".join([*effects_lines(result.effects), _next(result.due)]))


@dataclass(frozen=True, slots=True)
class OccasionOptions:
    """Into which job's log a pattern goes, what it was taken for, and who judged it."""

    job: Annotated[Path, JOB]
    by: Annotated[str | None, option("--by", "Who judged it.", metavar="NAME")]
    occasion: Annotated[Occasion, option("--occasion", OCCASION, default=Occasion.TRIAL, show_default=True)]


def effects_lines(effects: Iterable[Line]) -> list[str]:
    """What an entry brings about."""
    return [line for points in effects for line in points_lines(points)]


def due_now(job: Path) -> str:
    """What the job asks for now."""
    return _next(due_actions(job).actions[0])


def _next(action: Action) -> str:
    return "Next: " + "\n".join(action_lines(action))


def moment(text: str | None) -> datetime | None:
    """The time as typed; without time zone it is the time of this place. Raises WrongUse."""
    if text is None:
        return None
    try:
        return datetime.fromisoformat(text).astimezone()
    except (ValueError, OverflowError) as error:
        raise WrongUse(f"{quoted(text)} is not a time.", "Write it as 2026-03-01T09:30.") from error
