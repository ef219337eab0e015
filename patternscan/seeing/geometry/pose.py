"""The tooth as its own gauge: where the camera stood, from the outline and the wheel's known flank.

Gear data give the true shape of the flank in mm; without them the shape of usual gears serves, a few amounts of it
left open. The camera is placed so that the flank's four edges fall on the outline; so every pixel shows a known place.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, WormPair
from patternscan.seeing.geometry.camera import NUMBERS, Camera, Lens
from patternscan.seeing.geometry.edge_fit import CORNERS, ROUGH_RMS, EdgeFit, FitQuality
from patternscan.seeing.geometry.flank_shape import grid_edges, known_shape, usual_shape
from patternscan.seeing.geometry.outline import Edge, Outline

Numbers = NDArray[np.float64]

CLEAR_LEAN = 0.8
"""Of unknown gears the lean tells the hand beyond this. On rendered photos with clicked outlines it was 0.9 to 1.8 for
two and three starts, 0.3 to 0.6 for one, always to the true side, off by 0.2 (one standard deviation)."""
UNSEEN_CORNER = 0.012
"""Further error of a place, part of the face width, when a corner is not seen; so far off it was on rendered photos."""


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """The camera that sees the flank's edges where the outline has them, and how well it fits (``fit``).

    ``surface_grid`` (rows, columns, 3): the flank, row 0 at the root, column 0 at end A, in mm when ``pair`` is known,
    else in face widths. ``unseen_end`` names an end of the outline that is not the flank's own. ``lean``: of an unknown
    gear, how far its teeth lean, positive to the right hand; in standard deviations of usual gears.
    """

    pair: WormPair | None
    flank: Flank
    camera: Camera
    surface_grid: Numbers
    fit: FitQuality
    unseen_end: str | None = None
    lean: float | None = None

    @property
    def hand(self) -> Hand | None:
        """The hand of the wheel: that of the gear data, else as the tooth leans; None when it hardly leans."""
        if self.pair is not None:
            return self.pair.hand
        if self.lean is None or abs(self.lean) < CLEAR_LEAN or self.fit.rough:
            return None
        return Hand.RIGHT if self.lean > 0 else Hand.LEFT

    @property
    def off_square_deg(self) -> float:
        """Angle between the line of sight and the flank's normal in its middle."""
        grid, (row, column) = self.surface_grid, self._middle
        normal = np.cross(grid[row + 1, column] - grid[row - 1, column], grid[row, column + 1] - grid[row, column - 1])
        sight = self.camera.eye_mm - grid[row, column]
        cosine = abs(normal @ sight) / (np.linalg.norm(normal) * np.linalg.norm(sight))
        return float(np.degrees(np.arccos(min(float(cosine), 1.0))))

    @property
    def height(self) -> float:
        """From root to tip in the middle of the face, straight, in the surface grid's unit."""
        column = self._middle[1]
        return float(np.linalg.norm(self.surface_grid[-1, column] - self.surface_grid[0, column]))

    @property
    def slenderness(self) -> float:
        """Face width over height in the middle of the face, straight."""
        row = self._middle[0]
        return float(np.linalg.norm(self.surface_grid[row, -1] - self.surface_grid[row, 0])) / self.height

    @property
    def distance(self) -> float:
        """From the camera to the middle of the flank, in the surface grid's unit."""
        return float(np.linalg.norm(self.camera.eye_mm - self.surface_grid[self._middle]))

    @property
    def _middle(self) -> tuple[int, int]:
        return self.surface_grid.shape[0] // 2, self.surface_grid.shape[1] // 2

    def edges(self) -> dict[str, Edge]:
        """The four edges as the camera sees them, named and run through as in an outline."""
        return {name: self.camera.see(edge) for name, edge in grid_edges(self.surface_grid).items()}


def fit_pose(outline: Outline, pair: WormPair | None, lens: Lens, ignored: str | None = None) -> Pose | None:
    """Where the camera stood for an outline in a photo taken through ``lens``; None when nothing fits. Ask
    ``fit.plausible``.

    Without a ``pair`` the flank's shape is sought together with the camera. ``ignored`` names an end of the outline
    ("end_a" or "end_b") that is not the flank's own.
    """
    shape = usual_shape(outline.flank) if pair is None else known_shape(pair, outline.flank)
    fit = EdgeFit(outline, shape, lens, ignored)
    if not (fit.enough and np.isfinite(shape.stack).all()):
        return None
    best = fit.best(ROUGH_RMS)
    if best is None:
        return None
    quality = fit.quality(best)
    if len(fit.corners_px) < len(CORNERS):
        quality = replace(quality, uncertainty=float(np.hypot(quality.uncertainty, UNSEEN_CORNER)))
    lean = float(best[NUMBERS]) if pair is None else None
    grid = fit.points_of(best, shape.stack)
    return Pose(pair, outline.flank, fit.camera(best), grid, quality, ignored, lean)
