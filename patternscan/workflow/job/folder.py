"""The folder of a setting job: its sheet, its log, and the files of its judgements."""

from __future__ import annotations

from pathlib import Path

from patternscan.errors import WrongUse
from patternscan.plain_text import one_line
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.job_log import LOG_NAME, PATTERNS, SHEET_NAME, Log, read_job, start_log
from patternscan.setting.machine.sheet_file import blank_sheet, read_sheet
from patternscan.setting.machine.stock import Stock


def start_job(folder: Path, machine: str | None = None, sheet_path: Path | None = None) -> tuple[Path, ...]:
    """Begin a job with an empty log and a sheet: a copy of the one given, else one to fill in. Returns the files made.

    The machine goes by the folder's name unless named. Raises WrongUse, CannotWrite.
    """
    if sheet_path is None:
        return start_log(folder, blank_sheet(machine or one_line(folder.resolve().name) or "unnamed"))
    read_sheet(sheet_path)
    return start_log(folder, sheet_path.read_text(encoding="utf-8-sig"))


def job_sheet_path(job: Path) -> Path:
    """Where the machine sheet of a job lies."""
    return job / SHEET_NAME


def job_files(job: Path) -> tuple[Path, ...]:
    """Log, sheet, and the files of the judgements, which nothing is written over."""
    return (job / LOG_NAME, job / SHEET_NAME, *(job / PATTERNS).rglob("*"))


def stock_on_sheet(path: Path) -> Stock:
    """The shims on hand as a machine sheet names them. Raises WrongUse when it names none."""
    stock = read_sheet(path).shims.stock
    if not stock.kinds:
        raise WrongUse(f"{path.name} names no shims on hand.", "Write them as 'stock' under [shims], or give --stock.")
    return stock


def sheet_of(job: Path) -> Path | None:
    """The machine sheet of a job, None when it has none. Raises WrongUse when there is no job."""
    read_job(job)
    path = job / SHEET_NAME
    return path if path.exists() else None


def folders_without_entry(job: Path, log: Log) -> list[str]:
    """Folders of judgements that no entry names, as an entry would name them: their run was stopped, or still runs."""
    named = {entry.event.folder for entry in log.entries if isinstance(entry.event, Pattern)}
    found = (path.relative_to(job).as_posix() for path in sorted((job / PATTERNS).glob("*")) if path.is_dir())
    return [folder for folder in found if folder not in named]
