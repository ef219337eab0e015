"""``patternscan next``: what a setting job asks for now, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from patternscan.cli.options import PATH
from patternscan.cli.show import hand_over

if TYPE_CHECKING:
    from patternscan.setting.rules.action import Action


@click.command(name="next", short_help="Say what a setting job asks for now, and why.")
@click.argument("job", type=PATH, default=Path())
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON and nothing else.")
def next_command(job: Path, as_json: bool) -> None:
    """Read the log of JOB, a folder (where you are, unless given), and say what must be done or read now, and why.

    Example: patternscan next north_lift
    """
    from dataclasses import asdict

    from patternscan.setting.log.job_log import read_job
    from patternscan.setting.rules.next_actions import next_actions
    from patternscan.setting.state.job_state import job_state

    sheet, log = read_job(job)
    actions = next_actions(job_state(log.entries, sheet), sheet)
    for caution in log.damage:
        click.echo(f"{caution.message} {caution.remedy}", err=True)
    document = {
        "format": "patternscan-next",
        "version": 1,
        "machine": sheet.machine,
        "steps": [_plain(action) for action in actions],
        "cautions": [asdict(caution) for caution in log.damage],
    }
    hand_over(document, partial(actions_text, actions), as_json)


def _plain(action: Action) -> dict[str, str]:
    return {"code": action.code, "need": action.priority, "words": action.words, "because": action.because}


def actions_text(actions: Sequence[Action]) -> str:
    """The actions as plain text: first what to do now and why, then the rest by kind, the caution last."""
    return "\n".join(_lines(actions))


def _lines(actions: Sequence[Action]) -> Iterator[str]:
    from patternscan.setting.rules.action import WORK, Priority

    first, *rest = actions
    yield first.words
    yield f"Why: {first.because}"
    for heading, needs in (
        ("Then:", WORK),
        ("Mind:", {Priority.WARNING}),
        ("Missing on the sheet:", {Priority.NO_LIMIT}),
        ("In order:", {Priority.MET}),
    ):
        listed = [action.words for action in rest if action.priority in needs]
        if listed:
            yield from ("", heading, *(f"- {words}" for words in listed))
    yield from ("", *(action.words for action in rest if action.priority is Priority.CAUTION))
