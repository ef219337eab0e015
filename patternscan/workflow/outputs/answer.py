"""A result as it is handed over, whatever it is a result of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from msgspec.structs import replace

from patternscan.reporting.documents.parts import Document, encode
from patternscan.reporting.kept.files import digests_of, own_files

Files = dict[Path, bytes]
"""Contents of files by their paths."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A result in JSON for a program, as a report for a person, and in short where the report is long."""

    document: Document
    report: str
    brief: str = ""

    @property
    def json(self) -> bytes:
        """The document as it is printed."""
        return encode(self.document)

    def beside(self, files: Mapping[str, bytes], report_name: str, json_name: str) -> dict[str, bytes]:
        """The files, then both as files under these names; the document comes last and names all others."""
        others = {**files, report_name: self.report.encode()}
        return {**others, json_name: encode(replace(self.document, files=digests_of(others)))}


def inside(folder: Path, files: Mapping[str, bytes]) -> Files:
    """The files as they are to lie in a folder."""
    return {folder / name: content for name, content in files.items()}


def superseded(files: Files) -> set[Path]:
    """The files of older results that these take the place of."""
    return {own for path in files if path.suffix == ".json" for own in own_files(path)}
