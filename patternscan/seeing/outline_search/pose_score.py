"""How well a picture meets many pose hypotheses of the wheel at once: the heart of the search, so written for speed.

A hypothesis' own tooth is worked out point by point; the teeth beside it are the same points seen by a camera turned
back about the wheel's axis. All is done in single precision, some hundred hypotheses at a time, so that it stays near
the processor.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.outline_search.image_features import Floats, ImageFeatures, Map, edge_support, looked_up
from patternscan.seeing.outline_search.tooth_model import (
    GEAR,
    cameras,
    end_line,
    flank_patch,
    lengthwise_line,
    seen_points,
    surface_points,
    tooth_angle,
)

TIP_WEIGHT, ROOT_WEIGHT, END_WEIGHT, REAR_WEIGHT, INSIDE_WEIGHT = 1.0, 0.8, 0.5, 0.6, -0.2
"""What an edge on each line counts for; on a smooth flank an edge speaks against the hypothesis."""
HEIGHTS_INSIDE = (0.2, 0.5, 0.8)
BORDER_LINES = 4
BESIDE_WEIGHT = 0.5
"""What lines of the teeth beside count for, against those of the tooth itself."""
SHARE_WEIGHT, MOST_SHARE, SPOILED_WEIGHT, METAL_WEIGHT, SIZE_WEIGHT = 0.2, 0.8, 0.3, 0.2, 0.06
LAND_PARTS = (0.3, 0.6)
POINTS_AT_ONCE = 72000
"""Points worked on together, in some hundred hypotheses."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothTemplate:
    """Where on a tooth a picture is asked: patches of the flank, row after row, then points on its border and on
    further lines, as ``coordinates`` (m, 4).

    ``line``, ``end``: how many points a line along the tooth and one from root to tip have; ``rows`` and ``columns``
    of patches; ``weights``: what an edge at each point behind the patches counts for.
    """

    coordinates: Map
    line: int
    end: int
    rows: int
    columns: int
    weights: Map

    @property
    def patch(self) -> slice:
        """The patches, which lie in the middles of equal cells."""
        return slice(0, self.rows * self.columns)

    @property
    def tip(self) -> slice:
        """The tip edge."""
        return self._behind(0, self.line)

    @property
    def root(self) -> slice:
        """The root edge."""
        return self._behind(self.line, self.line)

    @property
    def border(self) -> slice:
        """All four edges of the flank: tip, root, ends."""
        return self._behind(0, 2 * self.line + 2 * self.end)

    @property
    def rear(self) -> slice:
        """The tip edge of the tooth's other side."""
        return self._behind(2 * self.line + 2 * self.end, self.line)

    @property
    def starts(self) -> NDArray[np.intp]:
        """Where each line begins among the points behind the patches."""
        rest = (len(self.weights) - 2 * self.line - 2 * self.end) // self.line
        lengths = [self.line, self.line, self.end, self.end, *[self.line] * rest]
        return np.cumsum([0, *lengths[:-1]])

    def _behind(self, first: int, count: int) -> slice:
        return slice(self.patch.stop + first, self.patch.stop + first + count)


def _template(line: int, end: int, rows: int, columns: int, heights_inside: tuple[float, ...]) -> ToothTemplate:
    lengthwise = ((1.0, -1, REAR_WEIGHT), *((up, 1, INSIDE_WEIGHT) for up in heights_inside))
    lines = (
        (lengthwise_line(1.0, 0, 1, line), TIP_WEIGHT),
        (lengthwise_line(0.0, 0, 1, line), ROOT_WEIGHT),
        *((end_line(across, 0, end), END_WEIGHT) for across in (-0.5, 0.5)),
        *((lengthwise_line(up, 0, side, line), weight) for up, side, weight in lengthwise),
    )
    points = np.vstack([flank_patch(0, rows, columns), *(line for line, _ in lines)]).astype(np.float32)
    weights = np.concatenate([np.full(len(line), weight / len(line)) for line, weight in lines]).astype(np.float32)
    return ToothTemplate(points, line, end, rows, columns, weights)


THOROUGH = _template(17, 7, 3, 8, HEIGHTS_INSIDE)
QUICK = _template(7, 3, 2, 5, ())


@dataclass(frozen=True, slots=True, eq=False)
class SeenTooth:
    """Pixels ``x`` and ``y`` (n, m) of the template's first m points on one tooth, by n hypotheses."""

    x: Map
    y: Map

    def part(self, points: slice) -> tuple[Map, Map]:
        """Pixels of some of the points."""
        return self.x[:, points], self.y[:, points]


def score_poses(poses: Floats, features: ImageFeatures, thorough: bool) -> Floats:
    """How well each hypothesis (n, 12) meets the picture, (n,); about 0.6 is a good one. Quick: one tooth, fewer
    points, blurred edges.
    """
    template = THOROUGH if thorough else QUICK
    count = POINTS_AT_ONCE // len(template.coordinates)
    parts = [_scored(poses[k : k + count], features, template) for k in range(0, len(poses), count)]
    return np.concatenate(parts).astype(np.float64)


def tip_support(pose: Floats, features: ImageFeatures) -> float:
    """How well the tip edge of a hypothesis' (12,) own tooth lies on an edge, 0..1."""
    tip = THOROUGH.coordinates[THOROUGH.tip].astype(np.float64)
    x, y = np.moveaxis(seen_points(pose[None], tip, features.size_px).astype(np.float32), -1, 0)
    return float(edge_support(features.edges, x, y, THOROUGH.starts[:1]).mean())


def shaped_points(poses: Floats, coordinates: Map) -> Map:
    """Points (n, 3, m) of coordinates (m, 4) on the wheel of each hypothesis (n, 12), worked out once for a run of them
    with the same gear; (1, 3, m) when all have the same.
    """
    gears = poses[:, GEAR]
    first = np.append(True, (gears[1:] != gears[:-1]).any(axis=1))
    points: Map = surface_points(poses[first].astype(np.float32), coordinates)
    return points if len(points) in (1, len(poses)) else points[np.cumsum(first) - 1]


def _scored(poses: Floats, features: ImageFeatures, template: ToothTemplate) -> Map:
    """Scores of a few hypotheses (n, 12)."""
    points = shaped_points(poses, template.coordinates)
    sight = cameras(poses, features.size_px)
    own = SeenTooth(*sight.see(points))
    edges = features.edges if template is THOROUGH else features.coarse_edges
    lines = own.part(slice(template.border.start, None))
    support = edge_support(edges, *lines, template.starts) @ template.weights
    whole, teeth = template.weights.clip(0).sum(), [own]
    if template is THOROUGH:
        angle = tooth_angle(poses)
        near, flank = points[..., : template.border.stop], points[..., template.patch]
        beside = [SeenTooth(*sight.turned(tooth * angle).see(near)) for tooth in (-1, 1)]
        teeth += beside + [SeenTooth(*sight.turned(tooth * angle).see(flank)) for tooth in (-2, 2)]
        weights = BESIDE_WEIGHT * template.weights[: near.shape[-1] - template.patch.stop]
        for tooth in beside:
            border = tooth.part(template.border)
            support = support + edge_support(edges, *border, template.starts[:BORDER_LINES]) @ weights
            whole += weights.sum()
    scores: Map = support / whole + _colour_score(features, template, own, teeth)
    return scores


def _colour_score(features: ImageFeatures, template: ToothTemplate, own: SeenTooth, teeth: list[SeenTooth]) -> Map:
    """Compound on flanks and not on the land between them, the tooth on metal, and large rather than small."""
    on_metal = looked_up(features.metal, *own.part(template.patch)).mean(axis=1)
    tip, rear = own.part(template.tip), own.part(template.rear)
    x, y = (
        np.concatenate([t * (1 - part) + r * part for part in LAND_PARTS], axis=1)
        for t, r in zip(tip, rear, strict=True)
    )
    spoiled = looked_up(features.compound, x, y).mean(axis=1)
    ends = [side[:, -1] - side[:, 0] for side in own.part(template.root)]
    compound = sum(_compound(features, template, tooth) for tooth in teeth)
    share = np.minimum(compound / features.all_compound, MOST_SHARE)
    size = np.log(np.maximum(np.hypot(*ends), 1) / features.size_px)
    score: Map = SHARE_WEIGHT * share - SPOILED_WEIGHT * spoiled - METAL_WEIGHT * (1 - on_metal) + SIZE_WEIGHT * size
    return score


def _compound(features: ImageFeatures, template: ToothTemplate, tooth: SeenTooth) -> Map:
    """Compound on one flank of each hypothesis, in pixels, (n,)."""
    x, y = tooth.part(template.patch)
    amount = looked_up(features.compound, x, y).mean(axis=1)
    rows, columns = template.rows, template.columns
    last, far = columns - 1, (rows - 1) * columns
    first, second = ((x[:, b] - x[:, a], y[:, b] - y[:, a]) for a, b in ((0, rows * columns - 1), (last, far)))
    cell = np.abs(first[0] * second[1] - first[1] * second[0]) / 2
    area: Map = amount * cell * (rows / (rows - 1) * columns / (columns - 1))
    return area
