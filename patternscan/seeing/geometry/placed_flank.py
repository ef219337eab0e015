"""A flank in its place in a photo: where each of its cells is seen, and what is known to stand before some of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.errors import InconsistentInputs
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.geometry.mapping import FlankMap, map_flank
from patternscan.seeing.geometry.outline import Edge, Outline, OutlineSource
from patternscan.seeing.geometry.predicted_occlusion import predict_occlusion
from patternscan.seeing.geometry.rectified import RectifiedFlank, cells_in_photo, rectify
from patternscan.seeing.image.photo import Photo

CLICK_SPREAD = 0.004
"""Standard deviation of a point that a person sets on an edge, fraction of the face width."""
FOUND_SPREAD = 0.06
"""Further spread of an outline that was found with no confidence at all; shrinks as confidence grows."""

DOUBTFUL_END_SPREAD, DOUBTFUL_HEIGHT_SPREAD = 0.05, 0.08
"""Further spread of a place along the face for each end of an outline that is doubtful. On dev it makes intervals hold
9 in 10 where an end was marked 10 % of the face width off, or a corner 20 %; with found outlines 94 in 100 hold on 32
machines of dev, rims and port, without it 88 (tests/study/intervals.py). The second up the flank for root and tip: half
of what an edge moved by 12 to 25 % of the height moves a place (geometry)."""
EDGE_OVER_PLACE = 2.0
"""An edge that is off moves places half as far in the mean, from all its way beside it to none at the other edge, but
changes the flank's area by all of it (geometry)."""


@dataclass(frozen=True, slots=True)
class PlaceUncertainty:
    """How far a place may be off through outline and mapping, and the flank's area: standard deviations, fractions of
    width, height and area.
    """

    along: float
    up: float
    area: float


@dataclass(frozen=True, slots=True, eq=False)
class PlacedFlank:
    """An outlined flank of a photo with its map and its rectified picture.

    ``border`` (n, 2): the outline's border in pixels. ``cells_px`` float32 (FLAT_ROWS, FLAT_COLUMNS, 2): where the
    centre of each cell of the rectified flank is seen. ``occluded`` bool (FLAT_ROWS, FLAT_COLUMNS): cells that are
    known to be hidden, whatever the photo shows there. ``uncertainty``: of a place. ``cautions``: of the outline, the
    gear data and what is hidden.
    """

    photo: Photo
    outline: Outline
    flank_map: FlankMap
    border: Edge
    cells_px: NDArray[np.float32]
    rectified: RectifiedFlank
    occluded: NDArray[np.bool_]
    uncertainty: PlaceUncertainty
    cautions: tuple[Caution, ...]


def place_flank(photo: Photo, outline: Outline, pair: WormPair | None) -> PlacedFlank:
    """Find where each place of an outlined flank is seen; ``pair`` None when the gear is not known.

    Raises InconsistentInputs when the outline cannot be this photo's.
    """
    refuse_outside(photo, outline)
    flank_map, cautions = map_flank(outline, pair, lens_of(photo))
    return placed_by(photo, outline, flank_map, cautions)


def refuse_outside(photo: Photo, outline: Outline) -> None:
    """Raise InconsistentInputs when less than half of the outline lies in the photo."""
    height_px, width_px = photo.pixels.shape[:2]
    if not _within(outline, width_px, height_px):
        raise InconsistentInputs(
            f"The outline lies mostly outside {photo.name} ({photo.width_px} x {photo.height_px} px).",
            "Use the outline that was made for this very photo, at its full size and upright.",
        )


def placed_by(photo: Photo, outline: Outline, flank_map: FlankMap, cautions: Sequence[Caution] = ()) -> PlacedFlank:
    """The flank as a map places it, with these cautions of the mapping."""
    cells_px = cells_in_photo(flank_map)
    occluded, told = predict_occlusion(flank_map, outline)
    return PlacedFlank(
        photo=photo,
        outline=outline,
        flank_map=flank_map,
        border=outline.border,
        cells_px=cells_px,
        rectified=rectify(photo, cells_px, outline),
        occluded=occluded,
        uncertainty=place_uncertainty(outline, flank_map),
        cautions=(*cautions, *told),
    )


def place_uncertainty(
    outline: Outline, flank_map: FlankMap, doubtful_ends: int = 0, doubtful_heights: int = 0
) -> PlaceUncertainty:
    """Uncertainty of a place through the outline's points and the mapping; ``doubtful_ends`` and ``doubtful_heights``:
    how many of its ends, and of root and tip, are seen elsewhere or not at all.
    """
    points = CLICK_SPREAD
    if outline.source is OutlineSource.FOUND:
        points += FOUND_SPREAD * (1 - outline.confidence)
    along = float(np.hypot(points, flank_map.uncertainty))
    up = along * min(outline.width_px / max(outline.height_px, 1.0), 5.0)
    by_ends, by_heights = DOUBTFUL_END_SPREAD * doubtful_ends**0.5, DOUBTFUL_HEIGHT_SPREAD * doubtful_heights**0.5
    return PlaceUncertainty(
        float(np.hypot(along, by_ends)),
        float(np.hypot(up, by_heights)),
        float(np.linalg.norm([along, up, EDGE_OVER_PLACE * by_ends, EDGE_OVER_PLACE * by_heights])),
    )


def _within(outline: Outline, width_px: int, height_px: int) -> bool:
    """Whether at least half of the outline lies in the photo; else it belongs to another picture or size."""
    border = outline.border
    inside = (border >= -1).all(axis=1) & (border <= [width_px, height_px]).all(axis=1)
    return bool(inside.mean() >= 0.5)
