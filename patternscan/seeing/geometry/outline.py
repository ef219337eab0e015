"""The four edges of one flank in a picture, checked.

Picture directions (up, down, left, right) end here: above this module a place on a flank is ``along``
and ``up``. Pixels are those of the upright photo, x right, y down, the centre of the first pixel is (0, 0).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations, product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.frame import Flank, Lift
from patternscan.handles import Handle, named
from patternscan.seeing.geometry.crossing import crosses_itself, crossings, trimmed

Edge = NDArray[np.float64]
"""One edge as points (n, 2), columns x and y in pixels, n >= 2."""

EDGE_NAMES = ("root", "tip", "end_a", "end_b")
SPOKEN = {"root": "root edge", "tip": "tip edge", "end_a": "edge at end A", "end_b": "edge at end B"}
CORNER_TOLERANCE_PX = 2.0
"""Neighbouring edges share their corner within this, as the outline file allows."""
FEW_POINTS = 5
"""Root and tip edges are bent, and fewer points do not tell how."""
SMALLEST_SIDE_PX = 8.0
"""On a smaller flank a pixel is an eighth of its height, too coarse to tell a place."""


class PictureSide(StrEnum):
    """A direction in the upright picture."""

    UP = "up"
    DOWN = "down"
    LEFT = "left"
    RIGHT = "right"

    @property
    def vector(self) -> tuple[float, float]:
        """The direction as a unit step (x right, y down)."""
        return {"up": (0.0, -1.0), "down": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}[self.value]


class OutlineSource(StrEnum):
    """Whether a person gave the outline, the tool found it, or a person then moved its points."""

    GIVEN = "given"
    FOUND = "found"
    CORRECTED = "corrected"


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """Four edge polylines that share corners: root and tip run from end A to end B, the ends from root to tip.

    ``pulled``: whether its points were then moved onto the photo's edges. ``lift``: of a print off the flank, drawn
    round with a frame; None of the flank itself. Build it with ``checked_outline`` or ``checked_frame``, which refuse
    edges that do not make a flank.
    """

    flank: Flank
    tooth: str
    root: Edge
    tip: Edge
    end_a: Edge
    end_b: Edge
    source: OutlineSource = OutlineSource.GIVEN
    confidence: float = 1.0
    pulled: bool = False
    lift: Lift | None = None

    def __post_init__(self) -> None:
        for name in EDGE_NAMES:
            getattr(self, name).flags.writeable = False

    @property
    def border(self) -> Edge:
        """The closed border root_A, root_B, tip_B, tip_A without the repeated last corner, (n, 2)."""
        return np.vstack([self.root, self.end_b[1:], self.tip[::-1][1:], self.end_a[::-1][1:-1]])

    @property
    def by_hand(self) -> bool:
        """Whether the points lie where a person put them."""
        return self.source is not OutlineSource.FOUND and not self.pulled

    @property
    def corners_only(self) -> bool:
        """Whether a person marked little more than the corners, so that the edges between are still to be found."""
        return self.lift is None and self.by_hand and self.few_points

    @property
    def few_points(self) -> bool:
        """Whether root and tip have too few points to tell how they are bent."""
        return min(len(self.root), len(self.tip)) < FEW_POINTS

    @property
    def width_px(self) -> float:
        """Mean length of the root and tip edge in the picture."""
        return (edge_length(self.root) + edge_length(self.tip)) / 2

    @property
    def height_px(self) -> float:
        """Mean length of the two end edges in the picture."""
        return (edge_length(self.end_a) + edge_length(self.end_b)) / 2

    def enlarged(self, times: float) -> Outline:
        """The same in a picture so many times as wide and high."""
        edges = {name: (getattr(self, name) + 0.5) * times - 0.5 for name in EDGE_NAMES}
        return self if times == 1 else replace(self, **edges)

    def moved(self, step_px: tuple[int, int]) -> Outline:
        """The same in a picture whose top left pixel lies so many columns and rows further out."""
        return replace(self, **{name: getattr(self, name) + np.array(step_px) for name in EDGE_NAMES})

    @property
    def half_turned(self) -> Outline:
        """The same border with root and tip, and end A and end B, changed over: it runs round as before."""
        root, tip, end_a, end_b = (edge[::-1] for edge in (self.tip, self.root, self.end_b, self.end_a))
        return replace(self, root=root, tip=tip, end_a=end_a, end_b=end_b)

    @property
    def tip_side(self) -> PictureSide:
        """Where the tip points in the picture, by the nearest of the four sides."""
        step = self.tip.mean(axis=0) - self.root.mean(axis=0)
        return max(PictureSide, key=lambda side: float(step @ side.vector))

    @property
    def end_a_eighth(self) -> int:
        """Where end A lies in the upright picture, seen from end B: eighths of a turn, 0 to the right and 2 below."""
        x, y = self.end_a.mean(axis=0) - self.end_b.mean(axis=0)
        return round(float(np.arctan2(y, x)) / (np.pi / 4)) % 8

    @property
    def area_px(self) -> float:
        """Area inside the border in square pixels."""
        return abs(signed_area(self.border))


def edge_length(edge: Edge) -> float:
    """Length of a polyline in pixels."""
    return float(np.linalg.norm(np.diff(edge, axis=0), axis=1).sum())


def signed_area(border: Edge) -> float:
    """Shoelace area of a closed border (n, 2) in square pixels; positive when it runs anticlockwise as seen."""
    x, y = border[:, 0], border[:, 1]
    return float(np.sum(np.roll(x, -1) * y - x * np.roll(y, -1)) / 2)


def flank_shown(tip: PictureSide, end_a: PictureSide, mirrored: bool = False) -> Flank:
    """Which flank a picture shows when the tip points to ``tip`` and end A is seen at ``end_a``.

    With the tip up the right flank shows end A on the left (ISO 1122-1), and on the right in a mirror.
    Raises InconsistentInputs when both directions lie on one line.
    """
    (tx, ty), (ax, ay) = tip.vector, end_a.vector
    turn = tx * ay - ty * ax
    if turn == 0:
        raise InconsistentInputs(
            f"End A cannot be seen {end_a.value} when the tip points {tip.value}.",
            f"Say {named(Handle.TIP)} where the tip points, and on which side of it the letter A is seen.",
        )
    return Flank.RIGHT if (turn < 0) is not mirrored else Flank.LEFT


def checked_outline(
    edges: dict[str, Any],
    flank: Flank,
    tooth: str = "1",
    source: OutlineSource = OutlineSource.GIVEN,
    confidence: float = 1.0,
) -> Outline:
    """An outline from four edges (sequences of [x, y]), or the reason why they are no flank.

    Corners within 2 px are joined at their mean. Raises NoTrustworthyOutline for edges that are missing,
    too short, not finite, do not share corners, cross, or enclose too little; InconsistentInputs when their
    sense of rotation contradicts the flank.
    """
    outline = Outline(flank, tooth, *_joined(edges), source=source, confidence=confidence)
    _refuse_no_flank(outline)
    if (seen := _seen_flank(outline)) is not flank:
        raise InconsistentInputs(
            f"The outline runs the way of a {seen.value} flank, but the flank is declared {flank.value}.",
            "Either the photo is mirrored (take it again without the selfie camera), or end A and end B are "
            "swapped (look for the painted A and mark again), or the wrong flank was named.",
        )
    return outline


def checked_frame(edges: dict[str, Any], flank: Flank, lift: Lift, tooth: str = "1") -> Outline:
    """The frame that a person drew round a flank's print on tape or paper; raises as ``checked_outline`` does.

    Seen on the side that touched the tooth its edges go round the other way.
    """
    outline = Outline(flank, tooth, *_joined(edges), lift=lift)
    _refuse_no_flank(outline)
    seen = _seen_flank(outline)
    if (seen is not flank) is not lift.mirrored:
        raise InconsistentInputs(
            f"The frame runs the way of a {flank.other.value} flank, but the flank is declared {flank.value}.",
            "Either the picture shows the other side of the tape or paper than was said, or end A and end B are "
            "swapped (look for the A that was written on it), or the wrong flank was named.",
        )
    return outline


def _joined(edges: dict[str, Any]) -> tuple[Edge, Edge, Edge, Edge]:
    """Root, tip, end A and end B as points that meet."""
    arrays = {name: _edge(edges.get(name), name) for name in EDGE_NAMES}
    _join_corners(arrays)
    root, tip, end_a, end_b = (arrays[name] for name in EDGE_NAMES)
    return root, tip, end_a, end_b


def _refuse_no_flank(outline: Outline) -> None:
    _refuse_tiny(outline)
    _refuse_crossing(outline)


def _seen_flank(outline: Outline) -> Flank:
    """The flank as which a camera would see edges that go round this way."""
    return Flank.RIGHT if signed_area(outline.border) > 0 else Flank.LEFT


def _edge(points: Any, name: str) -> Edge:
    remedy = "Give each edge as two points or more, each [x, y] in pixels."
    try:
        edge = np.array(points, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise NoTrustworthyOutline(f"The {SPOKEN[name]} of the outline is not a list of points.", remedy) from error
    if edge.ndim != 2 or edge.shape[0] < 2 or edge.shape[1] != 2:
        raise NoTrustworthyOutline(f"The {SPOKEN[name]} of the outline is missing or not a list of points.", remedy)
    if not np.isfinite(edge).all() or np.abs(edge).max() > 1e6:
        raise NoTrustworthyOutline(f"The {SPOKEN[name]} of the outline holds a number that is no pixel.", remedy)
    keep = np.r_[True, np.linalg.norm(np.diff(edge, axis=0), axis=1) > 1e-9]
    if keep.sum() < 2:
        raise NoTrustworthyOutline(f"The {SPOKEN[name]} of the outline is a single point.", remedy)
    return edge[keep]


def _join_corners(edges: dict[str, Edge]) -> None:
    """Bring shared corners to their mean, in place."""
    for (side, place_on_end), (end, place_on_side) in product(
        (("root", 0), ("tip", -1)), (("end_a", 0), ("end_b", -1))
    ):
        first, second = edges[side][place_on_side], edges[end][place_on_end]
        gap = float(np.linalg.norm(first - second))
        if gap > CORNER_TOLERANCE_PX:
            raise NoTrustworthyOutline(
                f"The {SPOKEN[side]} and the {SPOKEN[end]} do not meet: {gap:.1f} px lie between them.",
                "Let both edges share the corner. Root and tip run from end A to end B, the ends from root to tip.",
            )
        middle = (first + second) / 2
        edges[side][place_on_side] = middle
        edges[end][place_on_end] = middle


def _refuse_tiny(outline: Outline) -> None:
    shortest = min(edge_length(getattr(outline, name)) for name in EDGE_NAMES)
    mean_height = outline.area_px / max(outline.width_px, 1e-9)
    if shortest < SMALLEST_SIDE_PX or mean_height < SMALLEST_SIDE_PX:
        raise NoTrustworthyOutline(
            f"The outlined flank is tiny: its shortest side is {min(shortest, mean_height):.0f} px.",
            "Go closer with the camera so that one tooth fills the picture, then outline again.",
        )


def _refuse_crossing(outline: Outline) -> None:
    for first, second in combinations(EDGE_NAMES, 2):
        if crossings(trimmed(getattr(outline, first)), trimmed(getattr(outline, second))).any():
            raise NoTrustworthyOutline(
                f"The {SPOKEN[first]} and the {SPOKEN[second]} of the outline cross.",
                "Drag the points so that the four edges go once round the flank.",
            )
    for name in EDGE_NAMES:
        if crosses_itself(getattr(outline, name)):
            raise NoTrustworthyOutline(
                f"The {SPOKEN[name]} of the outline crosses itself.",
                "Give its points in order, from one corner to the other.",
            )


def resampled(edge: Edge, fractions: Sequence[float] | NDArray[np.float64]) -> Edge:
    """Points of a polyline at the given fractions of its length, (n, 2); (n, 3) for a polyline in space."""
    steps = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(edge, axis=0), axis=1))]
    at = np.asarray(fractions, dtype=np.float64) * steps[-1]
    return np.stack([np.interp(at, steps, column) for column in edge.T], axis=1)
