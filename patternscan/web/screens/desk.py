"""The engineer's desk: what waits for an opinion, the machines, and every reading large enough to be checked."""

from __future__ import annotations

from flask import Blueprint, abort, render_template

from patternscan.web.door.name import known_name
from patternscan.web.door.site import site
from patternscan.web.drafts.step import Asks, next_step
from patternscan.web.screens.readings.answer import gone_of, latest_before, painted_of, pictures_of

screens = Blueprint("desk", __name__, url_prefix="/desk")
MOST_LISTED = 60


@screens.get("/")
def shown() -> str:
    """Readings that wait first, then the machines and the latest readings."""
    drafts = list(site().drafts.all())
    machines = site().machines()
    return render_template(
        "desk.html.jinja",
        waiting=[one for one in drafts if one.waits],
        drafts=drafts[:MOST_LISTED],
        machines=machines,
        names={one.folder: one.name for one in machines},
    )


@screens.get("/<key>")
def reading(key: str) -> str:
    """A reading with its photos large, outline and contact drawn, and room for a remark."""
    folder = site().drafts.folder(key)
    draft = folder.read()
    if next_step(draft, folder).asks is not Asks.ANSWER:
        abort(404)
    return render_template(
        "desk_reading.html.jinja",
        draft=draft,
        annotated=[one.name for one in pictures_of(folder, draft, "annotated.jpg")],
        checks=[one.name for one in pictures_of(folder, draft, "check.png")],
        before=latest_before(draft),
        gone=gone_of(draft),
        painted=painted_of(folder, draft),
        name=known_name(),
    )
