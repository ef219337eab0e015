"""The tables of a survey: one line per flank, and one per machine where machines were judged."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from enum import StrEnum
from typing import Any

from patternscan.errors import PatternscanError
from patternscan.survey.photo_list import FORMULA_SIGNS

Cell = str | float | int | None
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
    *("left_flanks", "right_flanks", "photos_declined", "findings", "cautions", "folder"),
)


class CsvStyle(StrEnum):
    """How numbers and cells are written."""

    POINT = "point"
    """Decimal points, commas between cells."""
    COMMA = "comma"
    """Decimal commas, semicolons between cells, and a mark by which spreadsheets know the text for UTF-8."""


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
    """The rows, all of the same columns, as a CSV file in UTF-8.

    An apostrophe goes before texts that a spreadsheet would run as a formula.
    """
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";" if style is CsvStyle.COMMA else ",", lineterminator="\n")
    writer.writerow(rows[0] if rows else ())
    writer.writerows([_cell(value, style) for value in row.values()] for row in rows)
    return text.getvalue().encode("utf-8-sig" if style is CsvStyle.COMMA else "utf-8", "replace")


def _cell(value: Cell, style: CsvStyle) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        words = " ".join(value.split())
        return f"'{words}" if value.startswith(FORMULA_SIGNS) or words.startswith(FORMULA_SIGNS) else words
    return str(value).replace(".", ",") if style is CsvStyle.COMMA else str(value)


def _interval(name: str, numbers: dict[str, float] | None) -> Row:
    numbers = numbers or {}
    return {name: numbers.get("value"), f"{name}_low": numbers.get("low"), f"{name}_high": numbers.get("high")}


def _codes(doubts: Iterable[dict[str, Any]]) -> str:
    return " ".join(dict.fromkeys(one["code"] for one in doubts))
