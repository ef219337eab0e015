"""A reading: whatever it asks for now, and the choices that need no photo."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.exceptions import BadRequest
from werkzeug.wrappers import Response

from patternscan.frame import Flank, Marking
from patternscan.reporting.text.web.door_words import BUSY, NOBODY_WORKS, OUR_FAULT
from patternscan.seeing.geometry import told_medium
from patternscan.setting.machine.sheet import Sheet
from patternscan.web.door.site import sheet_of, site
from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.look import Look, Said
from patternscan.web.drafts.progress import progress_at
from patternscan.web.drafts.secured import note_secured
from patternscan.web.drafts.step import Asks, Step, next_step
from patternscan.web.drafts.store import DraftFolder, keep
from patternscan.web.work.answering import answer_draft
from patternscan.web.work.looking import look_at
from patternscan.web.work.pool import State

TEMPLATES = {Asks.MARKING: "how_marked.html.jinja"}
"""Screens whose template has another name, since the page for marking by hand has theirs."""
Word = TypeVar("Word", Flank, Marking)
screens = Blueprint("reading", __name__, url_prefix="/readings/<key>")


@screens.get("/")
def now(key: str) -> str | Response:
    """The screen of what is missing first."""
    folder = site().drafts.folder(key)
    draft = folder.read()
    step = next_step(draft, folder)
    if step.asks is Asks.ANSWER:
        return redirect(url_for("answer.shown", key=key))
    state = _work(draft, folder, step)
    if state is State.FAILED:
        _give_up(draft, folder, step)
        step = next_step(draft, folder)
    return _screen(draft, folder, step, state)


@screens.post("/machine")
def choose_machine(key: str) -> Response:
    """The machine by its folder, a new one by its name, or none."""
    name, new = request.form.get("machine", ""), request.form.get("new", "")
    machine = site().new_machine(new) if name == "new" else name or None
    folder = site().drafts.folder(key)
    if machine is not None:
        note_secured(site().job(machine), folder.read().by)
    sheet = Sheet() if machine is None else sheet_of(site().job(machine))
    folder.change(lambda draft: draft.of_machine(machine, sheet))
    return redirect(url_for("reading.now", key=key), 303)


@screens.post("/marking")
def choose_marking(key: str) -> Response:
    """How the teeth were marked."""
    return _changed(key, marking=_word(Marking, "marking"))


@screens.post("/medium")
def choose_medium(key: str) -> Response:
    """What is photographed: the flank, or the side of tape or paper that is seen."""
    told = told_medium.WORDS.get(request.form.get("medium", ""))
    if told is None:
        raise BadRequest
    site().drafts.folder(key).change(lambda draft: draft if draft.told == told else draft.of_medium(told))
    return redirect(url_for("reading.now", key=key), 303)


@screens.post("/more")
def choose_more(key: str) -> Response:
    """A further tooth of a flank; without a flank no further one, and the answer if it is asked for."""
    folder = site().drafts.folder(key)
    if request.form.get("flank"):
        flank = _word(Flank, "flank")
        folder.change(lambda draft: replace(draft, wanted=flank, asked=0, choosing=True))
    elif "photos" in request.form:
        folder.change(lambda draft: replace(draft, wanted=None, asked=0, choosing=True))
    else:
        folder.change(Draft.asking)
    return redirect(url_for("reading.now", key=key), 303)


@screens.get("/throw-away")
def asked_away(key: str) -> str | Response:
    """Whether it is to be thrown away; not for one that has its answer."""
    folder = site().drafts.folder(key)
    draft = folder.read()
    if next_step(draft, folder).asks is Asks.ANSWER:
        return redirect(url_for("answer.shown", key=key))
    machine = None if draft.machine is None else site().job(draft.machine)
    name = None if machine is None else sheet_of(machine).machine or draft.machine
    return render_template("throw_away.html.jinja", draft=draft, name=name)


@screens.post("/throw-away")
def throw_away(key: str) -> Response:
    """Nobody sees the reading any more, unless it has its answer by now; photos and log stay as they are."""
    folder = site().drafts.folder(key)

    def thrown(draft: Draft) -> Draft:
        answered = next_step(draft, folder).asks is Asks.ANSWER
        return draft if answered else replace(draft, thrown_away=True)

    if folder.change(thrown).thrown_away:
        return redirect(url_for("home.first"), 303)
    return redirect(url_for("answer.shown", key=key), 303)


def job_of(draft: Draft) -> Path | None:
    """The folder of the machine's job, None for no machine. Raises NoSuchMachine."""
    return None if draft.machine is None else site().job(draft.machine)


def _changed(key: str, **values: object) -> Response:
    site().drafts.folder(key).change(lambda draft: replace(draft, **values))  # type: ignore[arg-type]
    return redirect(url_for("reading.now", key=key), 303)


def _word(kind: type[Word], name: str) -> Word:
    try:
        return kind(request.form.get(name, ""))
    except ValueError as error:
        raise BadRequest from error


def _work(draft: Draft, folder: DraftFolder, step: Step) -> State | None:
    """Have done what the step waits for; None when it waits for a person."""
    if step.asks is Asks.JUDGING:
        return site().pool.ask(_name(draft, step), answer_draft, folder, draft, site().settings(draft), job_of(draft))
    if step.asks is Asks.LOOKING and step.photo is not None:
        return site().pool.ask(_name(draft, step), look_at, folder, step.photo, site().settings(draft))
    return None


def _name(draft: Draft, step: Step) -> str:
    """What the work that a step waits for is called."""
    if step.photo is None:
        return f"{draft.key} answer {draft.asked}"
    return f"{draft.key} photo {step.photo.number} {step.photo.version}"


def _trouble(state: State | None) -> tuple[str, str] | None:
    """Why it may take long, None for work that goes on or that nobody waits for."""
    if state is State.REFUSED:
        return BUSY
    return NOBODY_WORKS if state is not None and not site().pool.alive() else None


def _give_up(draft: Draft, folder: DraftFolder, step: Step) -> None:
    """Note that the work failed by a fault of ours, so that the person can go on with another photo."""
    said = Said(*OUR_FAULT)
    if step.photo is not None:
        keep(folder.path / step.photo.made_of("look.json"), Look(stop=said))
    else:
        keep(folder.path / f"answer_{draft.asked}.stop.json", said)


def _screen(draft: Draft, folder: DraftFolder, step: Step, state: State | None) -> str:
    name = _name(draft, step)
    return render_template(
        TEMPLATES.get(step.asks, f"{step.asks.value}.html.jinja"),
        draft=draft,
        step=step,
        busy=_trouble(state),
        before=site().pool.before(name),
        progress=progress_at(folder.look_progress(step.photo) if step.photo else folder.answer_progress(draft)),
        teeth=sum(photo.flank is step.flank for photo in draft.photos),
        machines=site().machines() if step.asks is Asks.MACHINE else (),
        stop=folder.answer_stop(draft) if step.asks is Asks.NO_ANSWER else None,
    )
