"""What a command hands over: the result on standard output, files in a folder, talk on standard error."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import click

from patternscan.errors import WrongUse
from patternscan.plain_text import printable
from patternscan.workflow import disk
from patternscan.workflow.outputs.answer import Answer, Files, superseded

FEW = 2
"""So many files are named one by one, pages first; of the rest only the number, so that the answer stays in view."""


def write(files: Files, overwrite: bool, originals: Sequence[Path] = ()) -> None:
    """Write all files, or none, and say on standard error where they are; ``originals`` are never written over."""
    if not files:
        return
    written = disk.delivery.deliver(files, overwrite, originals, superseded(files))
    for path in sorted(written, key=lambda one: one.suffix != ".html")[:FEW]:
        say(f"Written: {path}")
    if len(written) > FEW:
        say(f"and {len(written) - FEW} more beside it.")


def refuse_other_ending(path: Path, ending: str) -> None:
    """Raise WrongUse for a name with an ending by which no program would open what is written."""
    if path.suffix.casefold() != ending:
        raise WrongUse(f"The name {path} does not end in {ending}.", f"Give a name such as {path.stem}{ending}.")


def say(words: str) -> None:
    """Tell a person something beside the result: one line on standard error."""
    click.echo(printable(words), err=True)


def hand_over(answer: Answer, as_json: bool, *, full: bool = False) -> None:
    """Print the result on standard output: what is short of it, the whole report, or the JSON document alone."""
    if as_json:
        click.echo(answer.json, nl=False)
    else:
        click.echo((not full and answer.brief) or answer.report, nl=full or not answer.brief)


@contextmanager
def progress(words: str) -> Iterator[Callable[[float], None]]:
    """Show how much of a longer job is done, on standard error, when a person is looking there."""
    looking, told = sys.stderr.isatty(), False

    def done(part: float) -> None:
        nonlocal told
        if looking:
            click.echo(f"\r{words}: {part * 100:3.0f} %", err=True, nl=False)
            told = True

    try:
        yield done
    finally:
        if told:
            click.echo(err=True)
