"""The way back through a flank's map, by search: which place on the flank a pixel shows."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.mapping import FlankMap

Points = NDArray[np.float64]


def places_at(flank_map: FlankMap, pixels: Points) -> Points:
    """Flank coordinates (n, 2) that a map shows at pixels (n, 2): Newton steps from the nearest of a grid of places."""
    to_photo = flank_map.to_photo
    grid = np.stack(np.meshgrid(np.linspace(0, 1, 33), np.linspace(0, 1, 17)), axis=-1).reshape(-1, 2)
    seen = to_photo(grid)
    distance = ((pixels[:, None, :] - seen[None, :, :]) ** 2).sum(axis=2)
    places: Points = grid[distance.argmin(axis=1)].astype(np.float64)
    for _ in range(12):
        places = np.clip(places - _newton_step(to_photo, places, pixels), -0.25, 1.25)
    return places


def _newton_step(to_photo: Callable[[Points], Points], places: Points, pixels: Points) -> Points:
    step = 1e-4
    inner = np.clip(places, step, 1 - step)
    slope = np.stack(
        [(to_photo(inner + d) - to_photo(inner - d)) / (2 * step) for d in step * np.eye(2)],
        axis=2,
    )
    miss = to_photo(inner) + np.einsum("nij,nj->ni", slope, places - inner) - pixels
    determinant = slope[:, 0, 0] * slope[:, 1, 1] - slope[:, 0, 1] * slope[:, 1, 0]
    safe = np.where(np.abs(determinant) < 1e-9, 1e-9, determinant)
    along = (slope[:, 1, 1] * miss[:, 0] - slope[:, 0, 1] * miss[:, 1]) / safe
    up = (slope[:, 0, 0] * miss[:, 1] - slope[:, 1, 0] * miss[:, 0]) / safe
    step_taken: Points = np.clip(np.stack([along, up], axis=1), -0.2, 0.2)
    return step_taken
