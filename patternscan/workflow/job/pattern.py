"""The patterns of a setting job: a judgement with its files put into the job's folder, then into its log."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from enum import Enum
from pathlib import Path

from msgspec import structs

from patternscan.errors import CannotWrite, InconsistentInputs, WrongUse
from patternscan.frame import Made
from patternscan.judging.judgement import Judgement
from patternscan.judging.states.comparability import refuse_strangers
from patternscan.judging.states.judged_state import Identity, JudgedState
from patternscan.reporting.documents.judgement import JudgementDocument, judgement_document
from patternscan.reporting.kept.files import own_files
from patternscan.reporting.kept.judgement import JUDGEMENT_NAME, judgement_path, read_document
from patternscan.setting.log.entries import Entry, fallen_references, kept_entries, struck_entries
from patternscan.setting.log.events import Closed, Pattern
from patternscan.setting.log.job_log import PATTERNS, Log, append_entry, read_job, read_log
from patternscan.setting.log.words import Occasion
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.effects import Line, effects_of
from patternscan.setting.state.checks import CHANGES
from patternscan.setting.state.job_state import job_state
from patternscan.setting.state.trial_readings import repeated
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.job.folder import folders_without_entry
from patternscan.workflow.job.pattern_event import JUDGE_AGAIN, pattern_event
from patternscan.workflow.job.photo_copy import without_origin

FilesOf = Callable[[Path, Mapping[str, bytes]], Mapping[Path, bytes]]
"""Gives the files of a judgement for a folder and copies of photos, by their names, that are to lie there too."""


class Copies(Enum):
    """Whether photos are copied into the job: not, the picture without its origin, or the whole file."""

    NONE = 0
    PICTURE = 1
    WHOLE = 2


@dataclass(frozen=True, slots=True)
class PatternRequest:
    """A judgement for the log of the job in a folder, and whether the photos are kept beside its files."""

    job: Path
    occasion: Occasion = Occasion.TRIAL
    copies: Copies = Copies.NONE
    by: str | None = None


@dataclass(frozen=True, slots=True)
class PatternResult:
    """The entry of a judgement, what it brings about, line by line, and the folder with its files; ``bare_copies`` of
    photos hold the picture alone, ``whole_copies`` keep what they carry.
    """

    entry: Entry
    effects: tuple[Line, ...]
    folder: Path
    bare_copies: tuple[str, ...] = ()
    whole_copies: tuple[str, ...] = ()


def log_judgement(
    request: PatternRequest, judgement: Judgement, files: FilesOf, photos: Sequence[Path]
) -> PatternResult:
    """Write a judgement's files into a new folder of the job, then its entry into the log.

    ``files`` gives them for a folder. Raises CannotWrite, InconsistentInputs for photos of before a change, and then
    leaves nothing behind. A run that is killed leaves at most a folder that no entry names, of which the job tells.
    """
    copied = {} if request.copies is Copies.NONE else _names(photos)
    with _own_folder(request.job) as folder:
        event = pattern_event(judgement_document(judgement, Made.now(request.by)), request.occasion, _inside(folder))
        whole = {name: path.read_bytes() for name, path in copied.items()}
        stripped = {name: without_origin(one) for name, one in whole.items() if request.copies is Copies.PICTURE}
        bare = {name: copy for name, copy in stripped.items() if copy is not None}
        deliver(files(folder, whole | bare), False, photos)
        entry = append_entry(request.job, event, request.by, guard=lambda now: _refuse_old_photos(event, now))
        left_whole = tuple(name for name in whole if name not in bare)
        return PatternResult(entry, _effects(request.job), folder, tuple(bare), left_whole)


def keep_judgement(request: PatternRequest, path: Path) -> PatternResult:
    """Put a judgement that was made elsewhere, with the files that are its own, into the job and its log.

    Raises WrongUse for no judgement or one that is in the log, InconsistentInputs for one of another machine, wheel or
    way of marking, for photos of before a change and for a trial that was judged before it, CannotWrite; nothing is
    left behind then.
    """
    document, state = read_document(path)
    sheet, log = read_job(request.job)
    _refuse_foreign(document, state, sheet)
    if job_state(log.entries, sheet).tried:
        document = structs.replace(
            document, advice=structs.replace(document.advice, shims=replace(document.advice.shims, amount_mm=None))
        )
    own = (judgement_path(path), *own_files(judgement_path(path)))
    with _own_folder(request.job) as folder:
        event = pattern_event(document, request.occasion, _inside(folder))
        names = (JUDGEMENT_NAME, *(one.name for one in own[1:]))
        deliver({folder / name: one.read_bytes() for name, one in zip(names, own, strict=True)}, False, own)
        entry = append_entry(request.job, event, request.by, guard=lambda now: _refuse_late(event, state.made_at, now))
        return PatternResult(entry, _effects(request.job), folder)


def kept_as(request: PatternRequest, path: Path) -> Entry | None:
    """The entry that counts and holds this very reading for this occasion; None where there is none.

    Another reading of the same photos, or for another occasion, is not the one that is kept; nor is a trial that was
    read again after a change.
    """
    document, state = read_document(path)
    readings = (*document.left, *document.right)
    if not readings:
        return None
    event = _read_alone(pattern_event(document, request.occasion, ""))
    kept = kept_entries(read_log(request.job).entries)
    same = (one for one in kept if isinstance(one.event, Pattern) and _read_alone(one.event) == event)
    entry = max(same, key=lambda one: one.number, default=None)
    return None if entry is None or _read_again(event, state.made_at, entry, kept) else entry


def _read_again(event: Pattern, made_at: datetime | None, entry: Entry, kept: Sequence[Entry]) -> bool:
    """Whether a trial that an entry holds was judged once more after something was changed."""
    changed = [one.at for one in kept if one.number > entry.number and isinstance(one.event, (*CHANGES, Closed))]
    return event.occasion is Occasion.TRIAL and made_at is not None and any(made_at >= at for at in changed)


def _read_alone(event: Pattern) -> Pattern:
    """What was read, without where it lies, by which version, and how much to move by what the job had taught."""
    return structs.replace(event, folder=None, tool="", step_mm=None)


def _refuse_foreign(document: JudgementDocument, state: JudgedState, sheet: Sheet) -> None:
    gear = {name: value for name, value in asdict(sheet.gear).items() if value is not None}
    refuse_strangers(Identity(sheet.machine, gear, frozenset(), frozenset()), state.identity)
    if state.marking is None:
        raise InconsistentInputs("The judgement holds no reading of a flank.", JUDGE_AGAIN)
    if sheet.marking not in (None, state.marking):
        raise InconsistentInputs(
            f"The judgement was made for {state.marking} marking, the job's sheet says {sheet.marking}.",
            "Ask how the teeth were marked; then correct the sheet, or judge the photos again.",
        )
    if state.target != sheet.target and document.target.reference is None:
        raise InconsistentInputs(
            "The judgement was made against another place of the pattern than the job's sheet gives under [target].",
            "Judge the photos again with this job's sheet.",
        )


def _refuse_twice(event: Pattern, log: Log) -> None:
    _refuse_old_photos(event, log)
    fallen = fallen_references(log.entries)
    for entry in kept_entries(log.entries):
        if isinstance(entry.event, Pattern) and entry.event.photos == event.photos and entry.number not in fallen:
            raise WrongUse(
                f"A judgement of these photos is in the log already, as entry {entry.number}.",
                "Leave it; or strike that entry first, if this one is to stand in its place.",
            )


def _refuse_late(event: Pattern, made_at: datetime | None, log: Log) -> None:
    """Raise for what is in the log, and InconsistentInputs for a trial that was judged before the last change."""
    _refuse_twice(event, log)
    changes = [one for one in kept_entries(log.entries) if isinstance(one.event, (*CHANGES, Closed))]
    if event.occasion is not Occasion.TRIAL or made_at is None or not changes or made_at >= changes[-1].at:
        return
    raise InconsistentInputs(
        f"These photos were judged on {made_at.astimezone():%Y-%m-%d at %H:%M}, before what entry {changes[-1].number} "
        "tells was changed on the machine.",
        "For the pattern of after the change blue the teeth again, or judge again what was photographed after it. For "
        "that of before it strike what was changed since, put this into the log, and note the changes again.",
    )


def _refuse_old_photos(event: Pattern, log: Log) -> None:
    """Raise InconsistentInputs for a trial with a photo of an earlier pattern, when something was changed since."""
    struck = struck_entries(log.entries)
    before = [one for one in log.entries if one.number not in struck]
    earlier = repeated(event, before) if event.occasion is Occasion.TRIAL else None
    if earlier is not None:
        raise InconsistentInputs(
            f"A photo of this pattern was judged before, as entry {earlier.number}, and since then something was "
            "changed on the machine.",
            "Blue the teeth again, and give the photos taken after the change.",
        )


def _effects(job: Path) -> tuple[Line, ...]:
    """What the last entry brings about."""
    sheet, log = read_job(job)
    return effects_of(log.entries, sheet)


def _inside(folder: Path) -> str:
    """The folder as an entry names it."""
    return f"{PATTERNS}/{folder.name}"


@contextmanager
def _own_folder(job: Path) -> Iterator[Path]:
    """A new folder for a pattern, gone again when no entry came to name it."""
    folder = _fresh_folder(job / PATTERNS)
    try:
        yield folder
    except BaseException:
        if _inside(folder) in folders_without_entry(job, read_log(job)):
            shutil.rmtree(folder, ignore_errors=True)
            with suppress(OSError):
                folder.parent.rmdir()
        raise


def _fresh_folder(patterns: Path) -> Path:
    """A new folder with the next free number; two who judge at once get two. Raises CannotWrite."""
    try:
        patterns.mkdir(exist_ok=True)
        for number in range(1, 10000):
            folder = patterns / f"{number:02d}"
            try:
                folder.mkdir()
            except FileExistsError:
                continue
            return folder
    except OSError as error:
        raise CannotWrite(
            f"{patterns} cannot be written: {error.strerror or error}.", "Make room, and see that you may write there."
        ) from error
    raise CannotWrite(f"{patterns} is full.", "Begin a new job.")


def _names(photos: Sequence[Path]) -> dict[str, Path]:
    """File names for copies of the photos, each photo once; those of equal name get a number."""
    names: dict[str, Path] = {}
    for photo in dict.fromkeys(photos):
        tried = (photo.name, *(f"{photo.stem}.{number}{photo.suffix}" for number in range(2, len(photos) + 2)))
        used = {name.casefold() for name in names}
        names[next(name for name in tried if name.casefold() not in used)] = photo
    return names
