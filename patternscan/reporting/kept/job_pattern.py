"""A judgement that lies in a job as one of its patterns: whether it still counts there, and what it still asks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from patternscan.judging.states.judged_state import JudgedState
from patternscan.setting.log.entries import fallen_references, gone_entry, kept_entries
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.job_log import LOG_NAME, PATTERNS, read_log
from patternscan.setting.state.open_questions import answers_about


def as_in_job(state: JudgedState, path: Path) -> JudgedState:
    """The state with what its job tells of it, where its file is that of a job's pattern; else the same.

    What was answered there is asked no more. Raises WrongUse for a job whose log cannot be read.
    """
    folder = path.resolve().parent
    job = folder.parent.parent
    if folder.parent.name != PATTERNS or not (job / LOG_NAME).is_file():
        return state
    entries, name = read_log(job).entries, f"{PATTERNS}/{folder.name}"
    named = [one for one in entries if isinstance(one.event, Pattern) and one.event.folder == name]
    if not named:
        return state
    number, answered = named[-1].number, answers_about(named[-1], kept_entries(entries))
    asked = tuple(one for one in state.asked if one.code not in answered)
    reference = fallen_references(entries).get(number)
    held = None if reference is None else gone_entry(reference, entries)
    return replace(state, gone=gone_entry(number, entries), reference_gone=held, asked=asked)
