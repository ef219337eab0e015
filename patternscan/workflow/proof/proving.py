"""How right the readings are on photographs of which a person has said what is true."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, PatternscanError
from patternscan.frame import Made
from patternscan.judging.proof.checked_flank import CheckedFlank, check_reading, not_read
from patternscan.judging.proof.hand_spread import HandSpread, compare_hands
from patternscan.judging.proof.outline_overlap import outline_overlap
from patternscan.judging.proof.proof import Proof
from patternscan.judging.proof.truth import Mask, Truth
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import find_outlines
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.inputs.settings import LARGEST_MEGAPIXELS, ReadingSettings
from patternscan.workflow.judge import in_silence
from patternscan.workflow.proof.witnesses import WitnessPhoto, find_witnesses
from patternscan.workflow.read import read_outlined

MOST_SHOWN = 6
"""Pictures of the worst flanks; more nobody looks through."""


@dataclass(frozen=True, slots=True)
class ProofRequest:
    """A folder of photos with their truth files; ``search``: whether the tool also looks for the outlines itself."""

    folder: Path
    search: bool = True
    max_megapixels: float = LARGEST_MEGAPIXELS
    by: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class ShownFlank:
    """A flank to be looked at: ``flat`` uint8 (rows, cols, 3) sRGB is the bare flank laid flat, ``contact`` bool (rows,
    cols) what was read there; row 0 = tip, column 0 = end A.
    """

    flat: NDArray[np.uint8]
    contact: Mask
    truth: Truth
    overlap: float


@dataclass(frozen=True, slots=True, eq=False)
class ProofResult:
    """The proof; ``worst`` are the flanks whose contact overlaps least with the true one, the worst first."""

    proof: Proof
    worst: tuple[ShownFlank, ...]
    photos: tuple[WitnessPhoto, ...]
    made: Made


def prove_folder(request: ProofRequest, done: Callable[[float], None] = in_silence) -> ProofResult:
    """Read every photo that has its truth beside it and set the readings beside that.

    Raises WrongUse for a folder without truth files or with a damaged one, UnreadablePhoto for a photo that is gone.
    """
    photos = find_witnesses(request.folder)
    flanks: list[CheckedFlank] = []
    worst: list[ShownFlank] = []
    for number, one in enumerate(photos, 1):
        photo = one.load(request.max_megapixels)
        for truth, *_ in one.truths:
            checked, shown = _checked(photo, truth, one)
            flanks.append(_searched(photo, truth, checked) if request.search else checked)
            worst = sorted([*worst, *shown], key=lambda each: each.overlap)[:MOST_SHOWN]
        done(number / len(photos))
    return ProofResult(Proof(tuple(flanks), tuple(_hands(photos))), tuple(worst), photos, Made.now(request.by))


def _checked(photo: Photo, truth: Truth, one: WitnessPhoto) -> tuple[CheckedFlank, list[ShownFlank]]:
    try:
        reading = read_outlined(photo, truth.outline, ReadingSettings(Sheet(gear=one.gear), one.pair, truth.marking))
    except PatternscanError as stop:
        contradicted = False if isinstance(stop, InconsistentInputs) else None
        return not_read(truth, one.machine, stop.found, contradicted), []
    checked = check_reading(reading, truth, one.machine)
    return checked, [ShownFlank(reading.rectified.pixels, reading.contact_map.contact, truth, checked.overlap or 0.0)]


def _searched(photo: Photo, truth: Truth, checked: CheckedFlank) -> CheckedFlank:
    """The same, with how well the tool finds the outline by itself."""
    outline = truth.outline
    try:
        held: tuple[Outline, ...] = find_outlines(photo, outline.flank, Hint(outline.tip_side))
    except NoTrustworthyOutline:
        held = ()
    found = (one.enlarged(photo.times) for one in held)
    return replace(checked, outline_overlap=max((outline_overlap(one, outline) for one in found), default=0.0))


def _hands(photos: Sequence[WitnessPhoto]) -> Iterator[HandSpread]:
    """Every two people who painted the same flank."""
    for photo in photos:
        for truths in photo.truths:
            for first, second in combinations({truth.by: truth for truth in truths}.values(), 2):
                yield compare_hands(first, second, photo.machine)
