"""The first page, and the question whether the machine is safe, with which every reading begins."""

from __future__ import annotations

from collections.abc import Sequence

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from patternscan.web.door.name import given_name, known_name
from patternscan.web.door.site import sheet_of, site
from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.secured import note_secured
from patternscan.web.work.looking import ready

screens = Blueprint("home", __name__)
MOST_LISTED = 12


@screens.get("/")
def first() -> str:
    """What is under way, the machines, and the way to a new reading."""
    drafts = list(site().drafts.all())
    return render_template(
        "home.html.jinja",
        under_way=_first([one for one in drafts if not one.asked]),
        answers=_first([one for one in drafts if one.asked]),
        machines=site().machines(),
        names={one.folder: one.name for one in site().machines()},
    )


@screens.get("/readings/new")
def safety() -> str:
    """Whether the machine is safe, and who says so."""
    machine = request.args.get("machine", "")
    if machine:
        site().job(machine)
    return render_template("safety.html.jinja", machine=machine, name=known_name())


@screens.post("/readings/new")
def begin() -> Response:
    """Begin a reading by a person who says that the machine is safe. Raises WrongUse without a name."""
    name = given_name("name")
    machine = request.form.get("machine") or None
    job = None if machine is None else site().job(machine)
    draft = site().drafts.begin(name)
    if job is not None:
        note_secured(job, name)
        site().drafts.folder(draft.key).change(lambda one: one.of_machine(machine, sheet_of(job)))
    site().pool.warm(ready)
    return redirect(url_for("reading.now", key=draft.key), 303)


def _first(drafts: Sequence[Draft]) -> Sequence[Draft]:
    return drafts[:MOST_LISTED]
