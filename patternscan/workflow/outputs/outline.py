"""What is handed over of the search for an outline."""

from __future__ import annotations

from pathlib import Path

from patternscan.plain_text import file_stem
from patternscan.reporting import pages
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes
from patternscan.workflow.mark import MarkResult
from patternscan.workflow.outputs.answer import Files, inside


def outline_files(folder: Path, result: MarkResult) -> Files:
    """A page to correct the outline by hand and, when it can be trusted and its flank is known, the outline file.

    The file of a found outline has another name than the one that the page saves.
    """
    stem = file_stem(result.photo.name)
    trusted = result.untrusted is None
    page = pages.marking_page.outline_page(result.photo, result.outlines, result.flank, trusted, result.lift)
    files = {f"{stem}.outline.html": page.encode()}
    if trusted and result.flank is not None:
        document = outline_document(result.photo.name, result.outlines, result.photo.fingerprint)
        found = any(one.source is OutlineSource.FOUND for one in result.outlines)
        files[f"{stem}.found.outline.json" if found else f"{stem}.outline.json"] = outline_file_bytes(document)
    return inside(folder, files)
