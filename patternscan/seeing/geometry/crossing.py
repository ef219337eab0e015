"""Whether polylines cross each other or themselves, and what a closed one encloses."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Edge = NDArray[np.float64]


def trimmed(edge: Edge) -> Edge:
    """The edge without a thousandth of its first and last piece, so that shared corners do not count as crossing."""
    out = edge.copy()
    out[0] += (edge[1] - edge[0]) * 1e-3
    out[-1] += (edge[-2] - edge[-1]) * 1e-3
    return out


def crosses_itself(edge: Edge) -> bool:
    """Whether a piece of the polyline properly crosses another one that does not follow on it."""
    return bool(np.any(np.triu(crossings(edge, trimmed(edge)), 2)))


def crossings(first: Edge, second: Edge) -> NDArray[np.bool_]:
    """Which piece of one polyline (rows) properly crosses which of the other (columns)."""
    p, r = first[:-1, None, :], np.diff(first, axis=0)[:, None, :]
    q, s = second[None, :-1, :], np.diff(second, axis=0)[None, :, :]
    turn = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    parallel = np.abs(turn) <= 1e-7 * np.linalg.norm(r, axis=2) * np.linalg.norm(s, axis=2)
    turn = np.where(parallel, 1.0, turn)
    gap = q - p
    t = (gap[..., 0] * s[..., 1] - gap[..., 1] * s[..., 0]) / turn
    u = (gap[..., 0] * r[..., 1] - gap[..., 1] * r[..., 0]) / turn
    return np.asarray(~parallel & (t >= 0) & (t <= 1) & (u >= 0) & (u <= 1))


def enclosed(border: Edge, points: Edge) -> NDArray[np.bool_]:
    """Which points (n, 2) a closed border (m, 2) encloses, (n,): the way to the right crosses it an odd number of
    times. Of points on the border itself nothing is said.
    """
    (x, y), (to_x, to_y) = border.T, np.roll(border, -1, axis=0).T
    from_x, from_y = points[:, :1], points[:, 1:]
    passed = (y > from_y) != (to_y > from_y)
    slant = (to_x - x) / np.where(to_y == y, 1.0, to_y - y)
    crossed = passed & (from_x < x + (from_y - y) * slant)
    return np.asarray(np.count_nonzero(crossed, axis=1) % 2 == 1)
