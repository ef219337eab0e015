"""Style sheets and scripts that are put together of those of other pages."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response, abort

from patternscan.reporting.pages.frame import pieces
from patternscan.reporting.pages.marking_page import SCRIPTS
from patternscan.reporting.pages.marking_page import STYLES as MARKING_STYLES
from patternscan.reporting.pages.painting_page import SCRIPTS as PAINTING_SCRIPTS
from patternscan.reporting.pages.painting_page import STYLES as PAINTING_STYLES
from patternscan.reporting.pages.web_page import STYLES as REPORT_STYLES

screens = Blueprint("assets", __name__)
PARTS = {
    "marking.css": MARKING_STYLES,
    "painting.css": PAINTING_STYLES,
    "report.css": REPORT_STYLES,
    "marking.js": SCRIPTS,
    "painting.js": PAINTING_SCRIPTS,
}
TYPES = {"css": "text/css", "js": "text/javascript"}


@screens.get("/assets/<name>")
def asset(name: str) -> Response:
    """One of them."""
    if name not in PARTS:
        abort(404)
    answer = Response(_text(name), mimetype=TYPES[name.rpartition(".")[2]])
    answer.headers["Cache-Control"] = "no-cache"
    answer.add_etag()
    return answer


@cache
def _text(name: str) -> str:
    return pieces(PARTS[name])
