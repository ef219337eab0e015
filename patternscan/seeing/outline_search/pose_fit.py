"""How well a picture meets many pose hypotheses of the wheel at once, and how its edges refine them: the heart of the
search, so written for speed.

A hypothesis' own tooth is worked out point by point; the teeth beside it are the same points seen by a camera turned
back about the wheel's axis. To refine a hypothesis, each point of its edges looks along its normal for edges of its own
direction; least squares then move all points together. All is done in single precision, some hundred hypotheses at a
time, so that it stays near the processor.
Source: C. Harris, C. Stennett, RAPID, British Machine Vision Conference 1990 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patternscan.seeing.outline_search.image_features import (
    ImageFeatures,
    Map,
    Numbers,
    directed_support,
    edge_support,
    looked_up,
    tangents,
)
from patternscan.seeing.outline_search.tooth_model import (
    BESIDE_WEIGHT,
    BORDER_LINES,
    CAMERA,
    FOCAL_LENGTH,
    GEAR,
    PIXEL,
    QUICK,
    THOROUGH,
    Column,
    ToothTemplate,
    cameras,
    seen_points,
    surface_points,
    tooth_angle,
)

SHARE_WEIGHT, MOST_SHARE, SPOILED_WEIGHT, METAL_WEIGHT, SIZE_WEIGHT = 0.2, 0.8, 0.3, 0.2, 0.06
"""What compound on the flanks (up to so much of the picture's), on the land between them, a tooth off the metal and the
logarithm of its size count for, against edges."""
LAND_PARTS = (0.3, 0.6)
"""Where the land is looked at, from the tip edge to the tip edge of the tooth's other side."""
POINTS_AT_ONCE = 72000
"""Points worked on together, in some hundred hypotheses."""
EDGES = THOROUGH.coordinates[THOROUGH.border.start : THOROUGH.rear.stop]
"""Coordinates on the edges that are moved: of the hypothesis' own tooth its border and the tip edge behind; of those
beside, the border."""
OWN, BESIDE = len(EDGES), THOROUGH.border.stop - THOROUGH.border.start
STARTS = np.concatenate(
    [THOROUGH.starts[: BORDER_LINES + 1], *(THOROUGH.starts[:BORDER_LINES] + OWN + k * BESIDE for k in (0, 1))]
)
WEIGHTS = np.concatenate([THOROUGH.weights[:OWN], *[BESIDE_WEIGHT * THOROUGH.weights[:BESIDE]] * 2])
AT_ONCE = 512
"""Hypotheses worked on together."""
USUAL_SPREAD = np.array([0.12, 0.1, 0.12, 0.08, 0, 0, 3, 0.4, 0.25, 0.3, 0.06, 0.03])
"""How far a hypothesis errs in each column; its pixel errs by a part of the tooth's width."""
PIXEL_SPREAD = 0.06
STEP = 0.1
"""Size of the trial change by which the moves of points are told, as a part of the usual spread."""
LOOKS = 7
"""Places looked at on each normal."""
DAMPING = 0.02
"""Added to the equations, as a part of their own size; keeps hypotheses whose numbers are not told apart."""
MOST = 2.0
"""No number changes by more than so many usual spreads at once."""


@dataclass(frozen=True, slots=True, eq=False)
class ProjectedTooth:
    """Pixels ``x`` and ``y`` (n, m) of the template's first m points on one tooth, by n hypotheses."""

    x: Map
    y: Map

    def part(self, points: slice) -> tuple[Map, Map]:
        """Pixels of some of the points."""
        return self.x[:, points], self.y[:, points]


def score_poses(poses: Numbers, features: ImageFeatures, thorough: bool) -> Numbers:
    """How well each hypothesis (n, 12) meets the picture, (n,); about 0.6 is a good one. Quick: one tooth, fewer
    points, blurred edges.
    """
    template = THOROUGH if thorough else QUICK
    count = POINTS_AT_ONCE // len(template.coordinates)
    parts = [_scored(poses[k : k + count], features, template) for k in range(0, len(poses), count)]
    return np.concatenate(parts).astype(np.float64)


def tip_support(pose: Numbers, features: ImageFeatures) -> float:
    """How well the tip edge of a hypothesis' (12,) own tooth lies on an edge, 0..1."""
    tip = THOROUGH.coordinates[THOROUGH.tip].astype(np.float64)
    x, y = np.moveaxis(seen_points(pose[None], tip, features.size_px).astype(np.float32), -1, 0)
    return float(edge_support(features.edges, x, y, THOROUGH.starts[:1]).mean())


def _scored(poses: Numbers, features: ImageFeatures, template: ToothTemplate) -> Map:
    """Scores of a few hypotheses (n, 12)."""
    points = shaped_points(poses, template.coordinates)
    sight = cameras(poses, features.size_px)
    own = ProjectedTooth(*sight.see(points))
    edges = features.edges if template is THOROUGH else features.coarse_edges
    lines = own.part(slice(template.border.start, None))
    support = edge_support(edges, *lines, template.starts) @ template.weights
    whole, teeth = template.weights.clip(0).sum(), [own]
    if template is THOROUGH:
        angle = tooth_angle(poses)
        near, flank = points[..., : template.border.stop], points[..., template.patch]
        beside = [ProjectedTooth(*sight.turned(tooth * angle).see(near)) for tooth in (-1, 1)]
        teeth += beside + [ProjectedTooth(*sight.turned(tooth * angle).see(flank)) for tooth in (-2, 2)]
        weights = BESIDE_WEIGHT * template.weights[: near.shape[-1] - template.patch.stop]
        for tooth in beside:
            border = tooth.part(template.border)
            support = support + edge_support(edges, *border, template.starts[:BORDER_LINES]) @ weights
            whole += weights.sum()
    scores: Map = support / whole + _colour_score(features, template, own, teeth)
    return scores


def _colour_score(
    features: ImageFeatures, template: ToothTemplate, own: ProjectedTooth, teeth: list[ProjectedTooth]
) -> Map:
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


def _compound(features: ImageFeatures, template: ToothTemplate, tooth: ProjectedTooth) -> Map:
    """Compound on one flank of each hypothesis, in pixels, (n,)."""
    x, y = tooth.part(template.patch)
    amount = looked_up(features.compound, x, y).mean(axis=1)
    rows, columns = template.rows, template.columns
    last, far = columns - 1, (rows - 1) * columns
    first, second = ((x[:, b] - x[:, a], y[:, b] - y[:, a]) for a, b in ((0, rows * columns - 1), (last, far)))
    cell = np.abs(first[0] * second[1] - first[1] * second[0]) / 2
    area: Map = amount * cell * (rows / (rows - 1) * columns / (columns - 1))
    return area


@dataclass(frozen=True, slots=True)
class Refinement:
    """How hypotheses are refined: which ``columns`` may change, and from how far off edges are looked for, in pixels,
    round after round; on blurred edges when ``coarse``.
    """

    reaches: Sequence[float]
    columns: tuple[Column, ...]
    coarse: bool = False


def refined(poses: Numbers, features: ImageFeatures, limits: Numbers, how: Refinement) -> Numbers:
    """Hypotheses (n, 12) changed within their ``limits`` (2, 12) so that their teeth come to lie on edges."""
    several = range(0, len(poses), AT_ONCE)
    return np.concatenate([_refined(poses[k : k + AT_ONCE], features, limits, how) for k in several])


def usual_spread(poses: Numbers, size_px: int) -> Numbers:
    """How far each column of each hypothesis (n, 12) usually errs, (n, 12), in a picture with that long side."""
    spread = np.tile(USUAL_SPREAD, (len(poses), 1))
    width_px = FOCAL_LENGTH * size_px * poses[:, Column.WIDTH] / np.exp(poses[:, Column.NEARNESS])
    spread[:, PIXEL] = PIXEL_SPREAD * width_px[:, None]
    return spread


def _refined(poses: Numbers, features: ImageFeatures, limits: Numbers, how: Refinement) -> Numbers:
    """A few hypotheses refined; how their points move is worked out once, since it changes little."""
    edges, columns = features.coarse_edges if how.coarse else features.edges, list(how.columns)
    usual = usual_spread(poses, features.size_px)
    moves, found = _moves(poses, how.columns, usual, features.size_px), poses.copy()
    for reach in how.reaches:
        x, y = _seen(found, shaped_points(found, EDGES), features.size_px)
        found[:, columns] += _step(edges, (x, y), moves, reach) * usual[:, columns]
        found = np.clip(found, *limits)
    return found


def _moves(poses: Numbers, columns: Sequence[Column], usual: Numbers, size_px: int) -> tuple[Map, Map]:
    """How x and y of all points change when a column changes by what is usual, each (n, columns, m)."""
    points = shaped_points(poses, EDGES)
    x, y = _seen(poses, points, size_px)
    right, down = (p - poses[:, k, None].astype(np.float32) for p, k in ((x, Column.X), (y, Column.Y)))
    moves_x, moves_y = (np.zeros((len(poses), len(columns), x.shape[1]), np.float32) for _ in range(2))
    for k, column in enumerate(columns):
        step = usual[:, column, None].astype(np.float32)
        if column is Column.X:
            moves_x[:, k] = step
        elif column is Column.Y:
            moves_y[:, k] = step
        elif column is Column.ROLL:
            moves_x[:, k], moves_y[:, k] = -down * step, right * step
        else:
            moved = poses.copy()
            moved[:, column] += STEP * usual[:, column]
            other = _seen(moved, points if column in CAMERA else shaped_points(moved, EDGES), size_px)
            moves_x[:, k], moves_y[:, k] = (other[0] - x) / STEP, (other[1] - y) / STEP
    return moves_x, moves_y


def _seen(poses: Numbers, points: Map, size_px: int) -> tuple[Map, Map]:
    """Pixels x, y (n, m) of the edges of all three teeth."""
    sight, angle = cameras(poses, size_px), tooth_angle(poses)
    own = sight.see(points)
    beside = [sight.turned(tooth * angle).see(points[..., :BESIDE]) for tooth in (-1, 1)]
    x, y = (np.concatenate([own[k], beside[0][k], beside[1][k]], axis=1) for k in (0, 1))
    return x, y


def _step(edges: Map, at: tuple[Map, Map], moves: tuple[Map, Map], reach_px: float) -> Map:
    """Change (n, p) of the numbers behind each hypothesis by which its points ``at`` x and y (n, m) come nearer to
    edges, least squares.

    ``moves``: how x and y change with each number, each (n, p, m), for the change that is usual.
    """
    right, down = tangents(*at, STARTS)
    offset, found = _nearest_edges(edges, at, (right, down), reach_px)
    normal = moves[1] * right[:, None] - moves[0] * down[:, None]
    weighed = normal * (WEIGHTS * found)[:, None]
    size = weighed @ normal.transpose(0, 2, 1)
    numbers = size.shape[1]
    held = DAMPING * np.trace(size, axis1=1, axis2=2)[:, None, None] / numbers + 1e-9
    towards = weighed @ offset[:, :, None]
    changes = np.linalg.solve(size + held * np.eye(numbers, dtype=np.float32), towards)[..., 0]
    return np.clip(changes, -MOST, MOST)


def _nearest_edges(edges: Map, at: tuple[Map, Map], along: tuple[Map, Map], reach_px: float) -> tuple[Map, Map]:
    """How far off along their normals points see edges of their direction, and how strongly, each (n, m).

    Each place within reach counts with the third power of the edge's support there.
    """
    (x, y), (right, down) = at, along
    total = np.full_like(x, 1e-9)
    moment = np.zeros_like(x)
    for offset in np.linspace(-reach_px, reach_px, LOOKS, dtype=np.float32):
        seen = directed_support(edges, (x - offset * down, y + offset * right), along)
        weight = seen * seen
        weight *= seen
        weight *= np.float32(1 - 0.75 * (offset / reach_px) ** 2)
        total += weight
        weight *= offset
        moment += weight
    return np.divide(moment, total, out=moment), total / np.float32(LOOKS)


def shaped_points(poses: Numbers, coordinates: Map) -> Map:
    """Points (n, 3, m) of coordinates (m, 4) on the wheel of each hypothesis (n, 12), worked out once for a run of them
    with the same gear; (1, 3, m) when all have the same.
    """
    gears = poses[:, GEAR]
    first = np.append(True, (gears[1:] != gears[:-1]).any(axis=1))
    points: Map = surface_points(poses[first].astype(np.float32), coordinates)
    return points if len(points) in (1, len(poses)) else points[np.cumsum(first) - 1]
