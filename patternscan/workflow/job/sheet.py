"""Filling in the machine sheet of a job, value by value, while others may do the same."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from filelock import FileLock

from patternscan.errors import InconsistentInputs
from patternscan.setting.machine.filled_sheet import Key, Written, with_values, written_values
from patternscan.setting.machine.sheet_file import blank_sheet, checked_sheet, sheet_content, sheet_text
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.job.folder import job_sheet_path

LOCK_NAME = ".sheet.lock"


@dataclass(frozen=True, slots=True)
class SheetChange:
    """Values for the sheet of a job (None takes one off), and what stood there when the person was asked."""

    job: Path
    values: Mapping[Key, Written | None]
    seen: Mapping[Key, Any]

    @property
    def news(self) -> Mapping[Key, Written | None]:
        """What differs from what the person saw."""
        return {key: value for key, value in self.values.items() if value != self.seen.get(key)}


def sheet_values(job: Path) -> Mapping[Key, Any]:
    """Every value on the sheet of a job, as it stands there. Raises WrongUse for a sheet that is no TOML file."""
    return written_values(_text(job))


def check_change(change: SheetChange) -> None:
    """Raise WrongUse for a change that makes the sheet contradict itself, InconsistentInputs for one that would
    overwrite what somebody else wrote meanwhile.
    """
    _changed(change)


def change_sheet(change: SheetChange) -> None:
    """Put the change onto the sheet, whole or not at all; comments stay. Raises what ``check_change`` does, and
    CannotWrite.
    """
    with FileLock(change.job / LOCK_NAME):
        replace_file(job_sheet_path(change.job), _changed(change).encode())


def _changed(change: SheetChange) -> str:
    text = _text(change.job)
    now = written_values(text)
    for key, value in change.news.items():
        if now.get(key) not in (change.seen.get(key), value):
            raise InconsistentInputs(
                f"Somebody else has meanwhile written {now.get(key, 'nothing')} for {'.'.join(key)}.",
                "Look at it again, and write what holds.",
            )
    changed = with_values(text, change.news)
    checked_sheet(tomllib.loads(changed), job_sheet_path(change.job).name)
    return changed


def _text(job: Path) -> str:
    """The text of the sheet; one to fill in where there is none."""
    path = job_sheet_path(job)
    if not path.exists():
        return blank_sheet(job.name)
    sheet_content(path)
    return sheet_text(path)
