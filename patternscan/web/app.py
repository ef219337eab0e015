"""The application: its screens, what guards them, and one sentence for everything that goes wrong."""

from __future__ import annotations

import logging

from flask import Flask, render_template
from jinja2 import ChoiceLoader, PackageLoader
from werkzeug.exceptions import HTTPException

from patternscan.errors import PatternscanError
from patternscan.reporting.pages.frame import FILTERS
from patternscan.reporting.text import safety
from patternscan.reporting.text.web import (
    desk_words,
    door_words,
    machine_words,
    phone_words,
    reading_words,
    sheet_words,
)
from patternscan.web.door.guard import put_on_guard
from patternscan.web.door.secret import kept_secret
from patternscan.web.door.site import EXTENSION, Site
from patternscan.web.screens import (
    answer,
    assets,
    desk,
    door,
    entry,
    home,
    kept,
    machine,
    paint,
    photos,
    reading,
    sheet,
)

HTTP_WORDS = {
    403: door_words.OLD_FORM,
    404: door_words.NO_PAGE,
    405: door_words.WRONG_METHOD,
    413: door_words.TOO_LARGE,
    421: door_words.FOREIGN_NAME,
    500: door_words.OUR_FAULT,
    503: door_words.BUSY,
}
ROOMS = (door, assets, home, reading, photos, paint, answer, machine, sheet, entry, kept, desk)
WORDS = {
    "door": door_words,
    "reading": reading_words,
    "machine": machine_words,
    "desk": desk_words,
    "phone": phone_words,
    "sheet": sheet_words,
    "safety": safety,
}


def make_app(served: Site) -> Flask:
    """The application for a site. Raises CannotWrite where the folder is not to be written to."""
    app = Flask("patternscan.web", static_folder="static", template_folder="templates")
    app.extensions[EXTENSION] = served
    app.jinja_loader = ChoiceLoader([PackageLoader("patternscan.web"), PackageLoader("patternscan.reporting.pages")])
    app.jinja_options = {"autoescape": True, "trim_blocks": True, "lstrip_blocks": True}
    app.jinja_env.filters |= FILTERS
    app.jinja_env.globals |= {"say": WORDS}
    put_on_guard(app, kept_secret(served.folder))
    for room in ROOMS:
        app.register_blueprint(room.screens)
    app.register_error_handler(PatternscanError, _told)
    app.register_error_handler(HTTPException, _refused)
    app.register_error_handler(Exception, _failed)
    return app


def _told(stop: PatternscanError) -> tuple[str, int]:
    return _page(phone_words.on_phone(stop.found), phone_words.on_phone(stop.remedy)), 400


def _refused(error: HTTPException) -> tuple[str, int] | HTTPException:
    code = error.code or 500
    if code < 400:
        return error
    return _page(*HTTP_WORDS.get(code, door_words.WRONG_METHOD)), code


def _failed(error: Exception) -> tuple[str, int]:
    logging.getLogger(__name__).exception("a page failed", exc_info=error)
    return _page(*door_words.OUR_FAULT), 500


def _page(found: str, remedy: str) -> str:
    return render_template("stopped.html.jinja", found=found, remedy=remedy)
