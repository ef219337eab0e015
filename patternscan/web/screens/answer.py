"""The answer: the first screen of the judgement's page, with what can be done with it below."""

from __future__ import annotations

from pathlib import Path

import msgspec
from flask import Blueprint, Response, abort, redirect, render_template, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from patternscan.reporting.pages.parts import WebPage
from patternscan.reporting.text.safety import safety_lines
from patternscan.web.door.site import site
from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.step import Asks, next_step
from patternscan.web.work.answering import SCREEN_NAME

screens = Blueprint("answer", __name__, url_prefix="/readings/<key>")


@screens.get("/answer")
def shown(key: str) -> str | AnyResponse:
    """The answer, or back to what is missing for it."""
    folder = site().drafts.folder(key)
    draft = folder.read()
    if next_step(draft, folder).asks is not Asks.ANSWER:
        return redirect(url_for("reading.now", key=key))
    page = msgspec.json.decode((folder.answer_path(draft) / SCREEN_NAME).read_bytes(), type=WebPage)
    return render_template("answer.html.jinja", draft=draft, page=page, safety=safety_lines())


@screens.get("/page.html")
def page(key: str) -> Response:
    """The whole answer as one file, to be kept and sent."""
    folder = site().drafts.folder(key)
    path = folder.answer_path(folder.read()) / "page.html"
    return _download(path, f"patternscan_{key}.html")


def latest_of(machine: str | None, but: str) -> Draft | None:
    """The last reading of a machine with an answer, but for one."""
    drafts = site().drafts
    same = (one for one in drafts.all() if one.machine == machine and one.key != but and one.asked)
    return next((one for one in same if (drafts.folder(one.key).answer_path(one) / "judgement.json").is_file()), None)


def _download(path: Path, name: str) -> Response:
    if not path.is_file():
        abort(404)
    return send_file(path.resolve(), as_attachment=True, download_name=name)
