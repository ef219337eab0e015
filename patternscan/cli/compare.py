"""``patternscan compare``: two states of one machine."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from patternscan.cli.options import PATH, output_options
from patternscan.cli.show import Delivery, comparison_files, hand_over


@click.command(short_help="Compare two judgements, before and after a move.")
@click.argument("before", type=PATH)
@click.argument("after", type=PATH)
@output_options
def compare(before: Path, after: Path, as_json: bool, folder: Path | None, overwrite: bool) -> None:
    """Compare two results written by 'judge --json': BEFORE and AFTER a move of the wheel.

    Example: patternscan compare before/judgement.json after/judgement.json
    """
    from patternscan.judging.change import compare_states
    from patternscan.reporting.report import change_report
    from patternscan.reporting.result import comparison_document, read_judgement

    change = compare_states(read_judgement(before), read_judgement(after))
    document, report = comparison_document(change), partial(change_report, change)
    if folder is not None:
        Delivery(overwrite, (before, after)).write(comparison_files(folder, document, report()))
    hand_over(document, report, as_json)
