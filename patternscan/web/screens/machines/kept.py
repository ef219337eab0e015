"""What was kept: an entry with its photos of dial, plate or part, which can be added at any time."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from flask import Blueprint, Response, abort, redirect, render_template, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from patternscan.errors import WrongUse
from patternscan.reporting.text.job.actions import ANSWERED_BY
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.points import points_sentence
from patternscan.reporting.text.web.reading_words import NO_PHOTO
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.job_log import read_log
from patternscan.web.door.site import site
from patternscan.web.work.looking import show_photo
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.job.log import latest_effects

screens = Blueprint("kept", __name__, url_prefix="/machines/<machine>/entries/<int:number>")
PHOTOS = "photos"
ORIGINAL, VIEW = ".original", ".view.jpg"
MOST_PHOTOS = 12
TOO_MANY = ("This entry has many photos already.", "Add a note, and put further photos there.")


@screens.get("/")
def shown(machine: str, number: int) -> str:
    """The entry, what it brings about, and its photos; those that are not ready to be shown are being made ready."""
    job = site().job(machine)
    entry = _entry(job, number)
    photos = _photos(job, number)
    for original in photos:
        view = original.with_suffix(VIEW)
        if not view.is_file():
            site().pool.ask(f"{machine} entry {number} {original.name}", show_photo, original, view)
    ready = {one.stem: one.with_suffix(VIEW).is_file() for one in photos}
    brings = [points_sentence(one for one in line if one.code != ANSWERED_BY) for line in latest_effects(job, number)]
    said = event_sentence(entry.event)
    return render_template("kept.html.jinja", machine=machine, entry=entry, said=said, brings=brings, photos=ready)


@screens.post("/photos")
def add_photo(machine: str, number: int) -> AnyResponse:
    """Keep a photo with the entry, as it came; the same photo twice is one. Raises WrongUse."""
    job = site().job(machine)
    _entry(job, number)
    file = request.files.get("photo")
    if file is None or not file.stream.read(1):
        raise WrongUse(*NO_PHOTO)
    if len(_photos(job, number)) >= MOST_PHOTOS:
        raise WrongUse(*TOO_MANY)
    file.stream.seek(0)
    name = f"{hashlib.file_digest(file.stream, 'sha256').hexdigest()[:20]}{ORIGINAL}"  # type: ignore[arg-type]
    file.stream.seek(0)
    replace_file(_folder(job, number) / name, file.stream)
    return redirect(url_for("kept.shown", machine=machine, number=number), 303)


@screens.get("/photos/<name>.jpg")
def photo(machine: str, number: int, name: str) -> Response:
    """A photo as it is shown, made anew from its pixels."""
    views = {one.stem: one.with_suffix(VIEW) for one in _photos(site().job(machine), number)}
    if name not in views or not views[name].is_file():
        abort(404)
    return send_file(os.path.abspath(views[name]), mimetype="image/jpeg")


def _entry(job: Path, number: int) -> Entry:
    found = next((one for one in read_log(job).entries if one.number == number), None)
    if found is None:
        abort(404)
    return found


def _folder(job: Path, number: int) -> Path:
    return job / PHOTOS / f"entry_{number:04d}"


def _photos(job: Path, number: int) -> list[Path]:
    return sorted(_folder(job, number).glob(f"*{ORIGINAL}"))
