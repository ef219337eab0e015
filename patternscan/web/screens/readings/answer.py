"""The answer: the first screen of the judgement's page, with what can be done with it below."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import msgspec
from flask import Blueprint, Response, abort, redirect, render_template, request, send_file, url_for
from werkzeug.exceptions import BadRequest
from werkzeug.wrappers import Response as AnyResponse

from patternscan.errors import WrongUse
from patternscan.judging.states.judged_state import GoneEntry
from patternscan.reporting.pages.parts import WebPage
from patternscan.reporting.text.safety import safety_lines
from patternscan.reporting.text.web.desk_words import (
    COMPARING,
    NO_WORDS,
    NOT_COMPARED,
)
from patternscan.reporting.text.web.door_words import OUR_FAULT
from patternscan.reporting.text.web.question_words import ShownQuestion, asked_of_pattern
from patternscan.reporting.text.wording import gone_words
from patternscan.setting.log.words import Occasion
from patternscan.web.door.name import given_name, known_name
from patternscan.web.door.site import site
from patternscan.web.drafts.draft import Draft, Remark
from patternscan.web.drafts.look import Said
from patternscan.web.drafts.step import Asks, next_step
from patternscan.web.drafts.store import DraftFolder, kept
from patternscan.web.work.answering import SCREEN_NAME, compare_drafts, keep_in_job
from patternscan.web.work.painting import painted_files
from patternscan.web.work.pool import State
from patternscan.workflow.job.log import asked_about, gone_in_job

screens = Blueprint("answer", __name__, url_prefix="/readings/<key>")
LONGEST_REMARK = 2000
PICTURES = {".jpg": "image/jpeg", ".png": "image/png"}


@screens.get("/answer")
def shown(key: str) -> str | AnyResponse:
    """The answer, or back to what is missing for it."""
    folder, draft = _answered(key)
    if draft is None:
        return redirect(url_for("reading.now", key=key))
    page = msgspec.json.decode((folder.answer_path(draft) / SCREEN_NAME).read_bytes(), type=WebPage)
    before = latest_before(draft)
    painted = painted_of(folder, draft)
    return render_template(
        "answer.html.jinja",
        draft=draft,
        page=page,
        before=before,
        painted=painted,
        asked=_asked(draft),
        gone=gone_of(draft),
        by=known_name(),
        safety=safety_lines(),
    )


def gone_of(draft: Draft) -> str:
    """What became of the job's entry of this answer where it no longer counts."""
    gone = _gone_entry(draft)
    return "" if gone is None else gone_words(gone.answer)


def _gone_entry(draft: Draft) -> GoneEntry | None:
    if draft.machine is None or draft.entry is None:
        return None
    return gone_in_job(site().job(draft.machine), draft.entry)


def _asked(draft: Draft) -> list[ShownQuestion]:
    """What the job's entry of this answer still asks; nothing before it is in the job."""
    if draft.machine is None or draft.entry is None:
        return []
    return [asked_of_pattern(one) for one in asked_about(site().job(draft.machine), draft.entry)]


@screens.get("/page.html")
def page(key: str) -> Response:
    """The whole answer as one file, to be kept and sent."""
    folder = site().drafts.folder(key)
    path = folder.answer_path(folder.read()) / "page.html"
    if not path.is_file():
        abort(404)
    return send_file(path.resolve(), as_attachment=True, download_name=f"patternscan_{key}.html")


@screens.get("/pictures/<name>")
def picture(key: str, name: str) -> Response:
    """A picture of the answer, by its name in the folder."""
    folder = site().drafts.folder(key)
    place = folder.answer_path(folder.read())
    there = {one.name: one for one in place.glob("*.*") if one.suffix in PICTURES}
    if name not in there:
        abort(404)
    return send_file(there[name].resolve(), mimetype=PICTURES[there[name].suffix])


@screens.post("/keep")
def put_into_job(key: str) -> AnyResponse:
    """Put the answer into the log of the machine's job; what it was taken for is said."""
    folder, draft = _answered(key)
    try:
        occasion = Occasion(request.form.get("occasion", ""))
    except ValueError as error:
        raise BadRequest from error
    if draft is None or draft.machine is None:
        abort(404)
    if draft.entry is None:
        keep_in_job(folder, draft, site().job(draft.machine), occasion)
    return redirect(url_for("answer.shown", key=key), 303)


@screens.get("/compare/<before>")
def compared(key: str, before: str) -> str | AnyResponse:
    """What changed since another reading; a page to wait while it is worked out."""
    (folder, draft), (earlier, first) = _answered(key), _answered(before)
    if draft is None or first is None:
        abort(404)
    gone = _gone_entry(first), _gone_entry(draft)
    name = f"answer_{draft.asked}.since_{before}_{first.asked}{''.join(map(_mark, gone))}.json"
    stop = kept((folder.path / name).with_suffix(".stop.json"), Said)
    if stop is not None:
        return render_template("stopped.html.jinja", title=NOT_COMPARED, found=stop.found, remedy=stop.remedy)
    content = kept(folder.path / name, WebPage)
    if content is not None:
        return render_template(
            "compared.html.jinja",
            page=content,
            safety=safety_lines(),
            draft=draft,
            both=(_shown(earlier, first), _shown(folder, draft)),
        )
    if site().pool.ask(f"{key} {name}", compare_drafts, earlier, folder, name, gone) is State.FAILED:
        raise WrongUse(*OUR_FAULT)
    return render_template("waiting.html.jinja", title=COMPARING, back=url_for("answer.shown", key=key))


def _mark(gone: GoneEntry | None) -> str:
    """What tells a comparison with an answer that no longer counts from the one that was made before, or after it."""
    return "" if gone is None else f".gone_{gone.entry}_{gone.answer or 0}"


@screens.post("/waits")
def ask_opinion(key: str) -> AnyResponse:
    """Let it wait for an engineer's opinion, or no more."""
    waits = request.form.get("waits") == "1"
    site().drafts.folder(key).change(lambda draft: replace(draft, waits=waits))
    return redirect(url_for("answer.shown", key=key), 303)


@screens.post("/remarks")
def remark(key: str) -> AnyResponse:
    """Put what a person makes of it beside the reading. Raises WrongUse without words or name."""
    text = request.form.get("text", "").strip()[:LONGEST_REMARK]
    if not text:
        raise WrongUse(*NO_WORDS)
    said = Remark(text, given_name("by"), datetime.now().astimezone().replace(microsecond=0))
    site().drafts.folder(key).change(lambda draft: replace(draft, remarks=(*draft.remarks, said), waits=False))
    return redirect(url_for("answer.shown", key=key), 303)


@dataclass(frozen=True, slots=True)
class ShownAnswer:
    """An answer's pictures for a page that shows two."""

    key: str
    names: frozenset[str]


def _shown(folder: DraftFolder, draft: Draft) -> ShownAnswer:
    return ShownAnswer(draft.key, frozenset(one.name for one in folder.answer_path(draft).glob("*.*")))


def latest_before(draft: Draft) -> Draft | None:
    """The last answer of the same machine before this one, without those whose entry in the job no longer counts; none
    without a machine.
    """
    drafts = site().drafts
    if draft.machine is None:
        return None
    same = (one for one in drafts.all() if one.machine == draft.machine and one.key < draft.key and one.asked)
    return next((one for one in same if _answered(one.key)[1] is not None and not gone_of(one)), None)


def _answered(key: str) -> tuple[DraftFolder, Draft | None]:
    """The folder, and the draft when there is an answer to it."""
    folder = site().drafts.folder(key)
    draft = folder.read()
    return folder, draft if next_step(draft, folder).asks is Asks.ANSWER else None


def painted_of(folder: DraftFolder, draft: Draft) -> dict[int, int]:
    """How many people painted each photo by hand, by its number."""
    return {photo.number: len(painted_files(folder, photo)) for photo in draft.photos}


def pictures_of(folder: DraftFolder, draft: Draft, ending: str) -> list[Path]:
    """Pictures of an answer by the ending of their names."""
    return sorted(folder.answer_path(draft).glob(f"*.{ending}"))
