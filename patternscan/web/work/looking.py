"""The first look at a photo, right after it was taken: the flank found in it, and what is wrong with the picture."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import msgspec

from patternscan.cautions import Caution
from patternscan.errors import NoCompound, PatternscanError, UnreadablePhoto
from patternscan.reporting.drawing.encoding import jpeg_bytes
from patternscan.reporting.pages.marking_page import marking_job
from patternscan.reporting.pictures.photo_view import photo_view
from patternscan.reporting.text.answers.cure import RETAKE
from patternscan.reporting.text.cautions import caution_remedy, caution_sentence, weightiest_first
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes
from patternscan.seeing.image.photo import load_photo
from patternscan.web.drafts.draft import DraftPhoto
from patternscan.web.drafts.look import Look, Said
from patternscan.web.drafts.progress import Stage, telling
from patternscan.web.drafts.store import DraftFolder, keep
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import SettingsRequest, load_settings
from patternscan.workflow.mark import MarkRequest, MarkResult, find_outline
from patternscan.workflow.read import ReadRequest, read_photo

MOST_MEGAPIXELS = 60.0
"""A photo on a page may have no more: phones save 12 to 50."""
MOST_DOUBTS = 3
"""So many doubts are said while the person still stands there; the report has all."""
FOUND = 0.7
"""At least this part of the time of a look has gone when the flank is found: 0.69 to 0.80 (``served.py stages dev
--only "dev_job001 before"``, two machines)."""
ASKED_ON_THE_PAGE = ("outline-found", "outline-found-unsure", "outline-fitted", "lifted")
"""What the page itself asks a person to settle."""
BY_ANOTHER_PHOTO = {*RETAKE, "turned-away", "behind-next-tooth", "bare-metal"}
"""What another photo cures; all else has to be looked up or done first."""


def look_at(folder: DraftFolder, photo: DraftPhoto, settings: SettingsRequest) -> None:
    """Lay down beside the photo: the picture to show, the outline, the start for marking by hand, last the look."""
    tell = telling(folder.look_progress(photo))
    tell(Stage.FINDING, 0.0)
    by_hand = folder.outline_path(photo) if photo.corners else None
    given = PhotoInput(folder.photo_path(photo), photo.flank, by_hand, photo.tip, photo.tooth_at)
    try:
        found = find_outline(MarkRequest(given, MOST_MEGAPIXELS, told=settings.told))
    except (NoCompound, UnreadablePhoto) as stop:
        keep(folder.path / photo.made_of("look.json"), Look(stop=Said.of(stop)))
        return
    tell(Stage.MEASURING, FOUND)
    outline = next(iter(found.outlines), None)
    _lay_down_pictures(folder, photo, found, outline)
    if outline is None or found.untrusted is not None:
        blamed = () if found.untrusted is None or not found.untrusted.blame else (Said.of(found.untrusted),)
        keep(folder.path / photo.made_of("look.json"), _look(found, outline, blamed))
        return
    given = replace(given, outline=folder.outline_path(photo))
    outline, doubts = _read(given, outline, settings)
    keep(folder.path / photo.made_of("look.json"), _look(found, outline, doubts[:MOST_DOUBTS]))


def ready() -> None:
    """Nothing: but a process that was asked for it has loaded what a look needs."""


def show_photo(original: Path, view: Path) -> None:
    """Lay down the picture that is shown of any photo. Raises UnreadablePhoto."""
    replace_file(view, jpeg_bytes(photo_view(load_photo(original, MOST_MEGAPIXELS))))


def _look(found: MarkResult, outline: Outline | None, doubts: tuple[Said, ...]) -> Look:
    size = found.photo.size_px
    if outline is None:
        return Look(*size, doubts=doubts)
    border, tip = ([(round(x, 1), round(y, 1)) for x, y in edge.tolist()] for edge in (outline.border, outline.tip))
    return Look(*size, tuple(border), tuple(tip), outline.tip_side, found.untrusted is None, doubts)


def _lay_down_pictures(folder: DraftFolder, photo: DraftPhoto, found: MarkResult, outline: Outline | None) -> None:
    outlines = [] if outline is None else [replace(outline, tooth="1")]
    replace_file(folder.path / photo.view_name, jpeg_bytes(photo_view(found.photo)))
    if outlines and not photo.corners:
        document = outline_document(found.photo.name, outlines, found.photo.fingerprint)
        replace_file(folder.outline_path(photo), outline_file_bytes(document))
    start = marking_job(found.photo, outlines, photo.flank, found.untrusted is None, found.lift)
    replace_file(folder.path / photo.made_of("marking.json"), msgspec.json.encode(start))


def _read(given: PhotoInput, outline: Outline, request: SettingsRequest) -> tuple[Outline, tuple[Said, ...]]:
    """The outline as it is read, and what is wrong with the photo, so that it can be taken again on the spot."""
    try:
        (reading,) = read_photo(ReadRequest(given, load_settings(request))).readings
    except PatternscanError as stop:
        return outline, (replace(Said.of(stop), retake=isinstance(stop, (NoCompound, UnreadablePhoto))),)
    seen = reading.outline.enlarged(reading.photo.times)
    told = (one for one in weightiest_first(reading.cautions) if one.code not in ASKED_ON_THE_PAGE)
    return seen, tuple(map(_said, told))


def _said(caution: Caution) -> Said:
    return Said(caution_sentence(caution), caution_remedy(caution), caution.code in BY_ANOTHER_PHOTO)
