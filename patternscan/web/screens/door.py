"""Where another device gives the code."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from patternscan.reporting.text.web.door_words import WRONG_CODE, wait_words
from patternscan.web.door.guard import is_inside, let_in
from patternscan.web.door.site import site

screens = Blueprint("door", __name__)


@screens.get("/enter")
def enter() -> str | Response:
    """Ask for the code, unless this device is known."""
    return redirect(url_for("home.first")) if is_inside() else render_template("enter.html.jinja", told="")


@screens.post("/enter")
def given() -> str | Response | tuple[str, int]:
    """Take the code, or say that it is wrong, or how long to wait."""
    keeper, address = site().doorkeeper, request.remote_addr or ""
    waits = keeper.wait_seconds(address)
    if not waits and keeper.lets_in(address, request.form.get("code", "").strip()):
        let_in()
        return redirect(url_for("home.first"), 303)
    told = wait_words(waits) if waits else WRONG_CODE
    return render_template("enter.html.jinja", told=told), 429 if waits else 403
