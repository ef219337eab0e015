"""The photos of a reading: sent in, looked at, and what a person says of each by touching it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isfinite

import msgspec
from flask import Blueprint, Response, abort, redirect, render_template, request, send_file, url_for
from werkzeug.exceptions import BadRequest
from werkzeug.wrappers import Response as AnyResponse

from patternscan.errors import NoTrustworthyOutline, WrongUse
from patternscan.frame import Flank
from patternscan.reporting.text.web.reading_words import A_IN_THE_MIDDLE, NO_PHOTO, OUTLINE_NOT_TAKEN, TAKE_OUTLINE
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.web.door.site import site
from patternscan.web.drafts.draft import Draft, DraftPhoto, Place
from patternscan.web.drafts.dropped import clear_dropped
from patternscan.web.drafts.incoming import Incoming, take_photo
from patternscan.web.drafts.look import Look
from patternscan.web.drafts.step import answered_if_whole, flank_told
from patternscan.web.drafts.store import DraftFolder
from patternscan.workflow.disk.one_file import replace_file

screens = Blueprint("photos", __name__, url_prefix="/readings/<key>/photos")
MOST_OUTLINE_BYTES = 200_000
VIEW_CACHED = "private, max-age=86400, immutable"


@screens.get("/parts/<upload>")
def part_size(key: str, upload: str) -> dict[str, int]:
    """How much of a file is here already."""
    return {"at": Incoming(site().drafts.folder(key)).size(upload)}


@screens.post("/parts/<upload>")
def part(key: str, upload: str) -> dict[str, int]:
    """A piece of a file; answers how much is here now."""
    at = request.args.get("at", default=0, type=int)
    return {"at": Incoming(site().drafts.folder(key)).add(upload, at, request.stream)}


@screens.post("/")
def take(key: str) -> AnyResponse:
    """A photo of a flank: in one piece, or the last word after its pieces, which may be sent twice. Raises WrongUse."""
    folder = site().drafts.folder(key)
    incoming, file = Incoming(folder), request.files.get("photo")
    upload, size = request.form.get("upload", ""), request.form.get("size", default=0, type=int)
    if not upload and (file is None or not file.filename):
        raise WrongUse(*NO_PHOTO)
    if file is not None and not upload:
        take_photo(folder, _flank(), incoming.received(file.stream), file.filename or "")
        return _back(key)
    with incoming.alone():
        if not folder.read().has_come(upload):
            take_photo(folder, _flank(), incoming.whole(upload, size), request.form.get("name", ""), upload)
    return _back(key)


@screens.get("/<int:number>/view.jpg")
def view(key: str, number: int) -> Response:
    """The photo as it is shown: made anew from its pixels, without place and serial numbers."""
    folder, photo = _found(key, number)
    answer = send_file((folder.path / photo.view_name).resolve(), mimetype="image/jpeg")
    answer.headers["Cache-Control"] = VIEW_CACHED
    return answer


@screens.post("/<int:number>/flank")
def say_flank(key: str, number: int) -> AnyResponse:
    """Another tooth was touched, or the tip points elsewhere: the flank is looked for anew."""
    if request.form.get("tip"):
        tip = _tip()
        return _with_photo(key, number, lambda photo: photo.looked_at_anew(tip, photo.tooth_at))
    at = _place()
    return _with_photo(key, number, lambda photo: photo.looked_at_anew(photo.tip, at))


@screens.get("/<int:number>/tooth")
def tooth(key: str, number: int) -> str:
    """The photo, to touch the tooth that is meant."""
    folder, photo = _found(key, number)
    return render_template("tooth.html.jinja", draft=folder.read(), photo=photo, look=_looked(folder, photo))


@screens.post("/<int:number>/end-a")
def say_end_a(key: str, number: int) -> AnyResponse:
    """Where the painted A was touched, or touch again. Raises WrongUse for the middle of the tooth."""
    if request.form.get("again"):
        return _with_photo(key, number, lambda photo: replace(photo, end_a=None))
    folder, photo = _found(key, number)
    touched = replace(photo, end_a=_place())
    if flank_told(touched, folder) is None:
        raise WrongUse(*A_IN_THE_MIDDLE)
    return _with_photo(key, number, lambda photo: replace(photo, end_a=touched.end_a))


@screens.post("/<int:number>/as-flank")
def say_other_flank(key: str, number: int) -> AnyResponse:
    """The photo is taken as the flank that it shows."""
    flank = _flank()
    return _with_photo(key, number, lambda photo: replace(photo, flank=flank))


@screens.post("/<int:number>/drop")
def drop(key: str, number: int) -> AnyResponse:
    """The photo does not count any more; it is taken again."""
    folder = site().drafts.folder(key)
    folder.change(lambda draft: draft.without(number))
    clear_dropped(folder)
    return _back(key)


@screens.get("/<int:number>/corners")
def corners(key: str, number: int) -> str:
    """The page on which the outline is marked by hand."""
    folder, photo = _found(key, number)
    start = folder.path / photo.made_of("marking.json")
    if not start.is_file():
        abort(404)
    job = msgspec.json.decode(start.read_bytes())
    job["said"]["save"] = [TAKE_OUTLINE]
    return render_template("corners.html.jinja", draft=folder.read(), photo=photo, job=job)


@screens.post("/<int:number>/corners")
def take_corners(key: str, number: int) -> AnyResponse:
    """The outline as a person marked it. Raises NoTrustworthyOutline for one that is none."""
    folder, photo = _found(key, number)
    tried = folder.path / photo.made_of("tried.json")
    replace_file(tried, request.form.get("outline", "").encode()[:MOST_OUTLINE_BYTES])
    content = read_outline_file(tried)
    if len(content.outlines) != 1 or content.outlines[0].flank is not photo.flank:
        raise NoTrustworthyOutline(OUTLINE_NOT_TAKEN, "Mark one flank, and leave its ends as they are shown.")
    marked = replace(photo.looked_at_anew(photo.tip, None), corners=True)
    document = outline_document(photo.file_name, content.outlines, content.picture)
    replace_file(folder.outline_path(marked), outline_file_bytes(document))
    return _with_photo(key, number, lambda _: marked)


def _found(key: str, number: int) -> tuple[DraftFolder, DraftPhoto]:
    folder = site().drafts.folder(key)
    photo = folder.read().photo(number)
    if photo is None:
        abort(404)
    return folder, photo


def _looked(folder: DraftFolder, photo: DraftPhoto) -> Look:
    look = folder.look(photo)
    if look is None:
        abort(404)
    return look


def _with_photo(key: str, number: int, changed: Callable[[DraftPhoto], DraftPhoto]) -> AnyResponse:
    folder = site().drafts.folder(key)

    def change(draft: Draft) -> Draft:
        photo = draft.photo(number)
        return draft if photo is None else answered_if_whole(draft.with_changed(changed(photo)), folder)

    folder.change(change)
    return _back(key)


def _back(key: str) -> AnyResponse:
    return redirect(url_for("reading.now", key=key), 303)


def _place() -> Place:
    """The touched place in pixels of the upright photo."""
    x, y = (request.form.get(name, default=float("nan"), type=float) for name in ("x", "y"))
    if not (isfinite(x) and isfinite(y) and abs(x) < 1e6 and abs(y) < 1e6):
        raise BadRequest
    return round(x, 1), round(y, 1)


def _flank() -> Flank:
    try:
        return Flank(request.form.get("flank", ""))
    except ValueError as error:
        raise BadRequest from error


def _tip() -> PictureSide:
    try:
        return PictureSide(request.form.get("tip", ""))
    except ValueError as error:
        raise BadRequest from error
