"""``patternscan log judgement``: a judgement made elsewhere, put into a job."""

from __future__ import annotations

from pathlib import Path

import click

from patternscan.cli.options.job import OccasionOptions, due_now, effects_lines
from patternscan.cli.options.records import takes
from patternscan.cli.options.types import PATH
from patternscan.reporting.text.job.events import event_sentence
from patternscan.workflow.job.pattern import PatternRequest, keep_judgement


@click.command(short_help="A judgement made elsewhere.")
@click.argument("path", type=PATH, metavar="FILE")
@takes(OccasionOptions, "kept")
def judgement(path: Path, kept: OccasionOptions) -> None:
    """A judgement made elsewhere: FILE or the folder that 'judge --out' wrote, checked like one made here.

    Example: patternscan log judgement from_office/judgement.json
    """
    result = keep_judgement(PatternRequest(kept.job, kept.occasion, by=kept.by), path)
    click.echo(f"Entry {result.entry.number}: {event_sentence(result.entry.event)}")
    click.echo("\n".join([*effects_lines(result.effects), due_now(kept.job)]))
