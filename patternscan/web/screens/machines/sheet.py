"""The machine sheet on the phone: table by table, read back before it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from patternscan.errors import CannotWrite, PatternscanError, WrongUse
from patternscan.reporting.text.web import sheet_words
from patternscan.setting.machine.fields import TABLES, Table
from patternscan.setting.machine.filled_sheet import Key
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.web.door.site import site
from patternscan.web.screens.machines.sheet_form import form_fields, seen_values, sent_values
from patternscan.workflow.job.folder import job_sheet_path
from patternscan.workflow.job.sheet import SheetChange, change_sheet, check_change, sheet_values

screens = Blueprint("sheet", __name__, url_prefix="/machines/<machine>/sheet")


@screens.get("/")
def tables(machine: str) -> str:
    """Every table with how much of it is filled in, and the faults of the sheet."""
    job = site().job(machine)
    values = sheet_values(job)
    said = {name: sum(key[0] == name for key in values) for name in TABLES}
    return render_template(
        "sheet.html.jinja", machine=machine, tables=TABLES.values(), said=said, faults=_faults(job_sheet_path(job))
    )


@screens.get("/<name>")
def asked(machine: str, name: str) -> str:
    """The form of a table, filled as the sheet is now."""
    return _form(machine, _table(name))


@screens.post("/<name>")
def given(machine: str, name: str) -> str | Response | tuple[str, int]:
    """Read back what is new; kept when that was confirmed; the form again where something does not fit."""
    job, table = site().job(machine), _table(name)
    try:
        change = SheetChange(job, sent_values(table, request.form), seen_values(table, request.form))
        if not change.news:
            raise WrongUse(*sheet_words.NOTHING_NEW)
        if "keep" in request.form:
            change_sheet(change)
            return redirect(url_for("sheet.tables", machine=machine), 303)
        check_change(change)
    except CannotWrite:
        raise
    except PatternscanError as stop:
        return _form(machine, table, stop), 400
    return _read_back(machine, table, change.news)


def _faults(path: Path) -> str:
    """What is wrong with a sheet as it stands, nothing of one that is right or not there."""
    try:
        if path.exists():
            read_sheet(path)
    except WrongUse as stop:
        return stop.found
    return ""


def _read_back(machine: str, table: Table, news: Mapping[Key, Any]) -> str:
    session["unit"] = next((value for name, value in request.form.items() if name.endswith(".unit")), "")
    sent = [(name, value) for name, value in request.form.items(multi=True) if name not in ("token", "keep")]
    lines = [(sheet_words.field_asked(*key), sheet_words.value_words(table[key[1]], new)) for key, new in news.items()]
    return render_template("sheet_back.html.jinja", machine=machine, table=table, lines=lines, sent=sent)


def _form(machine: str, table: Table, stop: PatternscanError | None = None) -> str:
    values = sheet_values(site().job(machine))
    fields = form_fields(table, values, request.form, session.get("unit", ""))
    return render_template("sheet_table.html.jinja", machine=machine, table=table, fields=fields, stop=stop)


def _table(name: str) -> Table:
    if name not in TABLES:
        abort(404)
    return TABLES[name]
