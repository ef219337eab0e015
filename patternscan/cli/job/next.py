"""``patternscan next``: what a setting job asks for now, and why."""

from __future__ import annotations

from pathlib import Path

import click

from patternscan.cli.group import SAFETY_HELP
from patternscan.cli.options.types import PATH
from patternscan.cli.show import hand_over
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.workflow.job.log import due_actions
from patternscan.workflow.outputs.due_actions import next_answer


@click.command(name="next", epilog=SAFETY_HELP)
@click.argument("job", type=PATH, default=Path())
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON and nothing else.")
def next_command(job: Path, as_json: bool) -> None:
    """Read the log of JOB, a folder (where you are, unless given), and say what must be done or read now, and why.

    Example: patternscan next north_lift
    """
    due = due_actions(job)
    for caution in due.damage:
        click.echo(f"{caution_message(caution)} {caution_remedy(caution)}", err=True)
    hand_over(next_answer(due), as_json)
