"""Views of the wheel drawn toward the picture's edges, many at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patternscan.seeing.outline_search import tooth_shape as shape
from patternscan.seeing.outline_search.edge_pull import edge_pull, yielding
from patternscan.seeing.outline_search.image_features import Evidence, Floats, Map
from patternscan.seeing.outline_search.view_places import BORDER_LINES, THOROUGH
from patternscan.seeing.outline_search.view_score import BESIDE_WORTH, shaped_points

CAMERA = (shape.AZIMUTH, shape.ELEVATION, shape.ROLL, shape.NEARNESS, shape.COLUMN, shape.ROW)
SHAPE = tuple(range(shape.RADIUS, shape.SLANT + 1))
PULLED = THOROUGH.all[THOROUGH.border.start : THOROUGH.rear.stop]
"""Places of the view's own tooth that edges pull: its border and the tip edge behind; of those beside, the border."""
OWN, BESIDE = len(PULLED), THOROUGH.border.stop - THOROUGH.border.start
STARTS = np.concatenate(
    [THOROUGH.starts[: BORDER_LINES + 1], *(THOROUGH.starts[:BORDER_LINES] + OWN + k * BESIDE for k in (0, 1))]
)
WORTHS = np.concatenate([THOROUGH.worths[:OWN], *[BESIDE_WORTH * THOROUGH.worths[:BESIDE]] * 2])
AT_ONCE = 512
"""Views worked on together."""
USUAL_SPREAD = np.array([0.12, 0.1, 0.12, 0.08, 0, 0, 3, 0.4, 0.25, 0.3, 0.06, 0.03])
"""How far a view strays in each column; its pixel strays by a part of the tooth's width."""
PIXEL_SPREAD = 0.06
STEP = 0.1
"""Size of the trial change by which the moves of points are told, as a part of the usual straying."""


def pulled_views(
    views: Floats, evidence: Evidence, reaches: Sequence[float], columns: tuple[int, ...], coarse: bool = False
) -> Floats:
    """Views (n, 12) with the ``columns`` changed so that their teeth come to lie on edges, looked for from ever nearer;
    on blurred edges when ``coarse``.
    """
    several = range(0, len(views), AT_ONCE)
    edges = evidence.coarse if coarse else evidence.edges
    return np.concatenate([_pulled(views[k : k + AT_ONCE], evidence, edges, (reaches, columns)) for k in several])


def _pulled(views: Floats, evidence: Evidence, edges: Map, how: tuple[Sequence[float], tuple[int, ...]]) -> Floats:
    """A few views pulled; how their points move is worked out once, since it changes little."""
    reaches, columns = how
    usual, focal = usual_spread(views, evidence.size_px), shape.FOCAL_LENGTH * evidence.size_px
    moves, pulled = _moves(views, columns, usual, focal), views.copy()
    for reach in reaches:
        x, y = _seen(pulled, _points(pulled), focal)
        pull = edge_pull(edges, x, y, STARTS, reach)
        pulled[:, columns] += yielding(pull, moves, WORTHS) * usual[:, columns]
        pulled = shape.bounded(pulled, evidence.bounds)
    return pulled


def _moves(views: Floats, columns: tuple[int, ...], usual: Floats, focal_px: float) -> tuple[Map, Map]:
    """How x and y of all places change when a column changes by what is usual, each (n, columns, m)."""
    points = _points(views)
    x, y = _seen(views, points, focal_px)
    right, down = (p - views[:, k, None].astype(np.float32) for p, k in ((x, shape.COLUMN), (y, shape.ROW)))
    moves_x, moves_y = (np.zeros((len(views), len(columns), x.shape[1]), np.float32) for _ in range(2))
    for k, column in enumerate(columns):
        step = usual[:, column, None].astype(np.float32)
        if column == shape.COLUMN:
            moves_x[:, k] = step
        elif column == shape.ROW:
            moves_y[:, k] = step
        elif column == shape.ROLL:
            moves_x[:, k], moves_y[:, k] = -down * step, right * step
        else:
            moved = views.copy()
            moved[:, column] += STEP * usual[:, column]
            other = _seen(moved, points if column in CAMERA else _points(moved), focal_px)
            moves_x[:, k], moves_y[:, k] = (other[0] - x) / STEP, (other[1] - y) / STEP
    return moves_x, moves_y


def usual_spread(views: Floats, size_px: int) -> Floats:
    """How far each column of each view (n, 12) usually strays, (n, 12), in a picture with that long side."""
    spread = np.tile(USUAL_SPREAD, (len(views), 1))
    width_px = shape.FOCAL_LENGTH * size_px * views[:, shape.WIDTH] / np.exp(views[:, shape.NEARNESS])
    spread[:, [shape.COLUMN, shape.ROW]] = PIXEL_SPREAD * width_px[:, None]
    return spread


def _points(views: Floats) -> Map:
    return shaped_points(views, PULLED)


def _seen(views: Floats, points: Map, focal_px: float) -> tuple[Map, Map]:
    """Pixels x, y (n, m) of the pulled places of all three teeth."""
    cameras, angle = shape.cameras(views, focal_px), shape.tooth_angle(views)
    own = cameras.see(points)
    beside = [cameras.turned(tooth * angle).see(points[..., :BESIDE]) for tooth in (-1, 1)]
    x, y = (np.concatenate([own[k], beside[0][k], beside[1][k]], axis=1) for k in (0, 1))
    return x, y
