"""Where a person paints by eye where the worm touched, so that the tool can be held against it."""

from __future__ import annotations

import msgspec
from flask import Blueprint, Response, abort, redirect, render_template, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from patternscan.errors import WrongUse
from patternscan.reporting.text.web.desk_words import LAYING_OUT, PAINTED_HERE, TAKE_PAINT
from patternscan.reporting.text.web.door_words import OUR_FAULT
from patternscan.setting.machine.sheet import Sheet
from patternscan.web.door.name import given_name, known_name
from patternscan.web.door.site import sheet_of, site
from patternscan.web.drafts.draft import Draft, DraftPhoto
from patternscan.web.drafts.look import Said
from patternscan.web.drafts.step import flank_told
from patternscan.web.drafts.store import DraftFolder, kept
from patternscan.web.work.painting import FLAT, JOB, STOP, lay_out_painting
from patternscan.web.work.pool import State
from patternscan.workflow.proof.truth import PaintedTruth, keep_painted

screens = Blueprint("paint", __name__, url_prefix="/readings/<key>/photos/<int:number>/paint")


@screens.get("/")
def shown(key: str, number: int) -> str:
    """The bare flank to paint on; a page to wait while it is laid out."""
    folder, draft, photo = _settled(key, number)
    job = folder.path / photo.made_of(JOB)
    stop = kept(folder.path / photo.made_of(STOP), Said)
    if stop is not None:
        return render_template("stopped.html.jinja", found=stop.found, remedy=stop.remedy)
    if job.is_file():
        return _page(draft, photo, msgspec.json.decode(job.read_bytes()))
    work = f"{key} paint {number} {photo.version}"
    if site().pool.ask(work, lay_out_painting, folder, photo, site().settings(draft)) is State.FAILED:
        raise WrongUse(*OUR_FAULT)
    return render_template("waiting.html.jinja", title=LAYING_OUT, back=url_for("answer.shown", key=key))


@screens.get("/flat.jpg")
def flat(key: str, number: int) -> Response:
    """The flank laid flat."""
    folder, _, photo = _settled(key, number)
    path = folder.path / photo.made_of(FLAT)
    if not path.is_file():
        abort(404)
    return send_file(path.resolve(), mimetype="image/jpeg")


@screens.post("/")
def painted(key: str, number: int) -> AnyResponse:
    """Keep what was painted beside the photo. Raises WrongUse without a name, and for what is no truth file."""
    folder, draft, photo = _settled(key, number)
    by = given_name("by")
    content = request.form.get("truth", "").encode()
    keep_painted(PaintedTruth(folder.photo_path(photo), content, by, _sheet(draft).machine))
    return redirect(url_for("answer.shown", key=key), 303)


def _page(draft: Draft, photo: DraftPhoto, job: dict[str, dict[str, object]]) -> str:
    job["truth"] |= {"by": known_name() or draft.by, "machine": _sheet(draft).machine or ""}
    job["said"] |= {"save": TAKE_PAINT, "how_to": PAINTED_HERE}
    return render_template("paint.html.jinja", draft=draft, photo=photo, job=job)


def _sheet(draft: Draft) -> Sheet:
    return Sheet() if draft.machine is None else sheet_of(site().job(draft.machine))


def _settled(key: str, number: int) -> tuple[DraftFolder, Draft, DraftPhoto]:
    """A photo of which a person said by touching the A that the outline is on its flank."""
    folder = site().drafts.folder(key)
    draft = folder.read()
    photo = draft.photo(number)
    if photo is None or flank_told(photo, folder) is not photo.flank:
        abort(404)
    return folder, draft, photo
