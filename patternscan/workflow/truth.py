"""A flank made ready for a person to paint what is true of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patternscan.errors import NoTrustworthyOutline, PatternscanError
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.placed_flank import place_flank
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.outline_search.snapping import snap_outline
from patternscan.workflow.inputs import PhotoInput, ReadingSettings, outlines_of
from patternscan.workflow.read import read_flank


@dataclass(frozen=True, slots=True, eq=False)
class BareFlank:
    """A flank without any paint of a person: ``truth`` has no contact yet; ``reading`` None: the tool sees none."""

    truth: Truth
    rectified: RectifiedFlank
    machine: str
    reading: Reading | None


def bare_flank(given: PhotoInput, settings: ReadingSettings) -> BareFlank:
    """The first outlined flank, laid flat. Raises NoTrustworthyOutline where no person has marked or seen to it."""
    photo = load_photo(given.photo, settings.max_megapixels)
    outline = outlines_of(photo, given)[0]
    if outline.source is OutlineSource.FOUND:
        raise NoTrustworthyOutline(
            f"The outline of {photo.name} was found by the tool; the truth needs one that a person has marked.",
            "Mark it with 'patternscan outline' and give the file with --outline.",
        )
    if outline.corners_only:
        outline, _ = snap_outline(photo, outline, settings.pair)
    none = np.zeros((TRUTH_ROWS, TRUTH_COLUMNS), dtype=bool)
    truth = Truth(photo.name, outline, settings.marking, settings.compound, none, ~none)
    rectified = place_flank(photo, outline, settings.pair).rectified
    try:
        reading = read_flank(photo, outline, settings.marking, None, settings.pair)
    except PatternscanError:
        reading = None
    return BareFlank(truth, rectified, settings.sheet.machine or "", reading)
