"""A judgement kept in a job: its pictures in the job's folder, its numbers and photo digests in the log."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan import __version__
from patternscan.cli.job_options import due_now
from patternscan.cli.options import PATH, several
from patternscan.errors import CannotWrite, WrongUse

if TYPE_CHECKING:
    from patternscan.judging.comparison import PooledFlank
    from patternscan.judging.judgement import Judgement
    from patternscan.setting.log.events import FlankPrint, Occasion, Pattern, PhotoLink

PATTERNS = "patterns"
Files = dict[Path, bytes]

keep_options: Callable[[Any], Any] = several(
    click.option("--job", type=PATH, help="Keep the judgement in the log of the job in this folder, and take its "
                                          "machine sheet."),
    click.option("--occasion", type=click.Choice(["trial", "as-found", "maker"]), default="trial", show_default=True,
                 help="With --job: a trial of this job, the old wheel as found, or the maker's own pattern."),
    click.option("--copy-photos", is_flag=True, help="With --job: also copy the photos into the job's folder."),
    click.option("--by", metavar="NAME", help="With --job: who took the pattern."),
)  # fmt: skip


def job_sheet(options: dict[str, Any], many: bool) -> Path | None:
    """The machine sheet to judge by: that of the job when one is named. Raises WrongUse when there are two.

    ``many``: whether whole folders are judged; these are of several machines and belong to no job.
    """
    given: Path | None = options["sheet_path"]
    if many and options["job"] is not None:
        raise WrongUse("A job takes one pattern at a time, not a folder.", "Give the photos with --left and --right.")
    if options["job"] is None:
        if options["copy_photos"] or options["by"] or options["occasion"] != "trial":
            raise WrongUse("--occasion, --copy-photos and --by belong to a job.", "Name its folder with --job.")
        return given
    if given is not None:
        raise WrongUse("Both a job and a machine sheet are given.", "Leave --sheet out: the job has its own.")

    from patternscan.setting.log.job_log import SHEET_NAME, read_job

    read_job(options["job"])
    path: Path = options["job"] / SHEET_NAME
    return path if path.exists() else None


def keep_pattern(
    options: dict[str, Any], judgement: Judgement, files: Callable[[Path], Files], photos: Sequence[Path]
) -> None:
    """Write the judgement's files into the job's folder, then its entry into the log; says on standard error so."""
    from patternscan.reporting.documents.delivery import deliver
    from patternscan.setting.log.event_words import event_words
    from patternscan.setting.log.events import Occasion
    from patternscan.setting.log.job_log import append_entry

    job: Path = options["job"]
    folder = _fresh_folder(job / PATTERNS)
    copies = {folder / name: path.read_bytes() for name, path in _names(photos).items()}
    try:
        deliver(files(folder) | (copies if options["copy_photos"] else {}), False, photos)
    except BaseException:
        with suppress(OSError):
            folder.rmdir()
        raise
    event = pattern_event(judgement, Occasion(options["occasion"]), folder.relative_to(job).as_posix())
    entry = append_entry(job, event, options["by"])
    click.echo(f"Entry {entry.number}: {event_words(event)} Pictures: {folder}", err=True)


def leave_amount_to_job(options: dict[str, Any], judgement: Judgement) -> Judgement:
    """The judgement without an amount of shims when a job's own trials tell how much; else as it is."""
    if options["job"] is None or (options["occasion"] == "trial" and not _tried(options["job"])):
        return judgement
    advice = judgement.advice
    return replace(judgement, advice=replace(advice, shims=replace(advice.shims, amount_mm=None)))


def _tried(job: Path) -> bool:
    """Whether the job holds a trial to learn from."""
    from patternscan.setting.log.job_log import read_job
    from patternscan.setting.state.job_state import job_state

    sheet, log = read_job(job)
    return bool(job_state(log.entries, sheet).learning_trials)


def tell_next(options: dict[str, Any]) -> None:
    """Last of all, and on standard error, what the job asks for now; nothing without a job."""
    if options["job"] is not None:
        click.echo(due_now(options["job"]), err=True)


def pattern_event(judgement: Judgement, occasion: Occasion, folder: str) -> Pattern:
    """The event of a judgement whose files lie in ``folder``."""
    from patternscan.setting.log.events import Pattern

    comparison = judgement.comparison
    readings = (*judgement.left, *judgement.right)
    return Pattern(
        occasion=occasion,
        move=judgement.advice.move,
        step_mm=judgement.advice.shims.amount_mm,
        shared=comparison.shared,
        opposed=comparison.opposed,
        left=_print(comparison.left),
        right=_print(comparison.right),
        target=comparison.target,
        marking=readings[0].contact_map.marking,
        compounds=tuple(sorted({reading.contact_map.compound for reading in readings})),
        film=judgement.film,
        grave=tuple(caution.message for caution in judgement.cautions if caution.grave),
        photos=_links(judgement),
        folder=folder,
        tool=f"patternscan {__version__}",
    )


def _print(pooled: PooledFlank | None) -> FlankPrint | None:
    from patternscan.setting.log.events import FlankPrint

    if pooled is None:
        return None
    return FlankPrint(pooled.teeth, pooled.along, pooled.up, pooled.coverage, pooled.length, pooled.height)


def _links(judgement: Judgement) -> tuple[PhotoLink, ...]:
    """Every photo once, in the order given."""
    from patternscan.setting.log.events import PhotoLink

    photos = [reading.photo for reading in (*judgement.left, *judgement.right)]
    return tuple(dict.fromkeys(PhotoLink(photo.name, photo.sha256 or "") for photo in photos))


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
        raise CannotWrite(f"{patterns} cannot be written: {error.strerror or error}.", "Make room.") from error
    raise CannotWrite(f"{patterns} is full.", "Begin a new job.")


def _names(photos: Sequence[Path]) -> dict[str, Path]:
    """File names for copies of the photos, each photo once; those of equal name get a number."""
    names: dict[str, Path] = {}
    for photo in dict.fromkeys(photos):
        tried = (photo.name, *(f"{photo.stem}.{number}{photo.suffix}" for number in range(2, len(photos) + 2)))
        names[next(name for name in tried if name not in names)] = photo
    return names
