"""A judgement that lies in a job as one of its patterns, and whether it still counts there."""

from __future__ import annotations

from pathlib import Path

from patternscan.judging.states.judged_state import GoneEntry
from patternscan.setting.log.entries import gone_entry
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.job_log import LOG_NAME, PATTERNS, read_log


def gone_pattern(path: Path) -> GoneEntry | None:
    """How the pattern whose judgement this file is no longer counts in its job; None where it does, and outside a job.

    Raises WrongUse for a job whose log cannot be read.
    """
    folder = path.resolve().parent
    job = folder.parent.parent
    if folder.parent.name != PATTERNS or not (job / LOG_NAME).is_file():
        return None
    entries, name = read_log(job).entries, f"{PATTERNS}/{folder.name}"
    numbers = [one.number for one in entries if isinstance(one.event, Pattern) and one.event.folder == name]
    return gone_entry(numbers[-1], entries) if numbers else None
