"""``patternscan log``: what was found, read and changed, one command for each kind of entry."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any

import click

from patternscan.cli.job.ask import ask_entries
from patternscan.cli.options.answered import Answered
from patternscan.cli.options.job import EntryOptions
from patternscan.cli.options.records import Command, takes
from patternscan.cli.options.types import FOLDER, LINE
from patternscan.plain_text import one_line
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.wording import gone_words
from patternscan.setting.log.entries import gone_entry
from patternscan.setting.log.job_log import read_job, read_log
from patternscan.setting.log.kinds import ENTRY_KINDS, entry_event
from patternscan.setting.log.questions import EntryKind, Question

NOTHING_YET = "There is no entry in the log yet."


class InOrder(click.Group):
    """A group that lists its commands in the order of work; that for a judgement is loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The names of all commands."""
        return [*self.commands, "judgement"]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """A command by its name, None when there is none."""
        if cmd_name != "judgement":
            return super().get_command(ctx, cmd_name)
        command: click.Command = import_module("patternscan.cli.job.log_judgement").judgement
        return command


@click.group(
    cls=InOrder,
    invoke_without_command=True,
)
@click.option("--job", type=FOLDER, default=Path(), help="Folder of the job, when nothing else is given.")
@click.option("--by", type=LINE, metavar="NAME", help="Who did or read it, when nothing else is given.")
@click.pass_context
def log(ctx: click.Context, job: Path, by: str | None) -> None:
    """Note in the job's log what was found, read and changed. Lengths need their unit: 0.10mm, 0.004in or 4thou.

    Without a command it asks for what is due, one value at a time, in the sheet's unit, and reads it back.

    Nothing in the log is ever changed. An entry that was wrong is struck with 'log strike'.
    """
    if ctx.invoked_subcommand is None:
        ask_entries(job, by)


def _command(kind: EntryKind) -> click.Command:
    """The command that keeps an entry of this kind."""

    def keep(into: EntryOptions, **given: Any) -> None:
        into.keep(entry_event(kind.word, given, read_job(into.job)[0]))

    made: Command = takes(EntryOptions, "into")(keep)
    for question in reversed(kind.questions):
        made = _parameter(question)(made)
    return click.command(kind.word, help=_help(kind), short_help=f"{kind.title}.")(made)


def _parameter(question: Question) -> Any:
    typed, told = Answered(question.answer), _asks(question)
    if question.flag:
        return click.option(
            question.flag,
            question.name,
            type=typed,
            required=question.needed,
            multiple=question.many,
            help=told,
        )
    return click.argument(
        question.name,
        type=typed,
        metavar=question.called,
        required=question.needed,
        nargs=-1 if question.many else 1,
    )


def _help(kind: EntryKind) -> str:
    placed = "".join(f"\n{one.called}: {_asks(one)}" for one in kind.questions if not one.flag)
    listed = f"\n\n\b{placed}" if placed else ""
    return f"{kind.told}{listed}\n\nExample: patternscan log {kind.example}"


def _asks(question: Question) -> str:
    return f"{question.asked} {' or '.join(question.answer.words)}".strip()


for _kind in ENTRY_KINDS:
    log.add_command(_command(_kind))


@log.command()
@click.option("--job", type=FOLDER, default=Path(), help="Folder of the job.  [default: where you are]")
def show(job: Path) -> None:
    """Print the whole log, one entry a line."""
    kept = read_log(job)
    if not kept.entries:
        click.echo(NOTHING_YET, err=True)
    for entry in kept.entries:
        gone = gone_entry(entry.number, kept.entries)
        by = f" ({one_line(entry.by)})" if entry.by else ""
        out = "" if gone is None else f" [{gone_words(gone.answer)}]"
        click.echo(f"{entry.number:3d}  {entry.at:%Y-%m-%d %H:%M}{by}  {event_sentence(entry.event)}{out}")
    for caution in kept.damage:
        click.echo(f"{caution_message(caution)} {caution_remedy(caution)}", err=True)
