"""What came of many photos, in words: a line for each that is finished, and the summary at the end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from patternscan.cautions import ASKED_BACK
from patternscan.handles import Handle, named
from patternscan.judging.advice import Move
from patternscan.plain_text import shortened
from patternscan.reporting.text.findings import finding_notes
from patternscan.reporting.text.wording import MOVE_WORDS

Row = Mapping[str, str | float | int | None]
"""A line of a table by the names of its columns."""
CROSSED = "crossed"
"""The finding that 'not by shim' says in its own words."""
MOST_NAMED = 10
"""Stops that are told at the end; the table has them all."""
UNNAMED, FEW = "The machine", 3
"""What a machine without a name is called, and how many of those that one fault stopped are named."""
ANSWER_FIRST = "First answer what its report asks."
"""Said of a machine whose answer hangs on what only a person there can tell."""


def batch_report(flanks: Sequence[Row], machines: Sequence[Row] | None, tables: Iterable[Path]) -> str:
    """How many, what each machine needs, and what was in the way; ``machines`` None when none were to be judged."""
    read = sum(row["code"] == 0 for row in flanks)
    lines = [f"Flanks read: {read}. Not read: {len(flanks) - read}."]
    if machines is not None:
        judged = [row for row in machines if row["code"] == 0]
        lines.append(f"Machines judged: {len(judged)}. Not judged: {len(machines) - len(judged)}.")
        lines += [f"- {row['machine'] or UNNAMED}: {_advice(row)}" for row in judged]
    stops = _stops(flanks, machines or [])
    if stops:
        lines += ["", "What was in the way:", *stops[:MOST_NAMED]]
        lines += [f"- and {len(stops) - MOST_NAMED} more, in the table."] if len(stops) > MOST_NAMED else []
    return "\n".join([*lines, "", *(f"Table: {table}" for table in tables)])


def unused_line(sheets: Iterable[Path]) -> str:
    """One line about machine sheets that lie in the folder and are not used."""
    names = shortened(", ".join(dict.fromkeys(sheet.name for sheet in sheets)))
    return f"Not used: the machine sheet {names}. Name it {named(Handle.SHEET)}, or for each photo in the list."


def finished_line(title: str, stop: Row | None, machine: Row | None, reused: bool) -> str:
    """One line about a photo or machine that is finished; ``stop`` says why it could not be done, and what to do about
    it stands at the end of all.
    """
    name = title or UNNAMED
    if stop is not None:
        return f"{name}: {stop['reason']}"
    fate = "read" if machine is None else f"judged ({_move_words(machine)})"
    return f"{name}: {fate}{', already in an earlier run' if reused else ''}"


def _move_words(machine: Row) -> str:
    words = MOVE_WORDS[Move(str(machine["move"]))]
    return f"{words[0].lower()}{words[1:]}"


def _advice(machine: Row) -> str:
    """The direction, what to answer before it, and what else the pattern shows, as briefly as on a picture."""
    move = Move(str(machine["move"]))
    codes = str(machine["findings"]).split()
    notes = finding_notes(code for code in codes if not (move is Move.NOT_BY_SHIM and code == CROSSED))
    asked = [] if ASKED_BACK.isdisjoint(str(machine["cautions"]).split()) else [ANSWER_FIRST]
    return " ".join([*asked, f"{MOVE_WORDS[move]}.", *notes])


def _stops(flanks: Sequence[Row], machines: Sequence[Row]) -> list[str]:
    """One line for each stop, with all whom it stopped; that of a machine is not told again for its photos."""
    whole = [row for row in machines if row["code"]]
    told = {row["reason"] for row in whole}
    single = [row for row in flanks if row["code"] and row["reason"] not in told]
    stopped: dict[str, list[str]] = {}
    for row in (*whole, *single):
        names = stopped.setdefault(f"{row['reason']} {row['remedy']}", [])
        names.append(str(row.get("photo") or row["machine"] or UNNAMED))
    return [f"- {words if names[0] in words else f'{_names(names)}: {words}'}" for words, names in stopped.items()]


def _names(names: Sequence[str]) -> str:
    """A few of the names, and how many more there are."""
    more = len(names) - FEW
    return f"{', '.join(names[:FEW])} and {more} more" if more > 1 else ", ".join(names)
