"""``patternscan read`` and ``judge`` over many photos: a folder, or a list of photos."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from patternscan.cli.options.shared import OutputOptions
from patternscan.errors import WrongUse
from patternscan.frame import Made
from patternscan.reporting.documents.parts import encode
from patternscan.reporting.text.reports.batch import batch_report, finished_line, unused_line
from patternscan.workflow import batch
from patternscan.workflow.batch.request import BatchRequest

OUTLINES_BESIDE = (
    "Lay the outline file beside its photo under the name of the photo (left.outline.json beside left.jpg): it is "
    "taken from there."
)


def refuse_beside_folder(given: Mapping[str, object]) -> None:
    """Raise WrongUse for what is given of a single photo, by its option, beside a folder or list of photos."""
    for name, value in given.items():
        if value:
            remedy = OUTLINES_BESIDE if name.endswith("-outline") else "Leave it out, or name the photos one by one."
            raise WrongUse(f"{name} does not go together with a folder or list of photos.", remedy)


def opened(request: BatchRequest) -> batch.run.Batch:
    """The photos that were found; says so when a list of them was written."""
    found = batch.run.open_batch(request)
    if found.starting_list is not None:
        click.echo(
            f"Written: {found.starting_list}, a list of the photos that you may fill in and give instead of the folder",
            err=True,
        )
    if found.unused_sheets:
        click.echo(unused_line(found.unused_sheets), err=True)
    return found


def tell(done: int, number: int, title: str, result: batch.task.TaskResult) -> None:
    """One line about what is finished, on standard error."""
    click.echo(f"[{done}/{number}] {finished_line(title, result.stop, result.machine, result.reused)}", err=True)


def finish(result: batch.run.BatchResult, output: OutputOptions) -> None:
    """Say what came of all. Ends with the first stop's code when nothing could be done."""
    click.echo(f"Took {result.seconds:.1f} s, {result.workers} at the same time.", err=True)
    tables, folder, summary = result.tables, output.folder or Path(), batch.summary
    if output.as_json:
        click.echo(encode(summary.summary_document(tables, Made.now())), nl=False)
    else:
        click.echo(
            batch_report(tables[summary.SUMMARY], tables.get(summary.MACHINES), [folder / name for name in tables])
        )
    if result.first_stop:
        click.get_current_context().exit(result.first_stop)
