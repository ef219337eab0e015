"""Names for folders that every file system takes."""

from __future__ import annotations

import re

LONGEST_NAME = 60
"""Letters in the name of a folder; with four bytes each they still fit on every disk."""
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}
"""Names of devices, which Windows takes for no file whatever follows their first dot (from memory)."""


class FolderNames:
    """Names for folders, no two alike on any disk: further ones of the same name get a number."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def fresh(self, words: str) -> str:
        """A name that is not taken yet, with an underscore for what a file system may not like."""
        plain = re.sub(r"[^\w.-]+", "_", words).strip("._")[:LONGEST_NAME].rstrip("._") or "unnamed"
        plain = f"_{plain}" if plain.partition(".")[0].casefold() in RESERVED else plain
        names = (plain, *(f"{plain}.{number}" for number in range(2, len(self._taken) + 3)))
        name = next(name for name in names if name.casefold() not in self._taken)
        self._taken.add(name.casefold())
        return name
