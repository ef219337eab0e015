"""The answer to a draft: judged as on the command line, its files laid down, and kept in the machine's job."""

from __future__ import annotations

import shutil
from dataclasses import replace
from functools import partial
from pathlib import Path

import msgspec

from patternscan.errors import PatternscanError
from patternscan.reporting.job.charts import shift_charts
from patternscan.reporting.job.record import gather_record
from patternscan.reporting.pages.comparison_page import comparison_content
from patternscan.reporting.pages.judgement_page import judgement_content
from patternscan.reporting.pictures.charts import chart_svg
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.setting.log.events import Event, Pattern
from patternscan.setting.log.job_log import read_log
from patternscan.setting.log.words import Occasion
from patternscan.web.drafts.draft import Draft, DraftPhoto
from patternscan.web.drafts.look import Said
from patternscan.web.drafts.store import DraftFolder, keep
from patternscan.web.work.looking import MOST_MEGAPIXELS
from patternscan.workflow.compare import CompareRequest, compare_results
from patternscan.workflow.delivery import deliver
from patternscan.workflow.end_a import as_flank
from patternscan.workflow.inputs import PhotoInput, SettingsRequest, load_settings
from patternscan.workflow.job import job_sheet_path, tells_amount
from patternscan.workflow.job_pattern import Copies, PatternRequest, log_judgement
from patternscan.workflow.judge import JudgeRequest, JudgeResult, judge_photos
from patternscan.workflow.one_file import replace_file
from patternscan.workflow.outputs.judgement import judgement_answer, judgement_files
from patternscan.workflow.outputs.record import record_files

SCREEN_NAME = "screen.json"
"""What the answer's page says, for a frame with buttons round it."""


def answer_draft(folder: DraftFolder, draft: Draft, job: Path | None) -> None:
    """Judge the draft's photos and lay the answer down, or the two sentences of the stop."""
    try:
        result = judge_photos(_request(folder, draft, job))
        place = folder.answer_path(draft)
        screen = {place / SCREEN_NAME: msgspec.json.encode(judgement_content(result.judgement, result.made))}
        deliver(screen | judgement_files(place, {}, result, judgement_answer(result)), overwrite=True)
    except PatternscanError as stop:
        keep(folder.path / f"answer_{draft.asked}.stop.json", Said.of(stop))


def keep_in_job(folder: DraftFolder, draft: Draft, job: Path, occasion: Occasion) -> None:
    """Put the answer into the log of the machine's job, its photos beside it, unless it is there already."""
    try:
        entry = _entry_of(folder, draft, job, occasion)
    except PatternscanError as stop:
        keep(folder.path / draft.keep_stop_name, Said.of(stop))
        return
    folder.change(lambda now: replace(now, entry=entry))


def _entry_of(folder: DraftFolder, draft: Draft, job: Path, occasion: Occasion) -> int:
    """The number of the entry, made now unless the log has one with these very photos."""
    digests = {photo.sha256 for photo in draft.photos}
    numbers = [one.number for one in read_log(job).entries if _photos_of(one.event) == digests]
    return numbers[-1] if numbers else _logged(folder, draft, job, occasion)


def compare_drafts(before: DraftFolder, after: DraftFolder, name: str) -> None:
    """Compare two answers; what the page says goes beside the later one, or the two sentences of the stop."""
    target = after.path / name
    try:
        earlier, later = (one.answer_path(one.read()) for one in (before, after))
        result = compare_results(CompareRequest(earlier, later))
        page = comparison_content(result.change, result.before, result.after, result.made)
        keep(target, page)
    except PatternscanError as stop:
        keep(target.with_suffix(".stop.json"), Said.of(stop))


def write_record(job: Path, folder: Path) -> None:
    """The record of a job as page and PDF, in place of older ones."""
    for older in folder.parent.glob(f"{job.name}@*"):
        shutil.rmtree(older, ignore_errors=True)
    charts = {folder / f"course_{n}.svg": chart_svg(one) for n, one in enumerate(shift_charts(gather_record(job)), 1)}
    deliver(charts | record_files(job, folder / "record.html", folder / "record.pdf"), overwrite=True)


def _photos_of(event: Event) -> set[str] | None:
    """Digests of a pattern's photos, None for another event."""
    return {photo.sha256 for photo in event.photos} if isinstance(event, Pattern) else None


def _logged(folder: DraftFolder, draft: Draft, job: Path, occasion: Occasion) -> int:
    request = _request(folder, draft, job)
    result: JudgeResult = judge_photos(request)
    files = partial(judgement_files, result=result, answer=judgement_answer(result))
    pattern = PatternRequest(job, occasion, Copies.PICTURE, draft.by)
    return log_judgement(pattern, result.judgement, files, [one.photo for one in request.photos]).entry.number


def _request(folder: DraftFolder, draft: Draft, job: Path | None) -> JudgeRequest:
    sheet = None if job is None or not job_sheet_path(job).exists() else job_sheet_path(job)
    settings = load_settings(SettingsRequest(draft.marking, sheet=sheet, max_megapixels=MOST_MEGAPIXELS))
    amount = job is None or not tells_amount(job, Occasion.TRIAL)
    photos = tuple(_input(folder, photo) for photo in draft.photos)
    return JudgeRequest(photos, settings, amount=amount, by=draft.by)


def _input(folder: DraftFolder, photo: DraftPhoto) -> PhotoInput:
    """The photo with its outline as that of the flank which the touched A tells."""
    content = read_outline_file(folder.outline_path(photo))
    outlines = [as_flank(one, photo.flank) for one in content.outlines]
    path = folder.path / photo.made_of("judged.outline.json")
    replace_file(path, outline_file_bytes(outline_document(photo.file_name, outlines)))
    return PhotoInput(folder.photo_path(photo), photo.flank, path, photo.tip)
