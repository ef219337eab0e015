"""The answer to a draft: judged as on the command line, its files laid down, and kept in the machine's job."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import msgspec

from patternscan.errors import PatternscanError
from patternscan.judging.states.judged_state import GoneEntry
from patternscan.reporting.job.charts import shift_charts
from patternscan.reporting.job.record import gather_record
from patternscan.reporting.pages.comparison_page import comparison_content
from patternscan.reporting.pages.judgement_page import judgement_content
from patternscan.reporting.pictures.charts import chart_svg
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.setting.log.words import Occasion
from patternscan.web.drafts.draft import Draft, DraftPhoto
from patternscan.web.drafts.look import Said
from patternscan.web.drafts.progress import Stage, telling
from patternscan.web.drafts.store import DraftFolder, keep
from patternscan.workflow.compare import CompareRequest, compare_results
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import SettingsRequest, load_settings
from patternscan.workflow.inputs.shown_flank import as_flank
from patternscan.workflow.job.log import tells_amount
from patternscan.workflow.job.pattern import PatternRequest, keep_judgement, kept_as
from patternscan.workflow.job.photo_copy import without_origin
from patternscan.workflow.judge import JudgeRequest, judge_photos
from patternscan.workflow.outputs.judgement import judgement_answer, judgement_files
from patternscan.workflow.outputs.record import record_files

Gone = tuple[GoneEntry | None, GoneEntry | None]
READ, JUDGED = 0.25, 0.35
"""At least these parts of the time of an answer have gone when the photos are read, and when all is judged: 0.34 to
0.46 without gear data, 0.55 to 0.87 with them (``served.py stages dev --only "dev_job001 before"``, two machines)."""
SCREEN_NAME = "screen.json"
"""What the answer's page says, for a frame with buttons round it."""


def answer_draft(folder: DraftFolder, draft: Draft, settings: SettingsRequest, job: Path | None) -> None:
    """Judge the draft's photos and lay the answer down, or the two sentences of the stop."""
    tell = telling(folder.answer_progress(draft))
    tell(Stage.MEASURING, 0.0)
    try:
        result = judge_photos(
            _request(folder, draft, settings, job), lambda part: tell(Stage.COMPARING, READ + (JUDGED - READ) * part)
        )
        tell(Stage.DRAWING, JUDGED)
        place = folder.answer_path(draft)
        page = judgement_content(result.judgement, result.made, touched_by=draft.by)
        screen = {place / SCREEN_NAME: msgspec.json.encode(page)}
        files = judgement_files(place, _copies(folder, draft), result, judgement_answer(result), page)
        deliver(screen | files, overwrite=True)
    except PatternscanError as stop:
        keep(folder.path / f"answer_{draft.asked}.stop.json", Said.of(stop))


def keep_in_job(folder: DraftFolder, draft: Draft, job: Path, occasion: Occasion) -> int:
    """Put the answer as it is into the log of the machine's job, unless it is there already; gives the entry's number.

    Raises WrongUse where the same photos, read otherwise, are there, InconsistentInputs for an answer that does not
    belong there, CannotWrite.
    """
    request, answer = PatternRequest(job, occasion, by=draft.by), folder.answer_path(draft)
    entry = kept_as(request, answer) or keep_judgement(request, answer).entry
    folder.change(lambda now: replace(now, entry=entry.number))
    return entry.number


def _copies(folder: DraftFolder, draft: Draft) -> dict[str, bytes]:
    """The photos without what the camera wrote beside the picture; those of other formats are left out."""
    bare = {one.file_name: without_origin(folder.photo_path(one).read_bytes()) for one in draft.photos}
    return {name: content for name, content in bare.items() if content is not None}


def compare_drafts(before: DraftFolder, after: DraftFolder, name: str, gone: Gone) -> None:
    """Compare two answers; what the page says goes beside the later one, or the two sentences of the stop.

    ``gone``: how either no longer counts in its job.
    """
    target = after.path / name
    try:
        earlier, later = (one.answer_path(one.read()) for one in (before, after))
        result = compare_results(CompareRequest(earlier, later, gone=gone))
        keep(target, comparison_content(result.change, result.before, result.after, result.made, touched=True))
    except PatternscanError as stop:
        keep(target.with_suffix(".stop.json"), Said.of(stop))


def write_record(job: Path, folder: Path) -> None:
    """The record of a job as page and PDF, in place of older ones."""
    for older in folder.parent.glob(f"{job.name}@*"):
        shutil.rmtree(older, ignore_errors=True)
    charts = {folder / f"course_{n}.svg": chart_svg(one) for n, one in enumerate(shift_charts(gather_record(job)), 1)}
    deliver(charts | record_files(job, folder / "record.html", folder / "record.pdf"), overwrite=True)


def _request(folder: DraftFolder, draft: Draft, settings: SettingsRequest, job: Path | None) -> JudgeRequest:
    amount = job is None or not tells_amount(job, Occasion.TRIAL)
    photos = tuple(_input(folder, photo) for photo in draft.photos)
    return JudgeRequest(photos, load_settings(settings), amount=amount, by=draft.by)


def _input(folder: DraftFolder, photo: DraftPhoto) -> PhotoInput:
    """The photo with its outline as that of the flank which the touched A tells."""
    content = read_outline_file(folder.outline_path(photo))
    outlines = [as_flank(one, photo.flank) for one in content.outlines]
    path = folder.path / photo.made_of("judged.outline.json")
    replace_file(path, outline_file_bytes(outline_document(photo.file_name, outlines, content.picture)))
    return PhotoInput(folder.photo_path(photo), photo.flank, path, photo.tip)
