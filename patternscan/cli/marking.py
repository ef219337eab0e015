"""Where no outline can be trusted, the pages to mark it by hand are written at once."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from patternscan.errors import CannotWrite, NoTrustworthyOutline
from patternscan.reporting.text.answers.cure import by_hand
from patternscan.reporting.text.marking import mark_by_hand
from patternscan.workflow import disk
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import ReadingSettings
from patternscan.workflow.mark import MarkRequest, MarkResult, find_outline
from patternscan.workflow.outputs.answer import Files
from patternscan.workflow.outputs.outline import outline_files

if TYPE_CHECKING:
    from patternscan.judging.judgement import Judgement
    from patternscan.workflow.judge import JudgeRequest

NEW_FOLDER = "marking"
FOLDER_TO_MARK = "Give --out FOLDER for the page to mark it on, a place that you may write to."
OTHER_FOLDER_TO_MARK = "Give --out another folder, one that you may write to: the page to mark it on goes there."
"""What to do where that page cannot be written, without and with a folder that was given."""


@contextmanager
def pages_to_mark(
    photos: Sequence[PhotoInput], settings: ReadingSettings, out: Path | None, *, by_folder: bool = False
) -> Iterator[None]:
    """Run something with photos. When it stops for want of an outline, write the pages and name them in the stop.

    The page of an outline that was given and refused starts from it. They go into ``out``, without it into a new folder
    where the command runs. ``by_folder``: the photos' folder was given, not each photo.
    """
    try:
        yield
    except NoTrustworthyOutline as stop:
        wanting = [photo for photo in photos if photo.outline is None or photo.name in stop.found]
        found = [one for photo in wanting if (one := _start(photo, settings, stop)) is not None]
        if not found:
            raise
        pages = _pages(found, out, stop)
        tip_told = any(photo.tip is not None for photo in wanting)
        remedy = mark_by_hand(pages, stop.blame, tip_told=tip_told, by_folder=by_folder)
        raise NoTrustworthyOutline(stop.found, remedy) from stop


def pages_of_lacking(judgement: Judgement, request: JudgeRequest, out: Path | None) -> list[str]:
    """Write the pages for a flank that has no reading until it is marked by hand; gives what to do with them."""
    declined = by_hand(judgement)
    if not declined:
        return []
    refused, names = NoTrustworthyOutline("", "", declined[0].blame), {(one.flank, one.photo) for one in declined}
    wanted = [photo for photo in request.photos if (photo.flank, photo.name) in names]
    found = [one for photo in wanted if (one := _start(photo, request.settings, refused)) is not None]
    if not found:
        return []
    try:
        pages = _pages(found, out, refused)
    except (NoTrustworthyOutline, CannotWrite) as stop:
        return [f"{stop.found} {stop.remedy}".strip()]
    tip_told = any(photo.tip is not None for photo in wanted)
    return [mark_by_hand(pages, refused.blame, tip_told=tip_told, by_folder=request.by_folder)]


def _pages(found: Sequence[MarkResult], out: Path | None, stop: NoTrustworthyOutline) -> list[str]:
    """Write the pages and what belongs to them, unless they lie there already. Gives the pages.

    Raises CannotWrite for an ``out`` that cannot be written to, the stop with another way out where none was given.
    """
    files = _files_of(found)
    folder = next((one for one in _folders(out) if _serves(one, files)), out or Path())
    try:
        if not _holds(folder, files):
            disk.delivery.deliver({folder / name: content for name, content in files.items()}, overwrite=False)
    except CannotWrite as refused:
        if out is not None:
            raise CannotWrite(f"{stop.found} {refused.found}", OTHER_FOLDER_TO_MARK) from refused
        raise NoTrustworthyOutline(stop.found, f"{refused.found} {FOLDER_TO_MARK}") from refused
    return [str(folder / name) for name in files if name.suffix == ".html"]


def _files_of(found: Sequence[MarkResult]) -> Files:
    """The pages and what belongs to them; those of a photo whose name another has too lie in a folder of their own."""
    files: dict[Path, bytes] = {}
    for number, one in enumerate(found, 1):
        own = outline_files(Path(), one)
        files |= outline_files(Path(str(number)), one) if files.keys() & own.keys() else own
    return files


def _start(photo: PhotoInput, settings: ReadingSettings, refused: NoTrustworthyOutline) -> MarkResult | None:
    """Where marking by hand begins; None for an outline file that was given and cannot be used."""
    try:
        told = photo.told.over(settings.told)
        return find_outline(MarkRequest(photo, settings.max_megapixels, told=told, refused=refused))
    except NoTrustworthyOutline:
        return None


def _folders(out: Path | None) -> Iterator[Path]:
    """Where the pages may go: the folder for results, then new ones, in it or where the command runs."""
    if out is not None:
        yield out
    base = (out or Path()) / NEW_FOLDER
    yield base
    yield from (base.with_name(f"{NEW_FOLDER}_{number}") for number in range(2, 1000))


def _serves(folder: Path, files: Files) -> bool:
    """Whether these files may go there: nothing lies there yet, or they do, as an earlier run wrote them."""
    try:
        return not folder.exists() or not any(folder.iterdir()) or _holds(folder, files)
    except OSError:
        return False


def _holds(folder: Path, files: Files) -> bool:
    """Whether these very files lie in the folder, whatever a person laid beside them."""
    return all(os.path.isfile(folder / name) and (folder / name).read_bytes() == one for name, one in files.items())
