"""``patternscan record``: the whole setting job on paper."""

from __future__ import annotations

from pathlib import Path

import click

from patternscan.cli.options.types import PATH
from patternscan.cli.show import refuse_other_ending, say, write
from patternscan.errors import WrongUse
from patternscan.reporting.text.job.held import RECORD_HOLDS, folder_sentences
from patternscan.workflow.job.folder import job_files
from patternscan.workflow.job.held_photos import held_photos
from patternscan.workflow.outputs.record import card_file, record_files


@click.command()
@click.argument("job", type=PATH, default=Path())
@click.option("--out", type=PATH, help="The page to write, one HTML file.")
@click.option("--pdf", type=PATH, help="Also write the record as a PDF that prints on A4 and Letter.")
@click.option("--card", type=PATH, help="Write the job card instead: a PDF of A5 sheets, to be filled in by hand.")
@click.option("--overwrite", is_flag=True, help="Replace files that are already there.")
def record(job: Path, out: Path | None, pdf: Path | None, card: Path | None, overwrite: bool) -> None:
    """Write down the job in the folder JOB (where you are, if not given): machine, as found, trials, as left, log.

    Example: patternscan record north_lift --out north_lift.html --pdf north_lift.pdf

    It can be written at any time; a job that is not finished says so on top.
    """
    for path in (pdf, card):
        if path is not None and path != out:
            refuse_other_ending(path, ".pdf")
    if out is not None and out.suffix.casefold() == ".pdf":
        page = out.with_suffix(".html").name
        raise WrongUse(f"{out} would hold a page, not a PDF.", f"Give the PDF with --pdf, and --out {page} beside it.")
    if out is not None and out.suffix.casefold() != ".htm":
        refuse_other_ending(out, ".html")
    if card is not None:
        if out is not None or pdf is not None:
            raise WrongUse("Card and record are asked for at once.", "Give --card alone, or leave it out.")
        write(card_file(job, card), overwrite, job_files(job))
        return
    if out is None and pdf is not None:
        raise WrongUse("The PDF goes with the page, and no page is named.", "Give --out PAGE.html too.")
    if out is None:
        raise WrongUse("It is not said where the record is to go.", "Give --out PAGE.html, or --card CARD.pdf.")
    write(record_files(job, out, pdf), overwrite, job_files(job))
    held = held_photos(job)
    for line in (RECORD_HOLDS, *folder_sentences(held.bare, held.whole)):
        say(line)
