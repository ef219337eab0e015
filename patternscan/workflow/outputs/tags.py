"""What is handed over of a pair of tags: the sheet to print, and the machine sheet with its number."""

from __future__ import annotations

from pathlib import Path

from patternscan.reporting.printed.tag_sheet import tag_sheet
from patternscan.workflow.outputs.answer import Files
from patternscan.workflow.tags import TagsResult


def tag_files(pdf: Path, result: TagsResult) -> Files:
    """The sheet of tags."""
    return {pdf: tag_sheet(result.machine, result.pair)}
