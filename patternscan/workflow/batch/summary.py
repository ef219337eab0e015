"""The tables of a survey: one line per flank, and one per machine where machines were judged."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from patternscan.errors import PatternscanError
from patternscan.workflow.batch.spreadsheet import Cell, CsvStyle, csv_bytes, harmless

Row = dict[str, Cell]


def _with_doubt(*names: str) -> tuple[str, ...]:
    return tuple(f"{name}{end}" for name in names for end in ("", "_low", "_high"))


FLANK_COLUMNS = (
    *("photo", "machine", "flank", "tooth", "code", "reason", "remedy"),
    *_with_doubt("coverage", "along", "up"),
    *("judged_fraction", "marking", "compound", "cautions", "folder"),
)
MACHINE_COLUMNS = (
    *("machine", "code", "reason", "remedy", "move", "because"),
    *_with_doubt("shared", "opposed", "wheel_toward_a_mm"),
    *("left_flanks", "right_flanks", "photos_not_read", "findings", "cautions", "folder"),
)


def flank_row(flank: dict[str, Any]) -> Row:
    """The line of a flank that was read, from its part of the document of ``read --json``."""
    centroid = flank["centroid"] or {"along": None, "up": None}
    return {
        "flank": flank["flank"],
        "tooth": flank["tooth"],
        "code": 0,
        **_interval("coverage", flank["coverage"]),
        **_interval("along", centroid["along"]),
        **_interval("up", centroid["up"]),
        "judged_fraction": flank["judged_fraction"],
        "marking": flank["marking"],
        "compound": flank["compound"],
        "cautions": _codes(flank["cautions"]),
    }


def machine_row(judgement: dict[str, Any]) -> Row:
    """The line of a machine that was judged, from the document of ``judge --json``."""
    advice, estimate = judgement["advice"], judgement["estimate"] or {}
    return {
        "code": 0,
        "move": advice["move_wheel"],
        "because": advice["because"],
        **_interval("shared", judgement["shared_shift"]["along"]),
        **_interval("opposed", judgement["opposed_shift"]["along"]),
        **_interval("wheel_toward_a_mm", estimate.get("wheel_toward_a_mm")),
        "left_flanks": len(judgement["left"]),
        "right_flanks": len(judgement["right"]),
        "findings": _codes(advice["findings"]),
        "cautions": _codes(judgement["cautions"]),
    }


def stop_row(stop: PatternscanError) -> Row:
    """The part of a line that says why there is nothing else in it."""
    return {"code": stop.exit_code, "reason": stop.found, "remedy": stop.remedy}


def whole_row(row: Row, columns: Sequence[str]) -> Row:
    """The line with every column, in their order; None where it says nothing."""
    return {name: row.get(name) for name in columns}


def table_bytes(rows: Sequence[Row], style: CsvStyle) -> bytes:
    """The rows, all of the same columns, as a CSV file; texts are made harmless for spreadsheets."""
    lines = [[harmless(cell) if isinstance(cell, str) else cell for cell in row.values()] for row in rows]
    return csv_bytes([list(rows[0]) if rows else [], *lines], style)


def _interval(name: str, numbers: dict[str, float] | None) -> Row:
    numbers = numbers or {}
    return {name: numbers.get("value"), f"{name}_low": numbers.get("low"), f"{name}_high": numbers.get("high")}


def _codes(doubts: Iterable[dict[str, Any]]) -> str:
    return " ".join(dict.fromkeys(one["code"] for one in doubts))
