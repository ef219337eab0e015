"""How a picture's edges pull on curves that lie near them, and how numbers behind the curves give way.

Each point of a curve looks along its normal for edges of its own direction; least squares then move all points of a
view together. Source: C. Harris, C. Stennett, RAPID, British Machine Vision Conference 1990 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.outline_search.image_features import Map, along_steps, directed_support, squared_normals

LOOKS = 7
"""Places looked at on each normal."""
DAMPING = 0.02
"""Added to the equations, as a part of their own size; keeps views whose numbers are not told apart."""
MOST = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgePull:
    """Where edges pull points of curves: how far (n, m) along the normal (n, m) each, and how strongly (n, m)."""

    offset: Map
    right: Map
    down: Map
    say: Map


def edge_pull(edges: Map, x: Map, y: Map, starts: NDArray[np.intp], reach_px: float) -> EdgePull:
    """The pull on curves with points x, y (n, m), which begin at ``starts``, from edges within ``reach_px``.

    Each place pulls with the third power of the edge's support there.
    """
    along, down = along_steps(x, y, starts)
    right, lower, normals = -down, along, squared_normals(along, down)
    total = np.full_like(x, 1e-9)
    moment = np.zeros_like(x)
    for offset in np.linspace(-reach_px, reach_px, LOOKS, dtype=np.float32):
        window = np.float32(1 - 0.75 * (offset / reach_px) ** 2)
        seen = directed_support(edges, x + offset * right, y + offset * lower, normals)
        say = seen * seen
        say *= seen
        say *= window
        total += say
        say *= offset
        moment += say
    return EdgePull(np.divide(moment, total, out=moment), right, lower, total / np.float32(LOOKS))


def yielding(pull: EdgePull, moves: tuple[Map, Map], worths: Map) -> Map:
    """Change (n, p) of the numbers behind each view by which its points follow the pull, least squares.

    ``moves``: how x and y change with each number, each (n, p, m), for the change that is usual; no number changes by
    more than twice that. ``worths`` (m,): what each point counts for.
    """
    normal = moves[0] * pull.right[:, None] + moves[1] * pull.down[:, None]
    weighed = normal * (worths * pull.say)[:, None]
    size = weighed @ normal.transpose(0, 2, 1)
    numbers = size.shape[1]
    held = DAMPING * np.trace(size, axis1=1, axis2=2)[:, None, None] / numbers + 1e-9
    towards = weighed @ pull.offset[:, :, None]
    changes = np.linalg.solve(size + held * np.eye(numbers, dtype=np.float32), towards)[..., 0]
    return np.clip(changes, -MOST, MOST)
