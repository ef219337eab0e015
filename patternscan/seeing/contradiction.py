"""A flank that plainly shows the other marking than the one declared."""

from __future__ import annotations

import numpy as np

from patternscan.errors import DoNotBelongTogether
from patternscan.frame import Marking
from patternscan.seeing.contact_shape import closed, filled, kept_patches, opened
from patternscan.seeing.film import Grid, Mask

END_BANDS = (0.02, 0.12)
"""Where the ends are looked at, as fractions of the face width from each end."""


def refuse_contradiction(share: Grid, judged: Mask, marking: Marking) -> None:
    """Raise DoNotBelongTogether when the picture plainly shows the other marking. Doubtful pictures pass."""
    film = closed((share > 0.5) & judged, 3, 7)
    if marking is Marking.TRANSFER and looks_painted(film):
        raise DoNotBelongTogether(
            "The flank is painted at both ends, with a bare patch in between: this looks painted and rubbed off.",
            "If the flank itself was painted, say --marking rub-off; otherwise clean it and print again.",
        )
    if marking is Marking.RUB_OFF and looks_printed(film):
        raise DoNotBelongTogether(
            "The flank is clean metal with one print of compound and bare ends: this looks printed by the worm.",
            "If the worm was painted, say --marking transfer; otherwise paint the whole flank and try again.",
        )


def looks_painted(film: Mask) -> bool:
    """Paint at both ends, on most of the flank, round one bare patch that reaches neither end."""
    if min(_end_shares(film)) < 0.6 or film.mean() < 0.45:
        return False
    bare = kept_patches(opened(~film, 15, 25), 0.99)
    columns = bare.any(axis=0)
    return bool(bare.mean() > 0.04 and not columns[:8].any() and not columns[-8:].any())


def looks_printed(film: Mask) -> bool:
    """One compact print that fills most of its own length, with clean metal at both ends."""
    if max(_end_shares(film)) > 0.06 or not 0.06 < film.mean() < 0.6:
        return False
    largest = kept_patches(film, 0.99)
    whole = filled(largest)
    return bool(largest.sum() > 0.85 * film.sum() and largest.sum() > 0.8 * whole.sum())


def _end_shares(film: Mask) -> tuple[float, float]:
    """Painted part of the bands near both ends, away from root and tip."""
    rows, cols = film.shape
    middle = film[int(0.15 * rows) : int(0.85 * rows), :]
    near, far = (int(part * cols) for part in END_BANDS)
    ends = middle[:, near:far], middle[:, cols - far : cols - near]
    return float(np.mean(ends[0])), float(np.mean(ends[1]))
