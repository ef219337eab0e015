"""What comes of many photos: the tables, the words at the end, and a line for each that is finished."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from patternscan.cli.errands import Outcome
    from patternscan.workflow.batch.summary import Row

    Tables = dict[str, list[Row]]

SUMMARY, MACHINES = "summary.csv", "machines.csv"
MOST_NAMED = 10
"""Stops that are told again at the end; the table has them all."""


def tables_of(outcomes: Iterable[Outcome], machines: bool) -> Tables:
    """The lines of each table by its name."""
    from patternscan.workflow.batch.summary import FLANK_COLUMNS, MACHINE_COLUMNS, whole_row

    tables = {SUMMARY: [whole_row(row, FLANK_COLUMNS) for outcome in outcomes for row in outcome.flanks]}
    if machines:
        stops = Counter(row["machine"] for row in tables[SUMMARY] if row["code"])
        judged = [outcome.machine for outcome in outcomes if outcome.machine is not None]
        tables[MACHINES] = [
            whole_row({**row, "photos_not_read": stops[row["machine"]]}, MACHINE_COLUMNS) for row in judged
        ]
    return tables


def write_tables(tables: Tables, out: Path, csv_style: str) -> None:
    """Write the tables in place of those of an earlier run. Raises CannotWrite."""
    from patternscan.reporting.documents.delivery import deliver
    from patternscan.workflow.batch.spreadsheet import CsvStyle
    from patternscan.workflow.batch.summary import table_bytes

    deliver({out / name: table_bytes(rows, CsvStyle(csv_style)) for name, rows in tables.items()}, True)


def is_table(path: Path) -> bool:
    """Whether a file is a table that an earlier run wrote, in either style."""
    try:
        first = path.read_text(encoding="utf-8-sig").partition("\n")[0]
    except (OSError, UnicodeDecodeError):
        return False
    return first.replace(";", ",").startswith(("photo,machine,", "machine,code,"))


def as_json(tables: Tables) -> str:
    """The tables as one JSON document."""
    named = {"flanks": tables[SUMMARY]} | ({"machines": tables[MACHINES]} if MACHINES in tables else {})
    return json.dumps({"format": "patternscan-summary", "version": 1, **named}, indent=1, allow_nan=False)


def in_words(tables: Tables, out: Path) -> str:
    """How many, what each machine needs, and what was in the way."""
    flanks, machines = tables[SUMMARY], tables.get(MACHINES)
    read = sum(row["code"] == 0 for row in flanks)
    lines = [f"Flanks read: {read}. Not read: {len(flanks) - read}."]
    if machines is not None:
        judged = [row for row in machines if row["code"] == 0]
        lines.append(f"Machines judged: {len(judged)}. Not judged: {len(machines) - len(judged)}.")
        lines += [f"- {row['machine'] or 'The machine'}: {_advice(row)}" for row in judged]
    stops = _stops(flanks, machines or [])
    if stops:
        lines += ["", "What was in the way:", *stops[:MOST_NAMED]]
        lines += [f"- and {len(stops) - MOST_NAMED} more, in the table."] if len(stops) > MOST_NAMED else []
    return "\n".join([*lines, "", *(f"Table: {out / name}" for name in tables)])


def _advice(machine: Row) -> str:
    """The direction, and what else the pattern shows, as briefly as on a picture."""
    from patternscan.cautions import Finding
    from patternscan.judging.advice import Move
    from patternscan.reporting.text.wording import MOVE_WORDS, finding_notes

    findings = [Finding(code, "") for code in str(machine["findings"]).split()]
    return " ".join([f"{MOVE_WORDS[Move(str(machine['move']))]}.", *finding_notes(findings)])


def _stops(flanks: Sequence[Row], machines: Sequence[Row]) -> list[str]:
    """One line for each stop; that of a machine is not told again for its photos."""
    whole = [row for row in machines if row["code"]]
    told = {row["reason"] for row in whole}
    single = [row for row in flanks if row["code"] and row["reason"] not in told]
    return [f"- {row.get('photo') or row['machine']}: {row['reason']} {row['remedy']}" for row in (*whole, *single)]


def tell(done: int, number: int, title: str, outcome: Outcome) -> None:
    """One line about what is finished, on standard error."""
    stop = outcome.stop
    if stop is not None:
        fate = f"{stop['reason']} {stop['remedy']}"
    else:
        fate = "read" if outcome.machine is None else f"judged, {outcome.machine['move']}"
        fate += ", already in an earlier run" if outcome.reused else ""
    click.echo(f"[{done}/{number}] {title or 'The machine'}: {fate}", err=True)
