"""A flank made ready for a person to paint what is true of it, and the truth laid down beside its photo."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, PatternscanError, WrongUse
from patternscan.frame import Made
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.measuring.reading import Reading
from patternscan.plain_text import file_stem
from patternscan.reporting.documents.parts import encode
from patternscan.reporting.documents.truth import TRUTH_ENDING, parse_truth, truth_document
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.placed_flank import PlacedFlank, place_flank
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.outline_search.marked_flank import snap_marked
from patternscan.workflow.disk.one_file import replace_file
from patternscan.workflow.inputs.outlines import outlines_of
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import ReadingSettings
from patternscan.workflow.read import read_flank

LONGEST_NAME = 40
"""Letters of a person's name in the name of a file."""


@dataclass(frozen=True, slots=True, eq=False)
class BareFlank:
    """A flank without any paint of a person: ``truth`` has no contact yet; ``reading`` None: the tool sees none."""

    truth: Truth
    placed: PlacedFlank
    machine: str
    reading: Reading | None


@dataclass(frozen=True, slots=True)
class PaintedTruth:
    """What the painting page handed over of a photo: ``content`` is a truth file. ``by`` and ``machine`` outrank what
    stands in it, where they are known.
    """

    photo: Path
    content: bytes
    by: str | None = None
    machine: str | None = None


def keep_painted(painted: PaintedTruth) -> Path:
    """Lay the truth down beside its photo, in place of what the same person painted of it before; others' stays.

    Raises WrongUse for content that is no truth file, InconsistentInputs for that of another photo, CannotWrite.
    """
    place = painted.photo.with_name(f"{file_stem(painted.photo.name)}{TRUTH_ENDING}")
    file = parse_truth(painted.content, place)
    if file.photo.name != painted.photo.name:
        raise InconsistentInputs(
            f"What was painted belongs to {file.photo.name}, not to {painted.photo.name}.",
            "Paint it again on the page of this photo.",
        )
    by = painted.by or file.truths[0].by
    made_at = Made.now().at.isoformat()
    document = truth_document(
        [replace(one, by=by, made_at=made_at) for one in file.truths], painted.machine or file.machine
    )
    path = place.with_name(f"{file_stem(painted.photo.name)}{_named(by)}{TRUTH_ENDING}")
    replace_file(path, encode(document))
    return path


def _named(person: str) -> str:
    """A person's name as part of a file's name; empty for nobody."""
    letters = "".join(sign if sign.isalnum() else " " for sign in person.casefold())
    return f".{'-'.join(letters.split())[:LONGEST_NAME]}" if letters.strip() else ""


def bare_flank(given: PhotoInput, settings: ReadingSettings) -> BareFlank:
    """The first outlined flank, in its place.

    Raises NoTrustworthyOutline where no person has marked or seen to it, WrongUse for a print on tape or paper.
    """
    photo = load_photo(given.photo, settings.max_megapixels)
    outline = outlines_of(photo, given, settings.told)[0]
    if outline.lift is not None:
        raise WrongUse(
            f"{photo.name} shows a print on {outline.lift.medium}, not the flank itself.",
            "Paint what is true of a photo of the flank itself.",
        )
    if outline.source is OutlineSource.FOUND:
        raise NoTrustworthyOutline(
            f"The outline of {photo.name} was found by the tool; the truth needs one that a person has marked.",
            "Mark it with 'patternscan outline' and give the file with --outline.",
        )
    if outline.corners_only:
        outline, _ = snap_marked(photo, outline, settings.pair)
    none = np.zeros((TRUTH_ROWS, TRUTH_COLUMNS), dtype=bool)
    told = settings.marking, settings.compound
    truth = Truth(photo.name, outline, *told, none, ~none, picture=photo.fingerprint)
    placed = place_flank(photo, outline, settings.pair)
    try:
        reading = read_flank(photo, outline, settings.marking, None, settings.pair)
    except PatternscanError:
        reading = None
    return BareFlank(truth, placed, settings.sheet.machine or "", reading)
