"""The document of many photos: a line per flank and, where machines were judged, one per machine."""

from __future__ import annotations

from msgspec import UNSET, UnsetType

from patternscan.reporting.documents.parts import Document

Line = dict[str, str | float | int | None]
"""The cells of a table's line by their columns; None for an empty one."""


class SummaryDocument(Document, frozen=True, kw_only=True, tag="patternscan-summary"):
    """What ``read --json`` and ``judge --json`` print of a folder."""

    flanks: tuple[Line, ...]
    machines: tuple[Line, ...] | UnsetType = UNSET
