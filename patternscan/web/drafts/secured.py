"""The word that a machine is safe, in its log, once a day and person."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from patternscan.setting.log.events import Secured
from patternscan.setting.log.job_log import read_log
from patternscan.workflow.job.log import LogRequest, log_event


def note_secured(job: Path, by: str) -> None:
    """Put it into the log of the machine's job, unless the same person said it there today already."""
    today = datetime.now().astimezone().date()
    said = (one for one in read_log(job).entries if one.event == Secured(by) and one.at.astimezone().date() == today)
    if next(said, None) is None:
        log_event(LogRequest(job, Secured(by), by, sure=True))
