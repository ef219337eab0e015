"""A sheet of printed tags for one machine, and its pair number on the machine sheet."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from pathlib import Path

from patternscan.seeing.tags.tag_pair import PAIRS
from patternscan.setting.machine.filled_sheet import with_values
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.text_file import text_bytes


@dataclass(frozen=True, slots=True)
class TagsRequest:
    """The machine's name, where it is not on the sheet, and its sheet, None when there is none."""

    machine: str | None = None
    sheet: Path | None = None


@dataclass(frozen=True, slots=True)
class TagsResult:
    """The pair, and the sheet's new content where it named none yet."""

    machine: str | None
    pair: int
    new_sheet: bytes | None = None


def choose_tags(request: TagsRequest) -> TagsResult:
    """The pair on the machine sheet, else one by chance. Raises WrongUse for a faulty sheet."""
    sheet = Sheet() if request.sheet is None else read_sheet(request.sheet)
    machine = request.machine or sheet.machine
    if sheet.tag_pair is not None:
        return TagsResult(machine, sheet.tag_pair)
    pair = secrets.randbelow(PAIRS)
    if request.sheet is None:
        return TagsResult(machine, pair)
    text = text_bytes(request.sheet).decode("utf-8-sig")
    return TagsResult(machine, pair, with_values(text, {("tags", "pair"): pair}).encode())
