"""Copies of photos that lie in a job's folder, and whether what their cameras wrote is still in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from patternscan.setting.log.events import Pattern
from patternscan.setting.log.job_log import read_log
from patternscan.workflow.job.photo_copy import without_origin

MOST_OF_ONE_NAME = 10


@dataclass(frozen=True, slots=True)
class HeldPhotos:
    """Copies by their place in the job: ``bare`` ones hold the picture alone, ``whole`` ones the whole file."""

    bare: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()


def held_photos(job: Path) -> HeldPhotos:
    """The copies that the entries of a job's log name and that are there. Raises WrongUse when there is no job."""
    bare: dict[str, bool] = {}
    for path in _copies(job):
        content = path.read_bytes()
        bare[path.resolve().relative_to(job.resolve()).as_posix()] = without_origin(content) == content
    return HeldPhotos(
        tuple(name for name, is_bare in bare.items() if is_bare),
        tuple(name for name, is_bare in bare.items() if not is_bare),
    )


def _copies(job: Path) -> Iterator[Path]:
    """Copies of one name carry a number before their ending; what a log names outside the job is passed over."""
    patterns = (entry.event for entry in read_log(job).entries if isinstance(entry.event, Pattern))
    for folder, link in ((event.folder, link) for event in patterns if event.folder for link in event.photos):
        name = Path(Path(link.name).name)
        numbered = (f"{name.stem}.{number}{name.suffix}" for number in range(2, MOST_OF_ONE_NAME))
        paths = (job / folder / one for one in (name.name, *numbered))
        yield from (path for path in paths if path.is_file() and path.resolve().is_relative_to(job.resolve()))
