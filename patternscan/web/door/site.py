"""The folder that is served: its machines, the readings under way, and who works and keeps the door."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from flask import current_app

from patternscan.errors import PatternscanError, WrongUse
from patternscan.plain_text import one_line
from patternscan.setting.log.job_log import LOG_NAME
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.web.door.code import Doorkeeper
from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.store import DraftStore
from patternscan.web.work.looking import MOST_MEGAPIXELS
from patternscan.web.work.pool import Pool
from patternscan.workflow.inputs.settings import SettingsRequest
from patternscan.workflow.job.folder import job_sheet_path, start_job

READINGS = "readings"
LONGEST_NAME = 80
EXTENSION = "patternscan"


class NoSuchMachine(WrongUse):
    """There is no machine of this name."""

    def __init__(self) -> None:
        super().__init__("There is no such machine here.", "Go back to the first page and choose one.")


@dataclass(frozen=True, slots=True)
class Machine:
    """A machine by the name of its folder, and as people call it."""

    folder: str
    name: str
    changed_at: float


@dataclass(frozen=True, slots=True)
class Site:
    """All that a request may need. Every path starts in ``folder`` and is found by looking, never put together.

    ``proof`` is the file of a kept proof, which makes ranges wider.
    """

    folder: Path
    doorkeeper: Doorkeeper
    pool: Pool
    proof: Path | None = None

    @property
    def drafts(self) -> DraftStore:
        """The readings under way and those that are done."""
        return DraftStore(self.folder / READINGS)

    def machines(self) -> Sequence[Machine]:
        """Every machine with a job in the folder, the one with the latest entry first."""
        return sorted(map(_machine, self._jobs().values()), key=lambda one: -one.changed_at)

    def job(self, machine: str) -> Path:
        """The folder of a machine's job. Raises NoSuchMachine."""
        job = self._jobs().get(machine)
        if job is None:
            raise NoSuchMachine
        return job

    def new_machine(self, name: str) -> str:
        """Begin the job of a new machine; gives the name of its folder. Raises WrongUse, CannotWrite."""
        words = one_line(name)
        if not words or len(words) > LONGEST_NAME:
            raise WrongUse("The machine has no name, or a very long one.", f"Write up to {LONGEST_NAME} letters.")
        folder = _folder_name(words)
        start_job(self.folder / folder, words)
        return folder

    def settings(self, draft: Draft) -> SettingsRequest:
        """How the photos of a draft are to be read. Raises NoSuchMachine."""
        sheet = None if draft.machine is None else job_sheet_path(self.job(draft.machine))
        return SettingsRequest(
            draft.marking,
            sheet=sheet if sheet is not None and sheet.exists() else None,
            max_megapixels=MOST_MEGAPIXELS,
            proof=self.proof,
            told=draft.told,
        )

    def _jobs(self) -> dict[str, Path]:
        return {one.name: one for one in self.folder.iterdir() if not one.is_symlink() and (one / LOG_NAME).is_file()}


def site() -> Site:
    """The site of the application that answers now."""
    found: Site = current_app.extensions[EXTENSION]
    return found


def sheet_of(job: Path) -> Sheet:
    """The machine sheet; an empty one where it is missing or faulty, for a list must not stop at one machine."""
    try:
        return read_sheet(job_sheet_path(job))
    except PatternscanError:
        return Sheet()


def _machine(job: Path) -> Machine:
    return Machine(job.name, sheet_of(job).machine or one_line(job.name), (job / LOG_NAME).stat().st_mtime)


def _folder_name(words: str) -> str:
    """A name that every disk takes; machines whose names differ get different ones."""
    plain = re.sub(r"[^a-z0-9]+", "_", words.casefold()).strip("_")[:40]
    if plain == words.casefold().replace(" ", "_") and plain != READINGS:
        return plain
    return f"{plain or 'machine'}_{hashlib.sha256(words.encode()).hexdigest()[:6]}"
