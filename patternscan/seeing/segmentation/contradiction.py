"""A flank that plainly shows the other marking than the one declared."""

from __future__ import annotations

import numpy as np

from patternscan.errors import InconsistentInputs, NoCompound
from patternscan.frame import Marking, percent
from patternscan.handles import Handle, named
from patternscan.seeing.segmentation.contact_shape import closed, filled, kept_patches
from patternscan.seeing.segmentation.film import Mask

END_BAND = (0.05, 0.2)
"""Where paint is looked for near the ends, as fractions of the face width: the outermost rim is often missed."""
LEAST_PAINT = 0.15
"""A flank with less paint than this was not painted for rubbing off."""
CLEAN_BAND = (0.02, 0.12)
"""Where clean metal is looked for near the ends."""


def suits(film: Mask, marking: Marking) -> bool:
    """Whether a film (rows, cols) looks as its marking leaves it: a print, or paint that reaches an end."""
    if marking is Marking.TRANSFER:
        return not looks_painted(film)
    return bool(film.mean() > LEAST_PAINT) and max(_end_shares(film, END_BAND)) > 0.5


def refuse_contradiction(film: Mask, marking: Marking) -> None:
    """Raise InconsistentInputs where a film plainly shows the other marking, NoCompound where paint is missing."""
    if marking is Marking.TRANSFER and looks_painted(film):
        raise InconsistentInputs(
            "The flank is painted at both ends, with a bare patch in between: this looks painted and rubbed off.",
            f"If the flank itself was painted, {_say_so(Marking.RUB_OFF)}; otherwise clean it and print again.",
        )
    if marking is Marking.RUB_OFF and looks_printed(film):
        raise InconsistentInputs(
            "The flank is clean metal with one print of compound and bare ends: this looks printed by the worm.",
            f"If the worm was painted, {_say_so(Marking.TRANSFER)}; otherwise paint the whole flank and try again.",
        )
    if marking is Marking.RUB_OFF and film.mean() < LEAST_PAINT:
        raise NoCompound(
            f"Compound covers only {percent(film.mean())} of this flank, so it was not painted all over.",
            "Check the flank and the marking: for rub-off the whole flank is painted before the worm is turned.",
        )


def _say_so(marking: Marking) -> str:
    return f"say so {named(Handle.MARKING, marking)} and read it again"


def looks_painted(film: Mask) -> bool:
    """Paint near both ends and on about half of the flank or more, with a bare patch from root to tip between."""
    film = closed(film, 3, 7)
    if min(_end_shares(film, END_BAND)) < 0.65 or film.mean() < 0.48:
        return False
    bare_height = 1 - _away_from_edges(film).mean(axis=0)
    inner = bare_height[int(0.2 * bare_height.size) : int(0.8 * bare_height.size)]
    return bool(np.mean(inner > 0.6) > 0.05)


def looks_printed(film: Mask) -> bool:
    """One compact print that fills most of its own length, with clean metal at both ends."""
    film = closed(film, 3, 7)
    if max(_end_shares(film, CLEAN_BAND)) > 0.06 or not 0.06 < film.mean() < 0.6:
        return False
    largest = kept_patches(film, 0.99)
    return bool(largest.sum() > 0.85 * film.sum() and largest.sum() > 0.8 * filled(largest).sum())


def _end_shares(film: Mask, band: tuple[float, float]) -> tuple[float, float]:
    """Painted part of a band near each end, away from root and tip."""
    middle = _away_from_edges(film)
    cols = middle.shape[1]
    near, far = (int(part * cols) for part in band)
    return float(np.mean(middle[:, near:far])), float(np.mean(middle[:, cols - far : cols - near]))


def _away_from_edges(film: Mask) -> Mask:
    rows = film.shape[0]
    return film[int(0.15 * rows) : int(0.85 * rows)]
