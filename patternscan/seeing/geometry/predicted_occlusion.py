"""Which part of a flank is known to be occluded: by the next tooth, by its own bend, or by what a person drew round.

Where camera and wheel are known, so is the next tooth. What else stands in front (the housing, the edge of an
inspection port) only the person knows who left it out of the outline.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution, caution
from patternscan.gearing.next_tooth import next_tooth
from patternscan.quantiles import median
from patternscan.seeing.geometry.mapping import FlankMap
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.pose import Numbers, Pose
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS

Mask = NDArray[np.bool_]

ROWS, COLUMNS = 64, 128
"""Grid of places that are asked for; each stands for its neighbours too, since the border of what hides is blurred."""
PICTURE_PX = 512
"""Long side of the picture of the flank that what hides is drawn in."""
NEARER = 0.02
"""Only what stands nearer than the flank by this part of the face width hides it."""
LEFT_OUT, LEAST_LEFT_OUT = 3.0, 0.01
"""What lies further outside a person's outline than so many times its misfit, and than this part of the face width, was
left out, not clicked badly."""
WORTH_SAYING = 0.01
"""A hidden part of the flank that is smaller is not spoken of."""


@dataclass(frozen=True, slots=True, eq=False)
class Hiding:
    """One reason why a part of the flank is not seen: the code of its caution, and the places (ROWS, COLUMNS)."""

    code: str
    places: Mask

    @property
    def caution(self) -> Caution | None:
        """What to tell the person; None when it is next to nothing."""
        share = float(self.places.mean())
        return caution(self.code, share=share) if share >= WORTH_SAYING else None


def predict_occlusion(flank_map: FlankMap, outline: Outline) -> tuple[Mask, tuple[Caution, ...]]:
    """Which cells of the rectified flank (FLAT_ROWS, FLAT_COLUMNS) are hidden, and cautions that say by what.

    Nothing is known to be hidden where the flank's shape and the camera are not known.
    """
    if flank_map.pose is None:
        return np.zeros((FLAT_ROWS, FLAT_COLUMNS), dtype=np.bool_), ()
    reasons = _reasons(flank_map, flank_map.pose, outline)
    places = np.any([reason.places for reason in reasons], axis=0).astype(np.uint8)
    wider = cv2.dilate(places, np.ones((3, 3), np.uint8))
    cells = cv2.resize(wider, (FLAT_COLUMNS, FLAT_ROWS), interpolation=cv2.INTER_NEAREST)
    cautions = (reason.caution for reason in reasons)
    return np.asarray(cells > 0), tuple(told for told in cautions if told is not None)


def _reasons(flank_map: FlankMap, pose: Pose, outline: Outline) -> tuple[Hiding, ...]:
    along, up = (np.arange(COLUMNS) + 0.5) / COLUMNS, 1 - (np.arange(ROWS) + 0.5) / ROWS
    places = np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)
    view = _View.around(flank_map.to_photo(places).reshape(ROWS, COLUMNS, 2))
    return (
        Hiding("behind-next-tooth", _behind_next_tooth(pose, places, view)),
        Hiding("turned-away", _turned_away(view.at)),
        Hiding("left-out", _left_out(outline, pose, view)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _View:
    """The part of the photo with the flank, ``scale`` times as large: its shape (rows, cols), the photo's pixel in its
    corner, and where the asked places (ROWS, COLUMNS, 2) are seen in it.
    """

    shape: tuple[int, int]
    low: Numbers
    scale: float
    at: Numbers

    @classmethod
    def around(cls, pixels: Numbers) -> _View:
        low, high = pixels.min(axis=(0, 1)), pixels.max(axis=(0, 1))
        scale = PICTURE_PX / float(np.max(high - low))
        cols, rows = np.ceil((high - low) * scale).astype(int) + 1
        return cls((int(rows), int(cols)), low, scale, (pixels - low) * scale)

    def seen(self, pixels: Numbers) -> Numbers:
        """Pixels (..., 2) of the photo in this part of it."""
        part: Numbers = (pixels - self.low) * self.scale
        return part

    def looked_up(self, picture: NDArray[np.float32]) -> NDArray[np.float32]:
        """Values of a picture of this shape at the asked places."""
        column, row = np.moveaxis(np.rint(self.at).astype(np.intp), -1, 0)
        return np.asarray(picture[row, column], dtype=np.float32)


def _behind_next_tooth(pose: Pose, places: Numbers, view: _View) -> Mask:
    """Places that the known next tooth stands in front of; none when the pose is too doubtful to tell."""
    if pose.pair is None or pose.fit.rough:
        return np.zeros((ROWS, COLUMNS), dtype=np.bool_)
    depth = np.full(view.shape, np.inf, dtype=np.float32)
    pieces = next_tooth(pose.pair, pose.flank)
    distances = pose.camera.depth_mm(pieces).mean(axis=1)
    borders = np.rint(16 * view.seen(pose.camera.see(pieces))).astype(np.int32)
    for one in np.argsort(-distances):
        cv2.fillConvexPoly(depth, borders[one], float(distances[one]), shift=4)
    rows, cols = pose.surface_grid.shape[:2]
    grid = (places * [cols - 1, rows - 1]).astype(np.float32).reshape(ROWS, COLUMNS, 2)
    chart = pose.camera.depth_mm(pose.surface_grid).astype(np.float32)
    own = cv2.remap(chart, grid[..., 0], grid[..., 1], cv2.INTER_LINEAR)
    return np.asarray(view.looked_up(depth) < own - NEARER * pose.pair.face_width_mm)


def _turned_away(at: Numbers) -> Mask:
    """Places (ROWS, COLUMNS) seen the other way round than most: there the camera looks at the back of the flank."""
    across, down = np.gradient(at, axis=1), np.gradient(at, axis=0)
    sense = across[..., 0] * down[..., 1] - across[..., 1] * down[..., 0]
    return np.asarray(sense * median(sense) < 0)


def _left_out(outline: Outline, pose: Pose, view: _View) -> Mask:
    """Places well outside an outline that a person gave; none when all of it lies on the flank's edges."""
    if not outline.by_hand or not (pose.fit.rough or pose.unseen_end):
        return np.zeros((ROWS, COLUMNS), dtype=np.bool_)
    outside = np.ones(view.shape, dtype=np.uint8)
    cv2.fillPoly(outside, [np.rint(16 * view.seen(outline.border)).astype(np.int32)], (0,), shift=4)
    distance = cv2.distanceTransform(outside, cv2.DIST_L2, 5)
    least = max(LEFT_OUT * pose.fit.inlier_rms, LEAST_LEFT_OUT) * outline.width_px * view.scale
    return np.asarray(view.looked_up(distance.astype(np.float32)) > least)
