"""Options of the commands that keep a job's log: which job, who, when, and lengths with their unit."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.options import PATH, several
from patternscan.errors import WrongUse
from patternscan.units import parse_length

if TYPE_CHECKING:
    from patternscan.setting.log.events import Event

Callback = Callable[[click.Context, click.Parameter, Any], Any]

job_option: Callable[[Any], Any] = click.option(
    "--job", type=PATH, default=Path(), help="Folder of the job.  [default: where you are]"
)
entry_options: Callable[[Any], Any] = several(
    job_option,
    click.option("--by", metavar="NAME", help="Who did or read it."),
    click.option("--at", metavar="TIME", help="When, as 2026-03-01T09:30, if not now; never before the last entry."),
)


class Length(click.ParamType[float]):
    """A length with its unit, in mm; ``least_mm`` and ``most_mm`` are allowed."""

    name = "length"

    def __init__(self, least_mm: float, most_mm: float) -> None:
        self.least_mm, self.most_mm = least_mm, most_mm

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The length in mm; a number without unit, or one that cannot be right, ends with a plain sentence."""
        if isinstance(value, float):
            return value
        try:
            length_mm = parse_length(str(value))
        except WrongUse as fault:
            self.fail(str(fault), param, ctx)
        if not self.least_mm <= length_mm <= self.most_mm:
            self.fail(f"{value} is given, expected {self.least_mm:g} mm to {self.most_mm:g} mm.", param, ctx)
        return length_mm


def keep(options: dict[str, Any], event: Event) -> None:
    """Put the event into the job's log and say on standard output what was kept, and what it brings about."""
    from patternscan.setting.log.event_words import event_words
    from patternscan.setting.log.job_log import append_entry, read_job
    from patternscan.setting.state.entry_check import refuse_impossible

    sheet, _ = read_job(options["job"])
    entry = append_entry(
        options["job"],
        event,
        options["by"],
        moment(options["at"]),
        lambda log: refuse_impossible(event, log.entries, sheet),
    )
    click.echo(f"Entry {entry.number}: {event_words(entry.event)}")
    for words in (*_effect(event, options["job"]), due_now(options["job"])):
        click.echo(words)


def due_now(job: Path) -> str:
    """One line with what the job asks for now."""
    from patternscan.setting.log.job_log import read_job
    from patternscan.setting.rules.next_actions import next_actions
    from patternscan.setting.state.job_state import job_state

    sheet, log = read_job(job)
    return f"Next: {next_actions(job_state(log.entries, sheet), sheet)[0].words}"


def _effect(event: Event, job: Path) -> tuple[str, ...]:
    """What the event, the last of the log, brings about; nothing for most events."""
    from patternscan.setting.log.events import Backlash, EccentricChange, LostMotion, SignOff
    from patternscan.setting.log.job_log import read_job
    from patternscan.setting.mechanics.turn_effect import turn_effect
    from patternscan.setting.rules.backlash_rules import pitch_radius_words
    from patternscan.setting.rules.next_actions import open_actions
    from patternscan.setting.state.job_state import job_state

    sheet, log = read_job(job)
    match event:
        case EccentricChange():
            return turn_effect(job_state(log.entries[:-1], sheet).marks, event, sheet)
        case Backlash() | LostMotion():
            return tuple(pitch_radius_words(job_state(log.entries, sheet)))
        case SignOff():
            still = open_actions(job_state(log.entries, sheet), sheet)
            return tuple(f"Still open at sign-off: {action.words}" for action in still)
        case _:
            return ()


def moment(text: str | None) -> datetime | None:
    """The time as typed; without time zone it is the time of this place. Raises WrongUse."""
    if text is None:
        return None
    try:
        return datetime.fromisoformat(text).astimezone()
    except (ValueError, OverflowError) as error:
        raise WrongUse(f"{text!r} is not a time.", "Write it as 2026-03-01T09:30.") from error
