"""The map of a flank that lies flat: its print on tape or paper, in the frame that a person drew round its edges.

The frame's four corners are those of a rectangle on the card, so they tell the camera's slant. The ends are straight,
as the wheel's end faces are plane; root and tip may be bowed, as they are on a throated wheel.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import Edge, Outline, resampled

Points = NDArray[np.float64]

FRAME_UNCERTAINTY = 0.012
"""Standard deviation of a place along the face, as a fraction of it, because the frame is drawn by hand and a lift is
stretched: a third of a millimetre for each on a face of 35 mm (own guess)."""
POINTS = 65
"""Points of the root and tip edges between which the frame runs straight."""


@dataclass(frozen=True, slots=True, eq=False)
class FlatPatch:
    """``root``, ``tip`` (n, 2): the edges on the card, where the frame's corners are those of the unit square (along to
    the right, up upward); ``to_picture`` (3, 3): the homography from there to pixels.
    """

    root: Edge
    tip: Edge
    to_picture: NDArray[np.float64]
    uncertainty: float = FRAME_UNCERTAINTY

    @property
    def pose(self) -> None:
        """None: a card tells of no tooth and its camera."""

    def to_photo(self, coordinates: Points) -> Points:
        """Flank coordinates (n, 2) to pixels (n, 2) as x, y; outside 0..1 the card goes on flat."""
        along, up = coordinates.T
        low, high = (np.interp(along, edge[:, 0], edge[:, 1]) for edge in (self.root, self.tip))
        places = np.column_stack([along, low + up * (high - low)])
        return np.asarray(cv2.perspectiveTransform(places[None], self.to_picture)[0], dtype=np.float64)


def map_frame(outline: Outline) -> FlatPatch:
    """The map of a lift from its frame as outlined in the picture."""
    corners = np.array([outline.root[0], outline.root[-1], outline.tip[-1], outline.tip[0]], dtype=np.float32)
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    to_picture = np.asarray(cv2.getPerspectiveTransform(square, corners), dtype=np.float64)
    to_card = np.asarray(np.linalg.inv(to_picture), dtype=np.float64)
    return FlatPatch(_on_card(outline.root, to_card), _on_card(outline.tip, to_card), to_picture)


def _on_card(edge: Edge, to_card: NDArray[np.float64]) -> Edge:
    """An edge on the card, in the order of its places along the face."""
    fine = resampled(edge, np.linspace(0, 1, POINTS))
    placed = cv2.perspectiveTransform(fine[None], to_card)[0]
    return np.asarray(placed[np.argsort(placed[:, 0], kind="stable")], dtype=np.float64)
