"""The four edges of a flank from the places that the net tells for its pixels: a smooth patch laid through them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import median
from patternscan.seeing.outline_search.seen_teeth import SeenFlank

Numbers = NDArray[np.float64]

POWERS = [(i, j) for i in range(5) for j in range(3) if i + j < 6 and (i < 4 or j < 1)]
"""Of along and up in the patch: bowed edges as throated teeth have them."""
ROUNDS, ROBUST = 4, 2.5
"""In each round pixels farther off than so many middling distances lose weight."""
CORNER_WEIGHT = 0.02
"""What the voted corners count for, as a part of all pixels."""
HELD = 1e-2
"""Keeps powers out that nothing tells."""
MOST_PIXELS = 1500
UNIT_CORNERS = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


def patch_points(flank: SeenFlank, places: Numbers) -> Numbers:
    """Pixels (n, 2) where a flank shows places (n, 2): along from its left end, up from its root."""
    every = max(1, len(flank.pixels) // MOST_PIXELS)
    at, pixels, weights = flank.places[::every], flank.pixels[::every], flank.weights[::every]
    at = np.vstack([at, UNIT_CORNERS])
    pixels = np.vstack([pixels, flank.corners])
    weights = np.append(weights / weights.sum(), np.full(4, CORNER_WEIGHT))
    terms, own = _terms(at), np.ones(len(at))
    held = HELD * np.diag([0.0 if i + j < 2 else 1.0 for i, j in POWERS])
    found: Numbers = np.zeros((len(POWERS), 2))
    for _ in range(ROUNDS):
        weighed = terms * (weights * own)[:, None]
        found = np.asarray(np.linalg.solve(weighed.T @ terms + held, weighed.T @ pixels), dtype=np.float64)
        off = np.linalg.norm(terms @ found - pixels, axis=1)
        own = 1 / (1 + (off / max(ROBUST * median(off), 1e-6)) ** 2)
    shown: Numbers = _terms(places) @ found
    return shown


def _terms(places: Numbers) -> Numbers:
    across, up = 2 * places.T - 1
    return np.stack([across**i * up**j for i, j in POWERS], axis=1)
