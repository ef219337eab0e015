"""A flank laid out for a person to paint, and what was painted kept beside the photo."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import msgspec

from patternscan.errors import PatternscanError
from patternscan.reporting.drawing.encoding import jpeg_bytes
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.web.drafts.draft import DraftPhoto
from patternscan.web.drafts.look import Said
from patternscan.web.drafts.store import DraftFolder, keep
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import SettingsRequest, load_settings
from patternscan.workflow.inputs.shown_flank import as_flank
from patternscan.workflow.outputs.truth import painting_parts
from patternscan.workflow.proof.truth import bare_flank

JOB, FLAT, STOP = "painting.json", "painting.jpg", "painting.stop.json"
"""What the page's script has to know, last; the picture that is painted on; why there can be none."""


def lay_out_painting(folder: DraftFolder, photo: DraftPhoto, settings: SettingsRequest) -> None:
    """Lay down what the painting page needs of a photo whose A was touched, or the two sentences of the stop."""
    try:
        given = PhotoInput(folder.photo_path(photo), photo.flank, _seen_to(folder, photo), photo.tip)
        job, flat = painting_parts(bare_flank(given, load_settings(settings)))
    except PatternscanError as stop:
        keep(folder.path / photo.made_of(STOP), Said.of(stop))
        return
    replace_file(folder.path / photo.made_of(FLAT), jpeg_bytes(flat))
    replace_file(folder.path / photo.made_of(JOB), msgspec.json.encode(job))


def painted_files(folder: DraftFolder, photo: DraftPhoto) -> list[Path]:
    """What people painted of a photo."""
    return sorted(folder.photo_path(photo).parent.glob(f"photo_{photo.number}.*truth.json"))


def _seen_to(folder: DraftFolder, photo: DraftPhoto) -> Path:
    """The outline on which a person touched the A, so that it is that person's word."""
    content = read_outline_file(folder.outline_path(photo))
    given = [replace(as_flank(one, photo.flank), source=OutlineSource.GIVEN) for one in content.outlines]
    path = folder.path / photo.made_of("painted.outline.json")
    replace_file(path, outline_file_bytes(outline_document(photo.file_name, given, content.picture)))
    return path
