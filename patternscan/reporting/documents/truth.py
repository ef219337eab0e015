"""The truth file: what a person says is true of the flanks of one photo. It lies beside the photo."""

from __future__ import annotations

import binascii
from base64 import b64decode, b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
import numpy as np
from msgspec import UNSET, Meta, Struct, UnsetType
from numpy.typing import NDArray
from PIL import Image

from patternscan.errors import PatternscanError, WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.plain_text import one_line, printable
from patternscan.reporting.drawing.encoding import png_bytes
from patternscan.seeing.geometry.outline import EDGE_NAMES, checked_outline
from patternscan.seeing.geometry.outline_file import Points, Sides, kept_picture, picture_keys, rounded_points
from patternscan.seeing.image.photo_cut import PhotoCut
from patternscan.text_file import text_bytes

TRUTH_FORMAT = "patternscan-truth"
TRUTH_ENDING = ".truth.json"
CONTACT, NOT_JUDGED = 255, 128
MOST_PX, MOST_WHOLE_PX = 40_000, 40_000_000
"""Columns or rows, and pixels, of a whole photo that a truth file may tell of: more than a photo is ever held with."""
PAINT_AGAIN = "Paint it again with 'patternscan truth PHOTO', or take the file out of the folder."


class TrueFlank(Struct, frozen=True, kw_only=True):
    """One flank: edges as in the outline file, and its contact as a grey PNG in base64, 256 columns (A to B) by 128
    rows (top row = tip): 255 contact, 0 none, 128 cannot be judged.
    """

    flank: Flank
    tooth: str | int = "1"
    marking: Marking
    compound: Compound | None = None
    root: Points
    tip: Points
    end_a: Points
    end_b: Points
    contact: Annotated[str, Meta(max_length=100_000)]


class CutPart(Struct, frozen=True, kw_only=True):
    """Where the photo was cut out of a larger one: its top left pixel there, and how large that one was."""

    left_px: Annotated[int, Meta(ge=0, le=MOST_PX)]
    top_px: Annotated[int, Meta(ge=0, le=MOST_PX)]
    whole_width_px: Annotated[int, Meta(ge=1, le=MOST_PX)]
    whole_height_px: Annotated[int, Meta(ge=1, le=MOST_PX)]


class TruthDocument(Struct, frozen=True, kw_only=True, tag_field="format", tag=TRUTH_FORMAT):
    """The file's content. ``photo`` is the photo's name; ``by`` who painted, ``made_at`` when (ISO 8601).

    ``machine`` tells whose flank it is; empty: the machine sheet beside it tells, or the photo's name or folder.
    ``photo_px`` and ``grey_cells``: the photo that was painted on, as in the outline file; older files do not tell.
    ``cut`` stands where the photo is a piece that was given away; edges are in pixels of the piece.
    """

    version: Literal[1]
    photo: str
    machine: str = ""
    by: str = ""
    made_at: str = ""
    photo_px: Sides | UnsetType = UNSET
    grey_cells: str | UnsetType = UNSET
    cut: CutPart | UnsetType = UNSET
    flanks: Annotated[tuple[TrueFlank, ...], Meta(min_length=1)]


@dataclass(frozen=True, slots=True, eq=False)
class TruthFile:
    """What a truth file holds; ``machine`` is empty where it does not tell, ``cut`` None where the photo is whole."""

    path: Path
    photo: Path
    machine: str
    truths: tuple[Truth, ...]
    cut: PhotoCut | None = None


def read_truth_file(path: Path) -> TruthFile:
    """Read and check a truth file. Raises WrongUse for one that is missing, damaged or no truth file."""
    try:
        return parse_truth(text_bytes(path), path)
    except OSError as error:
        raise WrongUse(f"The truth file {path} cannot be read: {error.strerror or error}.", PAINT_AGAIN) from error


def parse_truth(content: bytes, path: Path) -> TruthFile:
    """The content of a truth file that lies, or is to lie, at ``path``. Raises WrongUse for anything else."""
    try:
        document = msgspec.json.decode(content.removeprefix(b"\xef\xbb\xbf"), type=TruthDocument)
        truths, cut = tuple(_truth(document, entry) for entry in document.flanks), _cut(document.cut)
    except (ValueError, RecursionError, PatternscanError) as error:
        told = f" {error.found}" if isinstance(error, PatternscanError) else ""
        raise WrongUse(f"{path.name} is no truth file, or it is damaged.{told}", PAINT_AGAIN) from error
    photo = path.parent / Path(document.photo).name
    return TruthFile(path, photo, one_line(document.machine), truths, cut)


def truth_document(truths: Sequence[Truth], machine: str = "", cut: PhotoCut | None = None) -> TruthDocument:
    """The truth file of one photo by one person; at least one flank. ``cut``: where the photo is a piece of another."""
    first = truths[0]
    told: dict[str, Any] = {"photo": first.photo, "machine": machine, "by": first.by, "made_at": first.made_at}
    told |= {} if first.picture is None else picture_keys(first.picture)
    return TruthDocument(version=1, flanks=tuple(map(_entry, truths)), cut=_cut_part(cut), **told)


def contact_levels(contact: NDArray[np.bool_], judged: NDArray[np.bool_]) -> NDArray[np.uint8]:
    """The grey levels of a contact map in files, uint8 (rows, columns)."""
    return np.where(judged, np.where(contact, CONTACT, 0), NOT_JUDGED).astype(np.uint8)


def _cut_part(cut: PhotoCut | None) -> CutPart | UnsetType:
    if cut is None:
        return UNSET
    (left, top), (width, height) = cut.corner_px, cut.whole_px
    return CutPart(left_px=left, top_px=top, whole_width_px=width, whole_height_px=height)


def _cut(part: CutPart | UnsetType) -> PhotoCut | None:
    if isinstance(part, UnsetType):
        return None
    if part.whole_width_px * part.whole_height_px > MOST_WHOLE_PX:
        raise ValueError("the whole photo is too large")
    return PhotoCut((part.left_px, part.top_px), (part.whole_width_px, part.whole_height_px))


def _entry(truth: Truth) -> TrueFlank:
    edges = {name: rounded_points(getattr(truth.outline, name)) for name in EDGE_NAMES}
    picture = png_bytes(Image.fromarray(contact_levels(truth.contact, truth.judged)))
    return TrueFlank(
        flank=truth.outline.flank,
        tooth=truth.outline.tooth,
        marking=truth.marking,
        compound=truth.compound,
        contact=b64encode(picture).decode("ascii"),
        **edges,
    )


def _truth(document: TruthDocument, entry: TrueFlank) -> Truth:
    levels = _levels(entry.contact)
    edges = {name: getattr(entry, name) for name in EDGE_NAMES}
    return Truth(
        photo=printable(Path(document.photo).name),
        outline=checked_outline(edges, entry.flank, one_line(str(entry.tooth))),
        marking=entry.marking,
        compound=entry.compound,
        contact=levels > (CONTACT + NOT_JUDGED) // 2,
        judged=np.abs(levels.astype(int) - NOT_JUDGED) >= NOT_JUDGED // 2,
        by=one_line(document.by),
        made_at=one_line(document.made_at),
        picture=kept_picture(document.photo, document.photo_px, document.grey_cells),
    )


def _levels(coded: str) -> NDArray[np.uint8]:
    """The grey picture. Raises ValueError for anything else than a picture of the one size."""
    try:
        with Image.open(BytesIO(b64decode(coded, validate=True)), formats=("PNG",)) as image:
            if image.size != (TRUTH_COLUMNS, TRUTH_ROWS):
                raise ValueError(f"a true contact map is {TRUTH_COLUMNS} by {TRUTH_ROWS}, found {image.size}")
            return np.asarray(image.convert("L"))
    except (OSError, binascii.Error, SyntaxError) as error:
        raise ValueError("no picture") from error


def find_truth_files(folder: Path) -> Iterable[Path]:
    """All truth files in a folder and those inside it, in order."""
    return sorted(path for path in folder.rglob(f"*{TRUTH_ENDING}") if not path.name.startswith("."))
