"""Entries into a machine's log by forms: asked, read back in both units, then kept."""

from __future__ import annotations

from pathlib import Path

from flask import Blueprint, abort, redirect, render_template, request, session, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from patternscan.errors import CannotWrite, NotYetLogged, PatternscanError
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.points import points_sentence
from patternscan.reporting.text.web.question_words import asked_of_pattern
from patternscan.setting.log.events import Event
from patternscan.setting.log.job_log import read_job
from patternscan.setting.log.kinds import ENTRY_KINDS
from patternscan.setting.log.questions import EntryKind
from patternscan.web.door.name import given_name, known_name
from patternscan.web.door.site import sheet_of, site
from patternscan.web.screens.machines.entry_form import Form, Offered, event_of, fields_of, kind_named
from patternscan.workflow.job.begun_entry import sheet_unit
from patternscan.workflow.job.log import LogRequest, asked_about, doubts_before, log_event

screens = Blueprint("entry", __name__, url_prefix="/machines/<machine>/log")


@screens.get("/")
def kinds(machine: str) -> str:
    """Every kind of entry, in the order of work."""
    site().job(machine)
    return render_template("kinds.html.jinja", machine=machine, kinds=ENTRY_KINDS)


@screens.get("/<word>")
def asked(machine: str, word: str) -> str:
    """The form of a kind, filled with what is in the address."""
    site().job(machine)
    return _form(machine, _kind(word))


@screens.post("/<word>")
def given(machine: str, word: str) -> str | Response | tuple[str, int]:
    """Read back what was sent; keep it when that was confirmed; the form again where something does not fit."""
    job, kind = site().job(machine), _kind(word)
    try:
        by = given_name("by")
        event = event_of(kind, _sent(), read_job(job)[0])
        doubts = doubts_before(job, event)
        if "keep" in request.form and (not doubts or "sure" in request.form):
            return _kept(machine, job, event, by)
    except CannotWrite:
        raise
    except PatternscanError as stop:
        return _form(machine, kind, stop), 400
    return _read_back(machine, kind, event, points_sentence(doubts) if doubts else "")


def _kept(machine: str, job: Path, event: Event, by: str) -> Response:
    """Kept on the disk, then said so."""
    entry = log_event(LogRequest(job, event, by, sure=True)).entry
    return redirect(url_for("kept.shown", machine=machine, number=entry.number), 303)


def _read_back(machine: str, kind: EntryKind, event: Event, doubts: str) -> str:
    units = [value for name, value in request.form.items() if name.endswith(".unit")]
    session["unit"] = next(iter(units), session.get("unit", ""))
    sent = [(name, value) for name, value in request.form.items(multi=True) if name not in ("token", "keep", "sure")]
    return render_template(
        "read_back.html.jinja", machine=machine, kind=kind, said=event_sentence(event), doubts=doubts, sent=sent
    )


def _form(machine: str, kind: EntryKind, stop: PatternscanError | None = None) -> str:
    sent = _sent()
    told = "" if stop is None else f"{stop.found} {stop.remedy}"
    first = kind_named(stop.kind) if isinstance(stop, NotYetLogged) else None
    unit = session.get("unit") or sheet_unit(sheet_of(site().job(machine)))
    fields = fields_of(kind, sent, unit, _offered(machine, kind, sent))
    by = sent.get("by") or known_name()
    return render_template("entry.html.jinja", machine=machine, kind=kind, fields=fields, told=told, first=first, by=by)


def _offered(machine: str, kind: EntryKind, sent: Form) -> Offered:
    """The answers that fit the pattern in the form; all words where it is not known which one that is."""
    number = sent.get("entry", "").strip()
    if not (any(one.name == "reply" for one in kind.questions) and number.isdecimal()):
        return {}
    asked = asked_about(site().job(machine), int(number))
    replies = [reply for one in asked for reply in asked_of_pattern(one).replies]
    return {"reply": replies} if replies else {}


def _sent() -> Form:
    """What was sent, or stands in the address; where one name alone is asked for, who fills it in is who says so."""
    sent = MultiDict(request.form if request.method == "POST" else request.args)
    sent.setdefault("name", sent.get("by", ""))
    return sent


def _kind(word: str) -> EntryKind:
    kind = kind_named(word)
    if kind is None:
        abort(404)
    return kind
