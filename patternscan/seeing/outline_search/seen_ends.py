"""Where along a tooth the net stops seeing its flank: an end that leans another way than usual is seen so, though the
places that the net tells go on beyond it.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.frame import End
from patternscan.quantiles import median
from patternscan.seeing.geometry.camera import PhotoSize
from patternscan.seeing.geometry.outline import Edge, Outline, checked_outline, resampled
from patternscan.seeing.outline_search.closer_look import FoundFlank
from patternscan.seeing.outline_search.finder_net import STEP
from patternscan.seeing.outline_search.image_features import looked_up

Numbers = NDArray[np.float64]

UPWARD = np.linspace(0.1, 0.9, 9)
"""Places up an end where it is looked at."""
MOVES = np.linspace(-0.2, 0.1, 61)
"""Where the flank may stop, face widths further out."""
FLANK = 0.5
"""From this share on a flank is more likely seen than all else."""
LEAST_MOVE = 0.03
"""An end that is seen so much further in is moved there, part of the face width: nearer ones lie on the photo's edges.
No end is seen this near to the photo's border. On dev, rims and port nine ends of eight outlines in seven photographs
of six machines are moved, and all eight outlines lie better then: overlap 0.85 to 0.95 before, 0.90 to 0.98 after."""
FURTHEST_IN = 0.15
"""An end further in is hidden or cut off and not seen."""
STRAIGHT, MOST = 0.015, 0.75
"""How near to a straight line an end is seen, part of the face width, and at what part of its places at least."""
OTHER_END = {End.A: ("end_a", "end_b"), End.B: ("end_b", "end_a")}


def with_ends_seen(outline: Outline, looks: Sequence[FoundFlank], size: PhotoSize) -> Outline:
    """An outline in a photo of ``size`` px whose ends are moved in to where all looks together see the flank stop; the
    same where they lie there, or where no end is plainly seen.
    """
    for end in End:
        line = _seen_line(outline, end, looks, size)
        if line is not None:
            outline = _moved_in(outline, end, line)
    return outline


def _seen_line(outline: Outline, end: End, looks: Sequence[FoundFlank], size: PhotoSize) -> Numbers | None:
    """How far further out the flank stops at its root and its tip, (2,), face widths; None where it stops about there
    or where no straight end is seen.
    """
    own, across = _across(outline, end, UPWARD)
    points = own[:, None] + MOVES[:, None] * across[:, None]
    seen = np.mean([_share_at(look, points) for look in looks], axis=0) >= FLANK
    stops = MOVES[np.maximum(np.where(seen.all(axis=1), len(MOVES), seen.argmin(axis=1)) - 1, 0)]
    slope, middle = _straight(UPWARD - 0.5, stops)
    straight = np.abs(stops - middle - slope * (UPWARD - 0.5)) <= STRAIGHT
    line = middle + slope * np.array([-0.5, 0.5])
    there = (own + stops[:, None] * across)[straight]
    inside = np.minimum(there, np.array(size) - 1 - there).min(initial=np.inf) > LEAST_MOVE * outline.width_px
    plain = straight.mean() >= MOST and inside and -FURTHEST_IN < line.min() < -LEAST_MOVE
    return np.minimum(line, 0.0) if plain else None


def _straight(at: Numbers, values: Numbers) -> tuple[float, float]:
    """Slope of the straight line through values (n,) at places (n,), and its value at 0, whatever few of them say.

    Source: the estimator of Theil 1950 and Sen 1968 (from memory).
    """
    first, second = np.triu_indices(len(at), 1)
    slope = median((values[second] - values[first]) / (at[second] - at[first]))
    return slope, median(values - slope * at)


def _across(outline: Outline, end: End, upward: Numbers) -> tuple[Edge, Numbers]:
    """Points (n, 2) of an end at places up it, and the way there from the other end (n, 2)."""
    own, other = (resampled(getattr(outline, name), upward) for name in OTHER_END[end])
    return own, own - other


def _share_at(look: FoundFlank, pixels: Numbers) -> Numbers:
    """How likely pixels (n, m, 2) of the photo show a flank, (n, m)."""
    x, y = np.moveaxis(look.window.in_picture(pixels) / STEP, -1, 0).astype(np.float32)
    return looked_up(look.share, x, y, cv2.INTER_LINEAR).astype(np.float64)


def _moved_in(outline: Outline, end: End, line: Numbers) -> Outline:
    """An outline with one end so many face widths further out at root and tip, root and tip cut off there; the same
    when that makes no flank.
    """
    name = OTHER_END[end][0]
    upward = np.linspace(0, 1, len(getattr(outline, name)))
    own, across = _across(outline, end, upward)
    moved = own + (line[0] + (line[1] - line[0]) * upward)[:, None] * across
    edges = {"end_a": outline.end_a, "end_b": outline.end_b, name: moved}
    for edge, move, corner in (("root", line[0], moved[0]), ("tip", line[1], moved[-1])):
        edges[edge] = _cut(getattr(outline, edge), end, 1 + float(move), corner)
    with suppress(NoTrustworthyOutline, InconsistentInputs):
        return checked_outline(edges, outline.flank, outline.tooth, outline.source, outline.confidence)
    return outline


def _cut(edge: Edge, end: End, left: float, corner: Numbers) -> Edge:
    """The part of an edge that is left at the other end, up to a corner at this one."""
    run = np.linspace(1 - left, 1, len(edge)) if end is End.A else np.linspace(0, left, len(edge))
    cut = resampled(edge, run)
    cut[0 if end is End.A else -1] = corner
    return cut
