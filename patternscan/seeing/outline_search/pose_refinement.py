"""Pose hypotheses refined on the picture's edges, many at once.

Each point of a tooth's edges looks along its normal for edges of its own direction; least squares then move all points
of a hypothesis together. Source: C. Harris, C. Stennett, RAPID, British Machine Vision Conference 1990 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patternscan.seeing.outline_search.image_features import Floats, ImageFeatures, Map, directed_support, tangents
from patternscan.seeing.outline_search.pose_score import BESIDE_WEIGHT, BORDER_LINES, THOROUGH, shaped_points
from patternscan.seeing.outline_search.tooth_model import CAMERA, FOCAL_LENGTH, PIXEL, Column, cameras, tooth_angle

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


@dataclass(frozen=True, slots=True)
class Refinement:
    """How hypotheses are refined: which ``columns`` may change, and from how far off edges are looked for, in pixels,
    round after round; on blurred edges when ``coarse``.
    """

    reaches: Sequence[float]
    columns: tuple[Column, ...]
    coarse: bool = False


def refined(poses: Floats, features: ImageFeatures, limits: Floats, how: Refinement) -> Floats:
    """Hypotheses (n, 12) changed within their ``limits`` (2, 12) so that their teeth come to lie on edges."""
    several = range(0, len(poses), AT_ONCE)
    return np.concatenate([_refined(poses[k : k + AT_ONCE], features, limits, how) for k in several])


def usual_spread(poses: Floats, size_px: int) -> Floats:
    """How far each column of each hypothesis (n, 12) usually errs, (n, 12), in a picture with that long side."""
    spread = np.tile(USUAL_SPREAD, (len(poses), 1))
    width_px = FOCAL_LENGTH * size_px * poses[:, Column.WIDTH] / np.exp(poses[:, Column.NEARNESS])
    spread[:, PIXEL] = PIXEL_SPREAD * width_px[:, None]
    return spread


def _refined(poses: Floats, features: ImageFeatures, limits: Floats, how: Refinement) -> Floats:
    """A few hypotheses refined; how their points move is worked out once, since it changes little."""
    edges, columns = features.coarse_edges if how.coarse else features.edges, list(how.columns)
    usual = usual_spread(poses, features.size_px)
    moves, found = _moves(poses, how.columns, usual, features.size_px), poses.copy()
    for reach in how.reaches:
        x, y = _seen(found, shaped_points(found, EDGES), features.size_px)
        found[:, columns] += _step(edges, (x, y), moves, reach) * usual[:, columns]
        found = np.clip(found, *limits)
    return found


def _moves(poses: Floats, columns: Sequence[Column], usual: Floats, size_px: int) -> tuple[Map, Map]:
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


def _seen(poses: Floats, points: Map, size_px: int) -> tuple[Map, Map]:
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
