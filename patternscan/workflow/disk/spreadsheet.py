"""CSV files as spreadsheets take them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from enum import StrEnum

from patternscan.plain_text import one_line

Cell = str | float | int | None

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Texts that begin so are run as formulas, the last four being in full width. Source: OWASP, CSV Injection."""


class CsvStyle(StrEnum):
    """How numbers and cells are written."""

    POINT = "point"
    """Decimal points, commas between cells."""
    COMMA = "comma"
    """Decimal commas, semicolons between cells, and a mark by which spreadsheets know the text for UTF-8."""


def csv_bytes(lines: Iterable[Sequence[Cell]], style: CsvStyle) -> bytes:
    r"""Lines as a CSV file in UTF-8. Texts stay as they are; see ``harmless``.

    >>> csv_bytes([["a;b", 0.5, None]], CsvStyle.POINT)
    b'a;b,0.5,\n'
    """
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";" if style is CsvStyle.COMMA else ",", lineterminator="\n")
    writer.writerows([_written(cell, style) for cell in line] for line in lines)
    return text.getvalue().encode("utf-8-sig" if style is CsvStyle.COMMA else "utf-8", "replace")


def harmless(words: str) -> str:
    """Words on one line that no spreadsheet runs: an apostrophe goes before what looks like a formula.

    >>> print(harmless("=1+1"))
    '=1+1
    """
    line = one_line(words)
    return f"'{line}" if line.startswith(FORMULA_SIGNS) else line


def _written(cell: Cell, style: CsvStyle) -> str:
    if cell is None or isinstance(cell, str):
        return cell or ""
    return str(cell).replace(".", ",") if style is CsvStyle.COMMA else str(cell)
