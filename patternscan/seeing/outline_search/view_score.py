"""How well a picture meets many views of the wheel at once: the heart of the search, so written for speed.

A view's own tooth is worked out point by point; the teeth beside it are the same points seen by a camera turned back
about the wheel's axis. All is done in single precision, some hundred views at a time, so that it stays near the
processor.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patternscan.seeing.outline_search import tooth_shape as shape
from patternscan.seeing.outline_search.image_features import Evidence, Floats, Map, edge_support, looked_up
from patternscan.seeing.outline_search.view_places import BORDER_LINES, QUICK, THOROUGH, Places

BESIDE_WORTH = 0.5
"""What lines of the teeth beside are worth, against those of the tooth itself."""
SHARE_WORTH, MOST_SHARE, SPOILED_WORTH, METAL_WORTH, SIZE_WORTH = 0.2, 0.8, 0.3, 0.2, 0.06
LAND_PARTS = (0.3, 0.6)
PLACES_AT_ONCE = 72000
"""Places worked on together, in some hundred views."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenTooth:
    """Pixels ``x`` and ``y`` (n, m) of the first m places of one tooth in n views."""

    x: Map
    y: Map

    def part(self, places: slice) -> tuple[Map, Map]:
        """Pixels of some of the places."""
        return self.x[:, places], self.y[:, places]


def score_views(views: Floats, evidence: Evidence, thorough: bool) -> Floats:
    """How well each view (n, 12) meets the picture, (n,); about 0.6 is a good one. Quick: one tooth, fewer places,
    blurred edges.
    """
    places = THOROUGH if thorough else QUICK
    count = PLACES_AT_ONCE // len(places.all)
    parts = [_scored(views[k : k + count], evidence, places) for k in range(0, len(views), count)]
    return np.concatenate(parts).astype(np.float64)


def tip_support(view: Floats, evidence: Evidence) -> float:
    """How well the tip edge of a view's (12,) own tooth lies on an edge, 0..1."""
    tip = THOROUGH.all[THOROUGH.tip].astype(np.float64)
    seen = shape.seen_points(view[None], tip, shape.FOCAL_LENGTH * evidence.size_px).astype(np.float32)
    x, y = np.ascontiguousarray(seen[..., 0]), np.ascontiguousarray(seen[..., 1])
    return float(edge_support(evidence.edges, x, y, THOROUGH.starts[:1]).mean())


def shaped_points(views: Floats, places: Map) -> Map:
    """Points (n, 3, m) of places (m, 4) on the wheel of each view (n, 12), worked out once for a run of views of the
    same shape; (1, 3, m) when all have the same.
    """
    shapes = views[:, shape.RADIUS :]
    first = np.append(True, (shapes[1:] != shapes[:-1]).any(axis=1))
    points: Map = shape.surface_points(views[first].astype(np.float32), places)
    return points if len(points) in (1, len(views)) else points[np.cumsum(first) - 1]


def _scored(views: Floats, evidence: Evidence, places: Places) -> Map:
    """Scores of a few views (n, 12)."""
    points = shaped_points(views, places.all)
    cameras = shape.cameras(views, shape.FOCAL_LENGTH * evidence.size_px)
    own = SeenTooth(*cameras.see(points))
    edges = evidence.edges if places is THOROUGH else evidence.coarse
    support = edge_support(edges, *own.part(slice(places.border.start, None)), places.starts) @ places.worths
    whole, teeth = places.worths.clip(0).sum(), [own]
    if places is THOROUGH:
        angle = shape.tooth_angle(views)
        near = points[..., : places.border.stop]
        beside = [SeenTooth(*cameras.turned(tooth * angle).see(near)) for tooth in (-1, 1)]
        teeth += beside + [
            SeenTooth(*cameras.turned(tooth * angle).see(points[..., places.patch])) for tooth in (-2, 2)
        ]
        worths = BESIDE_WORTH * places.worths[: near.shape[-1] - places.patch.stop]
        for tooth in beside:
            support = support + edge_support(edges, *tooth.part(places.border), places.starts[:BORDER_LINES]) @ worths
            whole += worths.sum()
    scores: Map = support / whole + _colour_score(evidence, places, own, teeth)
    return scores


def _colour_score(evidence: Evidence, places: Places, own: SeenTooth, teeth: list[SeenTooth]) -> Map:
    """Compound on flanks and not on the land between them, the tooth on metal, and large rather than small."""
    on_metal = looked_up(evidence.metal, *own.part(places.patch)).mean(axis=1)
    tip, rear = own.part(places.tip), own.part(places.rear)
    land = [
        np.concatenate([t * (1 - part) + r * part for part in LAND_PARTS], axis=1)
        for t, r in zip(tip, rear, strict=True)
    ]
    spoiled = looked_up(evidence.compound, *land).mean(axis=1)
    ends = [side[:, -1] - side[:, 0] for side in own.part(places.root)]
    compound = sum(_compound(evidence, places, tooth) for tooth in teeth)
    share = np.minimum(compound / evidence.all_compound, MOST_SHARE)
    size = np.log(np.maximum(np.hypot(*ends), 1) / evidence.size_px)
    score: Map = SHARE_WORTH * share - SPOILED_WORTH * spoiled - METAL_WORTH * (1 - on_metal) + SIZE_WORTH * size
    return score


def _compound(evidence: Evidence, places: Places, tooth: SeenTooth) -> Map:
    """Compound on one flank of each view, in pixels, (n,)."""
    x, y = tooth.part(places.patch)
    amount = looked_up(evidence.compound, x, y).mean(axis=1)
    rows, columns = places.rows, places.columns
    last, far = columns - 1, (rows - 1) * columns
    first, second = ((x[:, b] - x[:, a], y[:, b] - y[:, a]) for a, b in ((0, rows * columns - 1), (last, far)))
    cell = np.abs(first[0] * second[1] - first[1] * second[0]) / 2
    area: Map = amount * cell * (rows / (rows - 1) * columns / (columns - 1))
    return area
