"""What a person says is true of one flank of a photo."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound, FlankPoint, Marking
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.fingerprint import Fingerprint

Mask = NDArray[np.bool_]
TRUTH_ROWS, TRUTH_COLUMNS = 128, 256
"""Rows from tip to root and columns from end A to end B of a true contact map."""


@dataclass(frozen=True, slots=True, eq=False)
class Truth:
    """The true contact of an outlined flank, as a person painted it.

    ``contact`` and ``judged`` are bool (TRUTH_ROWS, TRUTH_COLUMNS), row 0 = tip, column 0 = end A; what is not judged
    counts for nothing. ``compound`` None: not told. ``by`` and ``made_at`` (ISO 8601) are empty where nobody said.
    ``picture``: the photo that was painted on, in little; None where that is not known.
    """

    photo: str
    outline: Outline
    marking: Marking
    compound: Compound | None
    contact: Mask
    judged: Mask
    by: str = ""
    made_at: str = ""
    picture: Fingerprint | None = None

    def __post_init__(self) -> None:
        for mask in (self.contact, self.judged):
            if mask.shape != (TRUTH_ROWS, TRUTH_COLUMNS):
                raise ValueError(f"a true contact map is {TRUTH_ROWS} by {TRUTH_COLUMNS}, found {mask.shape}")
            mask.flags.writeable = False

    @property
    def coverage(self) -> float:
        """Contact area over flank area, of what could be judged."""
        return float(self.contact[self.judged].mean()) if self.judged.any() else 0.0

    @property
    def centroid(self) -> FlankPoint | None:
        """The middle of the contact, None when there is none."""
        rows, columns = np.nonzero(self.contact & self.judged)
        if not len(rows):
            return None
        along = float(columns.mean() + 0.5) / TRUTH_COLUMNS
        return FlankPoint(along, 1 - float(rows.mean() + 0.5) / TRUTH_ROWS)


def overlap(first: Mask, second: Mask, judged: Mask) -> float:
    """Intersection over union of two contacts where ``judged``; 1 when neither has any."""
    either = (first | second) & judged
    return float((first & second & judged).sum() / either.sum()) if either.any() else 1.0
