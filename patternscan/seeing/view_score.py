"""How well a picture meets many views of the wheel at once: the heart of the search, so written for speed.

A view's own tooth is worked out point by point; the teeth beside it are the same points seen by a camera turned back
about the wheel's axis. All is done in single precision, some hundred views at a time, so that it stays near the
processor.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patternscan.seeing import tooth_shape as shape
from patternscan.seeing.outline_evidence import Evidence, Floats, Map, edge_support, looked_up

LINE_POINTS, END_POINTS = 17, 7
BESIDE_WORTH = 0.5
"""What lines of the teeth beside are worth, against those of the tooth itself."""
PATCH_ROWS, PATCH_COLS = 3, 8
SHARE_WORTH, MOST_SHARE, SPOILED_WORTH, METAL_WORTH, SIZE_WORTH = 0.2, 0.8, 0.3, 0.2, 0.06
LAND_PARTS = (0.3, 0.6)
AT_ONCE = 256
"""Views worked on together."""


def _lines() -> tuple[tuple[Floats, float], ...]:
    """Lines of the tooth and what an edge on each is worth; on a smooth flank an edge speaks against the view."""
    lengthwise = ((1.0, 1, 1.0), (0.0, 1, 0.8))
    behind = ((1.0, -1, 0.6), (0.2, 1, -0.2), (0.5, 1, -0.2), (0.8, 1, -0.2))
    return (
        *((shape.lengthwise_line(up, 0, side, LINE_POINTS), worth) for up, side, worth in lengthwise),
        *((shape.end_line(across, 0, END_POINTS), 0.5) for across in (-0.5, 0.5)),
        *((shape.lengthwise_line(up, 0, side, LINE_POINTS), worth) for up, side, worth in behind),
    )


LINES = _lines()
PATCH = slice(0, PATCH_ROWS * PATCH_COLS)
BORDER = slice(PATCH.stop, PATCH.stop + 2 * LINE_POINTS + 2 * END_POINTS)
TIP, ROOT, REAR = (
    slice(start, start + LINE_POINTS) for start in (BORDER.start, BORDER.start + LINE_POINTS, BORDER.stop)
)
PLACES = np.vstack([shape.flank_patch(0, PATCH_ROWS, PATCH_COLS), *(line for line, _ in LINES)])
"""Places of one tooth: its flank in patches, the four edges, the lines behind and inside."""
LINE_STARTS = np.cumsum([0, *(len(line) for line, _ in LINES)])[:-1]
POINT_WORTHS = np.concatenate([np.full(len(line), worth / len(line)) for line, worth in LINES]).astype(np.float32)
WHOLE_WORTH = sum(worth for _, worth in LINES if worth > 0)
BORDER_LINES, BORDER_POINTS = 4, BORDER.stop - BORDER.start
BESIDE_WHOLE = 2 * BESIDE_WORTH * sum(worth for _, worth in LINES[:BORDER_LINES])


@dataclass(frozen=True, slots=True, eq=False)
class SeenTooth:
    """Pixels ``x`` and ``y`` (n, m) of the first m places of one tooth in n views."""

    x: Map
    y: Map

    def part(self, places: slice) -> tuple[Map, Map]:
        """Pixels of some of the places."""
        return self.x[:, places], self.y[:, places]


def score_views(views: Floats, evidence: Evidence, thorough: bool) -> Floats:
    """How well each view (n, 12) meets the picture, (n,); about 0.6 is a good one. Quick: one tooth, blurred edges."""
    several = range(0, len(views), AT_ONCE)
    parts = [_scored(views[first : first + AT_ONCE], evidence, thorough) for first in several]
    return np.concatenate(parts).astype(np.float64)


def tip_support(view: Floats, evidence: Evidence) -> float:
    """How well the tip edge of a view's (12,) own tooth lies on an edge, 0..1."""
    seen = shape.seen_points(view[None], LINES[0][0], shape.FOCAL_LENGTH * evidence.size_px).astype(np.float32)
    x, y = np.ascontiguousarray(seen[..., 0]), np.ascontiguousarray(seen[..., 1])
    return float(edge_support(evidence.edges, x, y, LINE_STARTS[:1]).mean())


def _scored(views: Floats, evidence: Evidence, thorough: bool) -> Map:
    """Scores of a few views (n, 12)."""
    shapes = views[:1] if (views[:, shape.RADIUS :] == views[0, shape.RADIUS :]).all() else views
    points = shape.surface_points(shapes.astype(np.float32), PLACES.astype(np.float32))
    cameras = shape.cameras(views, shape.FOCAL_LENGTH * evidence.size_px)
    own = SeenTooth(*cameras.see(points))
    edges = evidence.edges if thorough else evidence.coarse
    support = edge_support(edges, *own.part(slice(BORDER.start, None)), LINE_STARTS) @ POINT_WORTHS
    whole, teeth = WHOLE_WORTH, [own]
    if thorough:
        near = points[..., : BORDER.stop]
        angle = shape.tooth_angle(views)
        beside = [SeenTooth(*cameras.turned(tooth * angle).see(near)) for tooth in (-1, 1)]
        teeth += beside + [SeenTooth(*cameras.turned(tooth * angle).see(points[..., PATCH])) for tooth in (-2, 2)]
        worths = BESIDE_WORTH * POINT_WORTHS[:BORDER_POINTS]
        for tooth in beside:
            support = support + edge_support(edges, *tooth.part(BORDER), LINE_STARTS[:BORDER_LINES]) @ worths
        whole += BESIDE_WHOLE
    scores: Map = support / whole + _colour_score(evidence, own, teeth)
    return scores


def _colour_score(evidence: Evidence, own: SeenTooth, teeth: list[SeenTooth]) -> Map:
    """Compound on flanks and not on the land between them, the tooth on metal, and large rather than small."""
    on_metal = looked_up(evidence.metal, *own.part(PATCH)).mean(axis=1)
    tip, rear = own.part(TIP), own.part(REAR)
    land = [
        np.concatenate([t * (1 - part) + r * part for part in LAND_PARTS], axis=1)
        for t, r in zip(tip, rear, strict=True)
    ]
    spoiled = looked_up(evidence.compound, *land).mean(axis=1)
    ends = [side[:, -1] - side[:, 0] for side in own.part(ROOT)]
    share = np.minimum(sum(_compound(evidence, tooth) for tooth in teeth) / _all_compound(evidence), MOST_SHARE)
    size = np.log(np.maximum(np.hypot(*ends), 1) / evidence.size_px)
    score: Map = SHARE_WORTH * share - SPOILED_WORTH * spoiled - METAL_WORTH * (1 - on_metal) + SIZE_WORTH * size
    return score


def _all_compound(evidence: Evidence) -> float:
    return max(float(evidence.compound.sum()), 1.0)


def _compound(evidence: Evidence, tooth: SeenTooth) -> Map:
    """Compound on one flank of each view, in pixels, (n,)."""
    x, y = tooth.part(PATCH)
    amount = looked_up(evidence.compound, x, y).mean(axis=1)
    last, far = PATCH_COLS - 1, PATCH.stop - PATCH_COLS
    first, second = ((x[:, b] - x[:, a], y[:, b] - y[:, a]) for a, b in ((0, PATCH.stop - 1), (last, far)))
    cell = np.abs(first[0] * second[1] - first[1] * second[0]) / 2
    area: Map = amount * cell * (PATCH_ROWS / (PATCH_ROWS - 1) * PATCH_COLS / (PATCH_COLS - 1))
    return area
