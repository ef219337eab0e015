"""``patternscan record``: the whole setting job on paper."""

from __future__ import annotations

from pathlib import Path

import click

from patternscan.cli.keep_pattern import PATTERNS
from patternscan.cli.options import PATH
from patternscan.errors import WrongUse


@click.command(short_help="Write the record of a setting job, as a page and as a PDF.")
@click.argument("job", type=PATH, default=Path())
@click.option("--out", type=PATH, required=True, help="The page to write, one HTML file.")
@click.option("--pdf", type=PATH, help="Also write the record as a PDF that prints on A4 and Letter.")
@click.option("--overwrite", is_flag=True, help="Replace files that are already there.")
def record(job: Path, out: Path, pdf: Path | None, overwrite: bool) -> None:
    """Write down the job in the folder JOB (where you are, if not given): machine, as found, trials, as left, log.

    Example: patternscan record north_lift --out north_lift.html --pdf north_lift.pdf

    It can be written at any time; a job that is not finished says so on top.
    """
    from patternscan.cli.show import Delivery
    from patternscan.reporting.job.page import job_page
    from patternscan.reporting.job.record import gather_record
    from patternscan.setting.log.job_log import LOG_NAME, SHEET_NAME

    if pdf is not None and pdf.resolve() == out.resolve():
        raise WrongUse("Page and PDF have the same name.", "Give --pdf another name, ending in .pdf.")
    gathered = gather_record(job)
    files = {out: job_page(gathered).encode(errors="replace")}
    if pdf is not None:
        from patternscan.reporting.job.pdf import job_pdf

        files[pdf] = job_pdf(gathered)
    kept = (job / LOG_NAME, job / SHEET_NAME, *(job / PATTERNS).rglob("*"))
    Delivery(overwrite, kept).write(files)
