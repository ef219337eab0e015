"""What is handed over of a whole setting job: its record as a page and as a PDF."""

from __future__ import annotations

from pathlib import Path

from patternscan.errors import WrongUse
from patternscan.reporting.job.card import job_card
from patternscan.reporting.job.page import job_page
from patternscan.reporting.job.pdf import job_pdf
from patternscan.reporting.job.record import gather_record
from patternscan.setting.log.job_log import read_job
from patternscan.workflow.outputs.answer import Files


def card_file(job: Path, card: Path) -> Files:
    """The card of the job in a folder, to be filled in by hand. Raises WrongUse when there is no job."""
    return {card: job_card(read_job(job)[0])}


def record_files(job: Path, page: Path, pdf: Path | None = None) -> Files:
    """The record of the job in a folder. Raises WrongUse when there is no job, and for one name for both."""
    if pdf is not None and pdf.resolve() == page.resolve():
        raise WrongUse("Page and PDF have the same name.", "Give --pdf another name, ending in .pdf.")
    record = gather_record(job)
    files = {page: job_page(record).encode(errors="replace")}
    return files if pdf is None else files | {pdf: job_pdf(record)}
