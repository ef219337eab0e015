"""Single flanks in the net's maps: pixels that agree where the corners of their flank lie belong together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.outline_search.net_output import (
    CORNER_PX,
    CORNER_SPREAD,
    CORNERS,
    MARKED,
    PART,
    PARTS,
    PLACE,
    PLACE_SPREAD,
    STEP,
)

Map = NDArray[np.float32]
Numbers = NDArray[np.float64]

FLANK = PARTS.index("flank")
LEAST_PIXELS, MOST_FLANKS = 12, 10
"""A flank seen in fewer pixels is passed over, and so many are looked for."""
SAME_ALONG, SAME_UP = 0.4, 0.45
"""Pixels belong together when the middles of their flanks lie this near, in lengths and heights of the flank."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenFlank:
    """One flank in a window: ``corners`` (4, 2) in the picture's pixels (root left, root right, tip right, tip left),
    how likely it is ``marked``, and of its pixels: where they lie (n, 2), their ``places`` (n, 2) on the flank, what
    each counts for (n,), and the spread of their votes for the corners in ``corner_error`` (flank heights).
    """

    corners: Numbers
    marked: float
    pixels: Numbers
    places: Numbers
    weights: Numbers
    corner_error: float
    sureness: float

    @property
    def middle(self) -> Numbers:
        """Mean of the corners, (2,)."""
        mean: Numbers = self.corners.mean(axis=0)
        return mean

    @property
    def width_px(self) -> float:
        """Mean length from its left to its right end."""
        return float(np.linalg.norm(_axes(self.corners)[0]))

    @property
    def height_px(self) -> float:
        """Mean length from root to tip."""
        return float(np.linalg.norm(_axes(self.corners)[1]))


def seen_flanks(maps: Map) -> list[SeenFlank]:
    """The flanks in the net's maps (MAPS, rows, columns), the surest first."""
    odds = np.exp(maps[PART] - maps[PART].max(axis=0))
    share = (odds / odds.sum(axis=0))[FLANK]
    row, column = np.nonzero(share > 0.5)
    chosen = maps[:, row, column].astype(np.float64)
    pixels = STEP * np.stack([column, row], axis=1).astype(np.float64)
    votes = pixels[:, None] + CORNER_PX * chosen[CORNERS].T.reshape(-1, 4, 2)
    weights = share[row, column] * np.exp(-np.clip(chosen[CORNER_SPREAD], -5, 3))
    found: list[SeenFlank] = []
    left = np.ones(len(pixels), dtype=bool)
    while left.sum() >= LEAST_PIXELS and len(found) < MOST_FLANKS:
        seed = int(np.argmax(np.where(left, weights, -1)))
        own = left & _same(votes, votes[seed])
        if own.sum() >= LEAST_PIXELS:
            own = left & _same(votes, _middling(votes[own], weights[own]))
        own[seed] = True
        left &= ~own
        if own.sum() >= LEAST_PIXELS:
            found.append(_flank_of(pixels[own], votes[own], weights[own], chosen[:, own]))
    return sorted(found, key=lambda flank: -flank.sureness)


def _axes(corners: Numbers) -> tuple[Numbers, Numbers]:
    """From the left to the right end and from root to tip, each (2,)."""
    return (corners[1] + corners[2] - corners[0] - corners[3]) / 2, (
        corners[2] + corners[3] - corners[0] - corners[1]
    ) / 2


def _same(votes: Numbers, corners: Numbers) -> NDArray[np.bool_]:
    """Which votes (n, 4, 2) mean the flank with these corners (4, 2)."""
    across, upward = _axes(corners)
    frame = np.stack([across, upward], axis=1)
    if abs(np.linalg.det(frame)) < 1.0:
        return np.zeros(len(votes), dtype=bool)
    off = (votes.mean(axis=1) - corners.mean(axis=0)) @ np.linalg.inv(frame).T
    return np.asarray((np.abs(off[:, 0]) < SAME_ALONG) & (np.abs(off[:, 1]) < SAME_UP))


def _middling(votes: Numbers, weights: Numbers) -> Numbers:
    """Median (4, 2) of the surer half of the votes."""
    sure = weights >= np.median(weights)
    median: Numbers = np.median(votes[sure], axis=0)
    return median


def _flank_of(pixels: Numbers, votes: Numbers, weights: Numbers, answers: Numbers) -> SeenFlank:
    corners = _middling(votes, weights)
    marked = 1 / (1 + np.exp(-answers[MARKED]))
    height = max(float(np.linalg.norm(_axes(corners)[1])), 1e-6)
    astray = float(np.median(np.linalg.norm(votes - corners, axis=2))) / height
    place_weights = np.exp(-np.clip(answers[PLACE_SPREAD], -5, 3))
    return SeenFlank(
        corners,
        float(np.average(marked, weights=weights)),
        pixels,
        answers[PLACE].T,
        place_weights,
        astray,
        float(np.sqrt(len(pixels)) * np.average(marked, weights=weights)),
    )
