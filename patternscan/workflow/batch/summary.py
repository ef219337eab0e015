"""The tables of many photos: one line per flank, and one per machine where machines were judged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec import UNSET, UnsetType

from patternscan.errors import PatternscanError
from patternscan.frame import Made
from patternscan.measuring.interval import Interval
from patternscan.reporting.documents.judgement import JudgementDocument
from patternscan.reporting.documents.parts import CautionPart, FindingPart, head
from patternscan.reporting.documents.reading import FlankPart
from patternscan.reporting.documents.summary import SummaryDocument
from patternscan.workflow.disk.spreadsheet import Cell, CsvStyle, csv_bytes, harmless

Row = dict[str, Cell]
Tables = dict[str, list[Row]]
"""The lines of each table by the name of its file."""
SUMMARY, MACHINES = "summary.csv", "machines.csv"


def _with_doubt(*names: str) -> tuple[str, ...]:
    return tuple(f"{name}{end}" for name in names for end in ("", "_low", "_high"))


FLANK_COLUMNS = (
    *("photo", "machine", "flank", "tooth", "code", "reason", "remedy"),
    *_with_doubt("coverage", "along", "up"),
    *("judged_fraction", "marking", "medium", "seen", "compound", "cautions", "folder"),
)
MACHINE_COLUMNS = (
    *("machine", "code", "reason", "remedy", "move", "because"),
    *_with_doubt("shared", "opposed", "wheel_toward_a_mm"),
    *("left_flanks", "right_flanks", "photos_not_read", "findings", "cautions", "folder"),
)


def flank_row(flank: FlankPart) -> Row:
    """The line of a flank that was read, from its part of the document of ``read --json``."""
    centroid = flank.centroid
    return {
        "flank": flank.flank.value,
        "tooth": flank.tooth,
        "code": 0,
        **_interval("coverage", flank.coverage),
        **_interval("along", None if centroid is None else centroid.along),
        **_interval("up", None if centroid is None else centroid.up),
        "judged_fraction": flank.judged_fraction,
        "marking": flank.marking.value,
        "medium": flank.medium.value,
        "seen": None if isinstance(flank.seen, UnsetType) else flank.seen.value,
        "compound": flank.compound.value,
        "cautions": _codes(flank.cautions),
    }


def machine_row(judgement: JudgementDocument) -> Row:
    """The line of a machine that was judged, from the document of ``judge --json``."""
    advice, estimate = judgement.advice, judgement.estimate
    return {
        "code": 0,
        "move": advice.move_wheel.value,
        "because": advice.because,
        **_interval("shared", judgement.shared_shift.along),
        **_interval("opposed", judgement.opposed_shift.along),
        **_interval("wheel_toward_a_mm", None if estimate is None else estimate.wheel_toward_a_mm),
        "left_flanks": len(judgement.left),
        "right_flanks": len(judgement.right),
        "findings": _codes(advice.findings),
        "cautions": _codes(judgement.cautions),
    }


def stop_row(stop: PatternscanError) -> Row:
    """The part of a line that says why there is nothing else in it."""
    return {"code": stop.exit_code, "reason": stop.found, "remedy": stop.remedy}


def whole_row(row: Row, columns: Sequence[str]) -> Row:
    """The line with every column, in their order; None where it says nothing."""
    return {name: row.get(name) for name in columns}


def tables_of(flanks: Iterable[Row], machines: Iterable[Row] | None) -> Tables:
    """The tables of all flanks and, where machines were judged, of all machines."""
    tables = {SUMMARY: [whole_row(row, FLANK_COLUMNS) for row in flanks]}
    if machines is not None:
        stops = Counter(row["machine"] for row in tables[SUMMARY] if row["code"])
        tables[MACHINES] = [
            whole_row({**row, "photos_not_read": stops[row["machine"]]}, MACHINE_COLUMNS) for row in machines
        ]
    return tables


def is_table(path: Path) -> bool:
    """Whether a file is a table that an earlier run wrote, in either style."""
    try:
        first = path.read_text(encoding="utf-8-sig").partition("\n")[0]
    except (OSError, UnicodeDecodeError):
        return False
    return first.replace(";", ",").startswith(("photo,machine,", "machine,code,"))


def summary_document(tables: Tables, made: Made) -> SummaryDocument:
    """The tables as one document."""
    machines = tuple(tables[MACHINES]) if MACHINES in tables else UNSET
    return SummaryDocument(**head(made), flanks=tuple(tables[SUMMARY]), machines=machines)


def table_bytes(rows: Sequence[Row], style: CsvStyle) -> bytes:
    """The rows, all of the same columns, as a CSV file; texts are made harmless for spreadsheets."""
    lines = [[harmless(cell) if isinstance(cell, str) else cell for cell in row.values()] for row in rows]
    return csv_bytes([list(rows[0]) if rows else [], *lines], style)


def _interval(name: str, interval: Interval | None) -> Row:
    value, low, high = (None, None, None) if interval is None else (interval.value, interval.low, interval.high)
    return {name: value, f"{name}_low": low, f"{name}_high": high}


def _codes(told: Iterable[CautionPart | FindingPart]) -> str:
    return " ".join(dict.fromkeys(one.code for one in told))
