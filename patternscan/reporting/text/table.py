"""A table of words, for pages and paper alike."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of words, the first of each naming the row.

    ``head`` holds short words of our own. ``struck`` holds the places of rows that no longer count (their last cell
    says why); ``blank`` leaves room to write in by hand.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    struck: frozenset[int] = frozenset()
    blank: bool = False
