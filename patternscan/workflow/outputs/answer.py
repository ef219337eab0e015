"""A result as it is handed over, whatever it is a result of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

Files = dict[Path, bytes]
"""Contents of files by their paths."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A result in JSON for a program, as a report for a person, and in short where the report is long."""

    json: bytes
    report: str
    brief: str = ""

    def files(self, report_name: str, json_name: str) -> dict[str, bytes]:
        """Both as files under these names."""
        return {report_name: self.report.encode(), json_name: self.json}


def inside(folder: Path, files: Mapping[str, bytes]) -> Files:
    """The files as they are to lie in a folder."""
    return {folder / name: content for name, content in files.items()}
