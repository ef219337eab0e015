"""The tooth that a flank looks toward, as a surface that may stand before it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.gearing.wheel_flank import flank_edges, turned

EDGE_POINTS = 33
"""Points of an edge; straight between them to a thousandth of the face width."""


def next_tooth(pair: WormPair, flank: Flank) -> NDArray[np.float64]:
    """Four-sided pieces (n, 4, 3) in mm of the surface of the tooth that the flank looks toward.

    Both flanks of one gap bear the same number, so its near flank is the other one, its rear flank the same one a
    tooth further.
    """
    away = pair.tooth_angle_rad if flank is Flank.LEFT else -pair.tooth_angle_rad
    near = flank_edges(pair, Flank.RIGHT if flank is Flank.LEFT else Flank.LEFT, EDGE_POINTS)
    rear = {name: turned(edge, away) for name, edge in flank_edges(pair, flank, EDGE_POINTS).items()}
    sides = (
        (near["root"], near["tip"]),
        (near["tip"], rear["tip"]),
        (rear["tip"], rear["root"]),
        (near["end_a"], rear["end_a"]),
        (near["end_b"], rear["end_b"]),
    )
    return np.concatenate(
        [np.stack([first[:-1], first[1:], second[1:], second[:-1]], axis=1) for first, second in sides]
    )
