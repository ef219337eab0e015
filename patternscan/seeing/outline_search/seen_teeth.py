"""Single flanks in the net's maps: pixels that agree where the corners of their flank lie belong together, and a smooth
patch laid through their places.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import median, medians, quantile
from patternscan.seeing.outline_search.finder_net import (
    COMPOUND,
    CORNER_PX,
    CORNER_SPREAD,
    CORNERS,
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
MOST = 90
"""Of a flank's pixels so many in a hundred look less like compound than the flank as a whole is said to."""
SAME_ALONG, SAME_UP = 0.4, 0.45
"""Pixels belong together when the middles of their flanks lie this near, in lengths and heights of the flank."""
POWERS = [(i, j) for i in range(5) for j in range(3) if i + j < 6 and (i < 4 or j < 1)]
"""Of along and up in the patch: bowed edges as throated teeth have them."""
PATCH_ROUNDS, ROBUST = 4, 2.5
"""In each round pixels farther off than so many middling distances lose weight."""
CORNER_WEIGHT = 0.02
"""What the voted corners count for, as a part of all pixels."""
HELD = 1e-2
"""Keeps powers out that nothing tells."""
MOST_PIXELS = 1500
UNIT_CORNERS = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


@dataclass(frozen=True, slots=True, eq=False)
class SeenFlank:
    """One flank in a window: ``corners`` (4, 2) in the picture's pixels (root left, root right, tip right, tip left),
    how surely it carries ``compound`` somewhere, 0..1, and of its pixels: where they lie (n, 2), their ``places``
    (n, 2) on the flank, and what each counts for (n,).
    """

    corners: Numbers
    compound: float
    pixels: Numbers
    places: Numbers
    weights: Numbers

    @property
    def middle(self) -> Numbers:
        """Mean of the corners, (2,)."""
        mean: Numbers = self.corners.mean(axis=0)
        return mean

    @property
    def mirrored(self) -> SeenFlank:
        """The same pixels, but their places and the corners called as they are in a picture that was mirrored."""
        places = np.stack([1 - self.places[:, 0], self.places[:, 1]], axis=1)
        return replace(self, corners=self.corners[[1, 0, 3, 2]], places=places)

    @property
    def sureness(self) -> float:
        """How surely the net tells the places, in the mean: the logarithm of 1 over the error that it expects."""
        return float(np.log(self.weights).mean())


def seen_flanks(maps: Map) -> list[SeenFlank]:
    """The flanks in the net's maps (MAPS, rows, columns), the largest first."""
    share = flank_share(maps)
    row, column = np.nonzero(share > 0.5)
    chosen = maps[:, row, column].astype(np.float64)
    pixels = STEP * np.stack([column, row], axis=1).astype(np.float64)
    votes = pixels[:, None] + CORNER_PX * chosen[CORNERS].T.reshape(-1, 4, 2)
    middles = votes.mean(axis=1)
    weights = share[row, column] * np.exp(-np.clip(chosen[CORNER_SPREAD], -5, 3))
    found: list[SeenFlank] = []
    left = np.ones(len(pixels), dtype=bool)
    while left.sum() >= LEAST_PIXELS and len(found) < MOST_FLANKS:
        seed = int(np.argmax(np.where(left, weights, -1)))
        own = left & _same(middles, votes[seed])
        if own.sum() >= LEAST_PIXELS:
            own = left & _same(middles, _middling(votes[own], weights[own]))
        own[seed] = True
        left &= ~own
        if own.sum() >= LEAST_PIXELS:
            found.append(_flank_of(pixels[own], votes[own], weights[own], chosen[:, own]))
    return sorted(found, key=lambda flank: -len(flank.pixels))


def flank_weight(maps: Map) -> float:
    """How much the net's maps show of flanks: their pixels, by how surely each tells the corners of its flank."""
    share, sureness = flank_share(maps), np.exp(-np.clip(maps[CORNER_SPREAD], -5, 3))
    return float((share * sureness)[share > 0.5].sum())


def flank_share(maps: Map) -> Map:
    """How likely each pixel shows a flank, (rows, columns)."""
    odds = np.exp(maps[PART] - maps[PART].max(axis=0))
    share: Map = (odds / odds.sum(axis=0))[FLANK]
    return share


def _axes(corners: Numbers) -> tuple[Numbers, Numbers]:
    """From the left to the right end and from root to tip, each (2,)."""
    return (corners[1] + corners[2] - corners[0] - corners[3]) / 2, (
        corners[2] + corners[3] - corners[0] - corners[1]
    ) / 2


def _same(middles: Numbers, corners: Numbers) -> NDArray[np.bool_]:
    """Which voted middles (n, 2) mean the flank with these corners (4, 2)."""
    across, upward = _axes(corners)
    frame = np.stack([across, upward], axis=1)
    if abs(np.linalg.det(frame)) < 1.0:
        return np.zeros(len(middles), dtype=bool)
    off = (middles - corners.mean(axis=0)) @ np.linalg.inv(frame).T
    return np.asarray((np.abs(off[:, 0]) < SAME_ALONG) & (np.abs(off[:, 1]) < SAME_UP))


def _middling(votes: Numbers, weights: Numbers) -> Numbers:
    """Median (4, 2) of the surer half of the votes."""
    sure = weights >= median(weights)
    middling: Numbers = medians(votes[sure], axis=0)
    return middling


def _flank_of(pixels: Numbers, votes: Numbers, weights: Numbers, answers: Numbers) -> SeenFlank:
    corners = _middling(votes, weights)
    compound = float(1 / (1 + np.exp(-quantile(answers[COMPOUND], MOST / 100))))
    place_weights = np.exp(-np.clip(answers[PLACE_SPREAD], -5, 3))
    return SeenFlank(
        corners,
        compound,
        pixels,
        answers[PLACE].T,
        place_weights,
    )


def patch_points(flank: SeenFlank, places: Numbers) -> Numbers:
    """Pixels (n, 2) where a flank shows places (n, 2): along from its left end, up from its root."""
    every = max(1, len(flank.pixels) // MOST_PIXELS)
    at, pixels, weights = flank.places[::every], flank.pixels[::every], flank.weights[::every]
    at = np.vstack([at, UNIT_CORNERS])
    pixels = np.vstack([pixels, flank.corners])
    weights = np.append(weights / weights.sum(), np.full(4, CORNER_WEIGHT))
    terms, own = _powers_of(at), np.ones(len(at))
    held = HELD * np.diag([0.0 if i + j < 2 else 1.0 for i, j in POWERS])
    found: Numbers = np.zeros((len(POWERS), 2))
    for _ in range(PATCH_ROUNDS):
        weighed = terms * (weights * own)[:, None]
        found = np.asarray(np.linalg.solve(weighed.T @ terms + held, weighed.T @ pixels), dtype=np.float64)
        off = np.linalg.norm(terms @ found - pixels, axis=1)
        own = 1 / (1 + (off / max(ROBUST * median(off), 1e-6)) ** 2)
    shown: Numbers = _powers_of(places) @ found
    return shown


def _powers_of(places: Numbers) -> Numbers:
    across, up = 2 * places.T - 1
    return np.stack([across**i * up**j for i, j in POWERS], axis=1)
