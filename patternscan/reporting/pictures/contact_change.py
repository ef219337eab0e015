"""Where contact was gained and lost between two states of a flank."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.reporting.pictures.bare_flank import KeptTooth

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class ContactChange:
    """Contact of two states, bool masks (rows, cols) that never overlap, row 0 = tip, column 0 = end A."""

    gained: Mask
    lost: Mask
    kept: Mask
    hidden: Mask


def find_contact_change(before: Sequence[KeptTooth], after: Sequence[KeptTooth]) -> ContactChange:
    """Where contact was gained and lost: a place counts as touched when at least half of the teeth seen there were.

    A place that no tooth of one state shows is ``hidden``. Raises ValueError without a tooth on either side.
    """
    (touched_before, seen_before), (touched_after, seen_after) = _touched(before), _touched(after)
    seen = seen_before & seen_after
    return ContactChange(
        gained=seen & touched_after & ~touched_before,
        lost=seen & touched_before & ~touched_after,
        kept=seen & touched_before & touched_after,
        hidden=~seen,
    )


def _touched(teeth: Sequence[KeptTooth]) -> tuple[Mask, Mask]:
    """Where at least half of the teeth seen there were touched, and where any tooth could be judged."""
    if not teeth:
        raise ValueError("a map of what changed needs a tooth on both sides")
    seen = sum((tooth.contact != 128).astype(np.int64) for tooth in teeth)
    touched = sum((tooth.contact > 128).astype(np.int64) for tooth in teeth)
    return np.asarray(2 * touched >= np.maximum(seen, 1)), np.asarray(seen > 0)
