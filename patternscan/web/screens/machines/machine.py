"""A machine: what its job asks for now, its entries, and its record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from flask import Blueprint, abort, render_template, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from patternscan.errors import WrongUse
from patternscan.reporting.job.charts import OVER_SHIMS, OVER_TRIALS
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.job.actions import action_lines, action_reason, action_sentence, safety_sentences
from patternscan.reporting.text.job.asking import due_words
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.points import point_sentence
from patternscan.reporting.text.web.door_words import OUR_FAULT
from patternscan.reporting.text.web.machine_words import MAKING
from patternscan.reporting.text.web.question_words import asked_by_job
from patternscan.reporting.text.wording import gone_words
from patternscan.setting.log.entries import Entry, gone_entry
from patternscan.setting.log.job_log import LOG_NAME, read_log
from patternscan.setting.mechanics.shim_pack import find_pack
from patternscan.setting.rules.action import WORK, Action, Priority
from patternscan.setting.rules.entries_due import entries_due, questions_in
from patternscan.setting.rules.next_actions import first_deed
from patternscan.units import parse_length
from patternscan.web.door.name import known_name
from patternscan.web.door.site import sheet_of, site
from patternscan.web.work.answering import write_record
from patternscan.web.work.pool import State
from patternscan.workflow.job.folder import job_sheet_path
from patternscan.workflow.job.log import due_actions

screens = Blueprint("machine", __name__, url_prefix="/machines/<machine>")
RECORDS_FOLDER = ".records"
KINDS = {".html": "text/html", ".pdf": "application/pdf", ".svg": "image/svg+xml"}


@screens.get("/")
def shown(machine: str) -> str:
    """What is due, big, with its reason, below what has to be answered first; the rest below."""
    job = site().job(machine)
    due = due_actions(job)
    deed = first_deed(due.actions)
    before = due.actions.index(deed)
    asking, rest = due.actions[:before], due.actions[before + 1 :]
    asked, waiting = ([asked_by_job(one) for action in part for one in questions_in(action)] for part in (asking, rest))
    now, *each = action_lines(deed)
    drafts = [one for one in site().drafts.all() if one.machine == machine]
    return render_template(
        "machine_page.html.jinja",
        machine=machine,
        name=due.machine or machine,
        damage=[f"{caution_message(one)} {caution_remedy(one)}" for one in due.damage],
        asked=asked,
        waiting=waiting,
        by=known_name(),
        now=now,
        each=[line.removeprefix("- ") for line in each],
        why=action_reason(deed),
        cautions=safety_sentences(due.actions),
        then=_said(rest, Priority.ASK, *WORK),
        mind=_said(rest, Priority.WARNING, Priority.NO_LIMIT),
        met=_said(rest, Priority.MET),
        drafts=drafts,
        gone=_gone(read_log(job).entries),
        entries=[(one, due_words(one)) for one in entries_due(deed)],
        stock=bool(sheet_of(job).shims.stock.kinds),
    )


def _said(actions: Sequence[Action], *priorities: Priority) -> list[str]:
    """What actions of these priorities ask for, without those that have buttons."""
    return [action_sentence(one) for one in actions if one.priority in priorities and not any(questions_in(one))]


def _gone(entries: Sequence[Entry]) -> Mapping[int, str]:
    """What became of the entries that no longer count, by their number."""
    gone = (gone_entry(one.number, entries) for one in entries)
    return {one.entry: gone_words(one.answer) for one in gone if one is not None}


@screens.get("/history")
def history(machine: str) -> str:
    """Every entry, the latest first; those that no longer count say so."""
    entries = read_log(site().job(machine)).entries
    out = _gone(entries)
    lines = [(one, event_sentence(one.event), out.get(one.number, "")) for one in reversed(entries)]
    return render_template("history.html.jinja", machine=machine, lines=lines)


@screens.get("/shims")
def shims(machine: str) -> str:
    """A pack of a thickness from the shims on hand. Raises WrongUse."""
    stock = sheet_of(site().job(machine)).shims.stock
    written, unit = request.args.get("thickness", "").strip(), request.args.get("unit", "mm")
    found = ""
    if written and stock.kinds:
        found = point_sentence(find_pack(parse_length(f"{written}{unit}"), stock).told)
    return render_template(
        "shims.html.jinja", machine=machine, written=written, unit=unit, found=found, stock=bool(stock.kinds)
    )


@screens.get("/<any('record.html', 'record.pdf', 'course_1.svg', 'course_2.svg'):name>")
def record(machine: str, name: str) -> str | AnyResponse:
    """The record as it is now, or a chart of it; a page to wait while it is written."""
    folder = _record(machine)
    if folder is None:
        return render_template("waiting.html.jinja", title=MAKING, back=url_for("machine.shown", machine=machine))
    if not (folder / name).is_file():
        abort(404)
    sent = name.startswith("record")
    return send_file((folder / name).resolve(), mimetype=KINDS[Path(name).suffix], as_attachment=sent)


@screens.get("/course")
def course(machine: str) -> str:
    """How the pattern moved from trial to trial, as charts."""
    folder = _record(machine)
    if folder is None:
        return render_template("waiting.html.jinja", title=MAKING, back=url_for("machine.shown", machine=machine))
    charts = zip(sorted(one.name for one in folder.glob("course_*.svg")), (OVER_TRIALS, OVER_SHIMS), strict=False)
    return render_template("course.html.jinja", machine=machine, charts=list(charts))


def _record(machine: str) -> Path | None:
    """The folder of the record as the log is now, None while it is being written."""
    job = site().job(machine)
    stamp = "-".join(str(path.stat().st_mtime_ns) for path in (job / LOG_NAME, job_sheet_path(job)) if path.exists())
    folder = site().folder / RECORDS_FOLDER / f"{machine}@{stamp}"
    if (folder / "record.pdf").is_file():
        return folder
    if site().pool.ask(f"record {folder.name}", write_record, job, folder) is State.FAILED:
        raise WrongUse(*OUR_FAULT)
    return None
