"""Views of the wheel drawn toward the picture's edges, many at once."""

from __future__ import annotations

import numpy as np

from patternscan.seeing import tooth_shape as shape
from patternscan.seeing.edge_pull import edge_pull, yielding
from patternscan.seeing.outline_evidence import Floats, Map
from patternscan.seeing.view_score import (
    AT_ONCE,
    BESIDE_WORTH,
    BORDER,
    BORDER_LINES,
    LINE_STARTS,
    PLACES,
    POINT_WORTHS,
    REAR,
)

CAMERA = (shape.AZIMUTH, shape.ELEVATION, shape.ROLL, shape.NEARNESS, shape.COLUMN, shape.ROW)
SHAPE = tuple(range(shape.RADIUS, shape.SLANT + 1))
PULLED = PLACES[BORDER.start : REAR.stop].astype(np.float32)
"""Places of the view's own tooth that edges pull: its border and the tip edge behind; of those beside, the border."""
OWN, BESIDE = len(PULLED), BORDER.stop - BORDER.start
STARTS = np.concatenate(
    [LINE_STARTS[: BORDER_LINES + 1], *(LINE_STARTS[:BORDER_LINES] + OWN + k * BESIDE for k in (0, 1))]
)
WORTHS = np.concatenate([POINT_WORTHS[:OWN], *[BESIDE_WORTH * POINT_WORTHS[:BESIDE]] * 2])
STEP = 0.1
"""Size of the trial change by which the moves of points are told, as a part of the usual straying."""


def pulled_views(views: Floats, edges: Map, reach_px: float, columns: tuple[int, ...], usual: Floats) -> Floats:
    """Views (n, 12) with the ``columns`` changed so that their teeth come to lie on edges within reach.

    ``usual`` (12,): how far each column usually strays.
    """
    several = range(0, len(views), AT_ONCE)
    parts = [_pulled(views[k : k + AT_ONCE], edges, reach_px, columns, usual[k : k + AT_ONCE]) for k in several]
    return np.concatenate(parts)


def _pulled(views: Floats, edges: Map, reach_px: float, columns: tuple[int, ...], usual: Floats) -> Floats:
    focal = shape.FOCAL_LENGTH * max(edges.shape[:2])
    points = _points(views)
    x, y = _seen(views, points, focal)
    moves_x, moves_y = (np.empty((len(views), len(columns), x.shape[1]), np.float32) for _ in range(2))
    for k, column in enumerate(columns):
        moved = views.copy()
        moved[:, column] += STEP * usual[:, column]
        other = _seen(moved, points if column in CAMERA else _points(moved), focal)
        moves_x[:, k], moves_y[:, k] = (other[0] - x) / STEP, (other[1] - y) / STEP
    pull = edge_pull(edges, x, y, STARTS, reach_px)
    pulled = views.copy()
    pulled[:, columns] += yielding(pull, (moves_x, moves_y), WORTHS) * usual[:, columns]
    return pulled


def _points(views: Floats) -> Map:
    shapes = views[:1] if (views[:, shape.RADIUS :] == views[0, shape.RADIUS :]).all() else views
    return np.asarray(shape.surface_points(shapes.astype(np.float32), PULLED))


def _seen(views: Floats, points: Map, focal_px: float) -> tuple[Map, Map]:
    """Pixels x, y (n, m) of the pulled places of all three teeth."""
    cameras, angle = shape.cameras(views, focal_px), shape.tooth_angle(views)
    own = cameras.see(points)
    beside = [cameras.turned(tooth * angle).see(points[..., :BESIDE]) for tooth in (-1, 1)]
    x, y = (np.concatenate([own[k], beside[0][k], beside[1][k]], axis=1) for k in (0, 1))
    return x, y
