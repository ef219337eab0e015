"""The tooth as its own gauge: where the camera stood, from the outline and the wheel's known flank.

Gear data give the true shape of the flank in mm; without them the shape of usual gears serves, a few amounts of it
left open. The camera is placed so that the flank's four edges fall on the outline; so every pixel shows a known place.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution, caution
from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, WormPair
from patternscan.seeing.geometry.camera import NUMBERS, Camera, PhotoSize
from patternscan.seeing.geometry.edge_fit import CORNERS, EdgeFit, edges_of
from patternscan.seeing.geometry.flank_shape import known_shape, usual_shape
from patternscan.seeing.geometry.mapping import FlankMap, Points, map_outline
from patternscan.seeing.geometry.outline import Edge, Outline

Numbers = NDArray[np.float64]

ROUGH_MISFIT, LARGEST_MISFIT, LARGEST_CORE_MISFIT = 0.008, 0.012, 0.007
"""Outlines clicked on rendered photos, each point off by 0.004, gave 0.0026 to 0.0055 with the right gear data; with
the wrong hand 0.007 to 0.034, with a module wrong by a fifth 0.009 to 0.025. Beyond the largest misfit the edges alone
tell places better."""
MIRROR_SHARE = 0.6
"""The wheel of the other hand is seen when it fits that much better; with the right hand the other one fitted 1.7 times
worse or more on rendered photos."""

OTHER_HAND = "other-hand-seen"
WELL_FITTED, FEW, PART_SHARE = 0.005, 0.13, 0.4
"""Where all but a few points fit so well, those few are left aside. Else an end of the outline is not the flank's own
when the rest fits well without it, and far better than without the other end: the throat's place tells them apart. On
rendered photos with an end cut off the outline the share was 0.33 at most; with a wrong face width on the sheet 0.48 or
more."""

CLEAR_LEAN = 0.8
"""Of unknown gears the lean tells the hand beyond this. On rendered photos with clicked outlines it was 0.9 to 1.8 for
two and three starts, 0.3 to 0.6 for one, always to the true side, with a doubt of 0.2 (one standard deviation)."""

UNSEEN_CORNER = 0.012
"""Further doubt of a place, part of the face width, when a corner is not seen; so far off it was on rendered photos."""

NOT_THIS_GEAR = frozenset({"gear-data-unlike", "gear-data-no-view", OTHER_HAND})
"""Codes of the cautions that say that the tooth in the photo is not one of the gear on the sheet."""


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """The camera that sees the flank's edges where the outline has them.

    ``misfit``: distance of the outline's points from the fitted edges, one standard deviation, as a fraction of the
    face width; ``core_misfit`` the same without points that are far off, ``strays`` the share of these.
    ``uncertainty``: likely error of a place along the face, likewise. ``surface_grid`` (rows, columns, 3): the flank,
    row 0 at the root, column 0 at end A, in mm when ``pair`` is known, else in face widths.
    ``unseen_end`` names an end of the outline that is not the flank's own. ``lean``: of an unknown gear, how far its
    teeth lean, positive to the right hand; in standard deviations of usual gears.
    """

    pair: WormPair | None
    flank: Flank
    camera: Camera
    surface_grid: Numbers
    misfit: float
    core_misfit: float
    strays: float
    uncertainty: float
    unseen_end: str | None = None
    lean: float | None = None

    @property
    def hand(self) -> Hand | None:
        """The hand of the wheel: that of the gear data, else as the tooth leans; None when it hardly leans."""
        if self.pair is not None:
            return self.pair.hand
        if self.lean is None or abs(self.lean) < CLEAR_LEAN or self.rough:
            return None
        return Hand.RIGHT if self.lean > 0 else Hand.LEFT

    @property
    def trusted(self) -> bool:
        """Whether the outline can be that of this gear's flank, perhaps with a part of it hidden or cut off."""
        return self.misfit <= LARGEST_MISFIT or self.core_misfit <= LARGEST_CORE_MISFIT

    @property
    def rough(self) -> bool:
        """Whether some of the outline lies further off than a steady hand would set it."""
        return self.misfit > ROUGH_MISFIT

    @property
    def well_fitted(self) -> bool:
        """Whether all points lie on the flank's edges, or all but a few that are better left aside."""
        return not self.rough or (self.core_misfit <= WELL_FITTED and self.strays <= FEW)

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
    def distance(self) -> float:
        """From the camera to the middle of the flank, in the surface grid's unit."""
        return float(np.linalg.norm(self.camera.eye_mm - self.surface_grid[self._middle]))

    @property
    def _middle(self) -> tuple[int, int]:
        return self.surface_grid.shape[0] // 2, self.surface_grid.shape[1] // 2

    def edges(self) -> dict[str, Edge]:
        """The four edges as the camera sees them, named and run through as in an outline."""
        return {name: self.camera.see(edge) for name, edge in edges_of(self.surface_grid).items()}


@dataclass(frozen=True, slots=True, eq=False)
class PosedFlank:
    """The map of a flank whose shape and camera are known. ``seen_px`` (rows, columns, 2): where its grid is seen."""

    pose: Pose
    seen_px: Numbers

    @property
    def uncertainty(self) -> float:
        """Likely error of a place, one standard deviation, as a fraction of the face width."""
        return self.pose.uncertainty

    def to_photo(self, places: Points) -> Points:
        """Places (n, 2) as along, up to pixels (n, 2) as x, y; outside 0..1 the flank goes on straight."""
        seen = self.seen_px
        cells = np.array([seen.shape[1] - 1, seen.shape[0] - 1])
        cell = np.clip(np.floor(places * cells), 0, cells - 1).astype(np.intp)
        x, y = (places * cells - cell).T[..., None]
        column, row = cell.T
        low = seen[row, column] * (1 - x) + seen[row, column + 1] * x
        high = seen[row + 1, column] * (1 - x) + seen[row + 1, column + 1] * x
        pixels: Points = low * (1 - y) + high * y
        return pixels


def map_flank(outline: Outline, pair: WormPair | None, size: PhotoSize) -> tuple[FlankMap, tuple[Caution, ...]]:
    """The best map of an outlined flank in a photo of ``size`` px: from the gear data when they are known and the
    outline can be this gear's, else from the outline alone, with a caution that says why.
    """
    if pair is None:
        return map_usual_flank(outline, size), ()
    posed = pose_flank(outline, pair, size)
    if posed is None:
        return map_outline(outline), (caution("gear-data-no-view"),)
    if not posed.pose.rough:
        return posed, ()
    mirrored = pose_flank(outline, _other_hand(pair), size)
    if mirrored is not None and mirrored.pose.misfit < MIRROR_SHARE * posed.pose.misfit:
        return map_usual_flank(outline, size), (
            caution(OTHER_HAND, told=pair.hand.value, seen=_other_hand(pair).hand.value),
        )
    part = _pose_part(outline, pair, size, posed.pose)
    if part is not None:
        return part
    if posed.pose.trusted:
        return posed, (caution("outline-rough", misfit=posed.pose.misfit),)
    return map_usual_flank(outline, size), (caution("gear-data-unlike", misfit=posed.pose.misfit),)


def map_usual_flank(outline: Outline, size: PhotoSize) -> FlankMap:
    """The map of an outlined flank of an unknown gear: as a usual gear's flank when the outline can be one, else the
    patch between its edges.
    """
    posed = pose_flank(outline, None, size)
    return posed if posed is not None and posed.pose.trusted else map_outline(outline)


def pose_flank(
    outline: Outline, pair: WormPair | None, size: PhotoSize, ignored: str | None = None
) -> PosedFlank | None:
    """The map of an outlined flank from its pose, None when no camera fits; ask ``pose.trusted``."""
    pose = fit_pose(outline, pair, size, ignored)
    return None if pose is None else PosedFlank(pose, pose.camera.see(pose.surface_grid))


def fit_pose(outline: Outline, pair: WormPair | None, size: PhotoSize, ignored: str | None = None) -> Pose | None:
    """Where the camera stood for an outline in a photo of ``size`` (width, height) px; None when nothing fits.

    Without a ``pair`` the flank's shape is sought together with the camera. ``ignored`` names an end of the outline
    ("end_a" or "end_b") that is not the flank's own.
    """
    shape = usual_shape(outline.flank) if pair is None else known_shape(pair, outline.flank)
    fit = EdgeFit(outline, shape, size, ignored)
    if not (fit.enough and np.isfinite(shape.stack).all()):
        return None
    best = fit.best(ROUGH_MISFIT)
    if best is None:
        return None
    surface_grid = fit.points_of(best, shape.stack)
    whole, core, strays, doubt = fit.figures(best)
    if len(fit.corners_px) < len(CORNERS):
        doubt = float(np.hypot(doubt, UNSEEN_CORNER))
    lean = float(best[NUMBERS]) if pair is None else None
    return Pose(pair, outline.flank, fit.camera(best), surface_grid, whole, core, strays, doubt, ignored, lean)


def _pose_part(
    outline: Outline, pair: WormPair, size: PhotoSize, whole: Pose
) -> tuple[PosedFlank, tuple[Caution, ...]] | None:
    """The map of a flank that goes on beyond one end of its outline, with a caution; None when neither end is so."""
    if whole.well_fitted:
        return None
    parts = {end: pose_flank(outline, pair, size, end) for end in ("end_a", "end_b")}
    fits = {end: np.inf if posed is None else posed.pose.misfit for end, posed in parts.items()}
    end, other = sorted(fits, key=lambda name: fits[name])
    posed = parts[end]
    if posed is None or not posed.pose.well_fitted or fits[end] > PART_SHARE * min(whole.misfit, fits[other]):
        return None
    return posed, (caution("end-unseen", end="A" if end == "end_a" else "B"),)


def _other_hand(pair: WormPair) -> WormPair:
    return replace(pair, hand=Hand.LEFT if pair.hand is Hand.RIGHT else Hand.RIGHT)


def _hand_seen(pair: WormPair) -> Caution:
    return caution(OTHER_HAND, told=pair.hand.value, seen=_other_hand(pair).hand.value)
