"""The application: its screens, what guards them, and one sentence for everything that goes wrong."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from wsgiref.types import StartResponse, WSGIEnvironment

from flask import Flask, render_template
from jinja2 import ChoiceLoader, PackageLoader
from werkzeug.exceptions import HTTPException

from patternscan.errors import CannotWrite, PatternscanError
from patternscan.handles import at_door
from patternscan.reporting.pages.frame import FILTERS
from patternscan.reporting.text import safety
from patternscan.reporting.text.web import (
    desk_words,
    door_words,
    machine_words,
    reading_words,
    sheet_words,
)
from patternscan.reporting.text.web.page_names import name_on_pages
from patternscan.web.door.guard import put_on_guard
from patternscan.web.door.secret import kept_secret
from patternscan.web.door.site import EXTENSION, Site
from patternscan.web.screens import assets, desk, door, home
from patternscan.web.screens.machines import archive, entry, kept, machine, sheet
from patternscan.web.screens.readings import answer, paint, photos, reading

NO_ROOM = 507
"""Insufficient storage (RFC 4918): the server's fault, but of no use to try again before somebody made room."""
HTTP_WORDS = {
    403: door_words.OLD_FORM,
    404: door_words.NO_PAGE,
    405: door_words.WRONG_METHOD,
    413: door_words.TOO_LARGE,
    421: door_words.FOREIGN_NAME,
    500: door_words.OUR_FAULT,
    503: door_words.BUSY,
}
ROOMS = (door, assets, home, reading, photos, paint, answer, machine, archive, sheet, entry, kept, desk)
WORDS = {
    "door": door_words,
    "reading": reading_words,
    "machine": machine_words,
    "desk": desk_words,
    "sheet": sheet_words,
    "safety": safety,
}


class Pages(Flask):
    """An application that calls things as its pages do."""

    def wsgi_app(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer a request."""
        with at_door(name_on_pages):
            return super().wsgi_app(environ, start_response)


def make_app(served: Site) -> Flask:
    """The application for a site. Raises CannotWrite where the folder is not to be written to."""
    app = Pages("patternscan.web", static_folder="static", template_folder="templates")
    app.extensions[EXTENSION] = served
    app.jinja_loader = ChoiceLoader([PackageLoader("patternscan.web"), PackageLoader("patternscan.reporting.pages")])
    app.jinja_options = {"autoescape": True, "trim_blocks": True, "lstrip_blocks": True}
    app.jinja_env.filters |= FILTERS
    app.jinja_env.globals |= {"say": WORDS}
    put_on_guard(app, kept_secret(served.folder))
    for room in ROOMS:
        app.register_blueprint(room.screens)
    app.register_error_handler(PatternscanError, _told)
    app.register_error_handler(CannotWrite, _not_written)
    app.register_error_handler(HTTPException, _refused)
    app.register_error_handler(Exception, _failed)
    return app


def _told(stop: PatternscanError) -> tuple[str, int]:
    return _page(stop.found, stop.remedy), 400


def _not_written(stop: CannotWrite) -> tuple[str, int]:
    logging.getLogger(__name__).warning("%s", stop)
    return _page(*door_words.NOT_WRITTEN), NO_ROOM


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
