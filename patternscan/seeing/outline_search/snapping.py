"""A roughly clicked outline snapped onto the edges of the picture, when a person asks for it or marked little more than
the corners.

Tip and ends are sharp edges and are looked for square to themselves. The root runs out in a round fillet and shows no
edge of its own: it follows from the flank's shape, known or usual, and from the person's points. An edge of two points
says where it begins and ends, not that it runs straight.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.gearing.pair import Rim, WormPair
from patternscan.seeing.geometry.camera import Lens, lens_of
from patternscan.seeing.geometry.edge_fit import EdgeFit
from patternscan.seeing.geometry.flank_shape import FlankShape, known_shape, usual_shape_with
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, checked_outline, resampled
from patternscan.seeing.image.lab import lab
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.shrinking import shrunk_to
from patternscan.seeing.outline_search.image_features import Map, edge_map, edge_support

Numbers = NDArray[np.float64]

WIDTH_PX, MARGIN = 400, 0.35
"""The flank's width in the picture that edges are looked for in, and what is seen beside it, in face widths."""
BLUR_PX, USUAL_WITHIN = 1.0, 0.15
"""Grain is smoothed out over the first, in that picture; edges are weighed against what is usual within the second, in
face widths."""
POINTS = {"tip": 41, "end_a": 15, "end_b": 15}
"""How many points of each sharp edge are snapped."""
REACHES = (0.03, 0.012, 0.006)
"""How far edges are looked for, in face widths, round after round: a rough click is up to the first of them off."""
PIECE = 4
"""Points of the tip that tell its direction at a corner."""
STEPS, NEAR = 12, 4
"""Places looked at each side of an edge, and each side of its straight best move."""
FARNESS = 0.1
"""What the furthest move takes from the support, so that of two like edges the nearer is taken."""
CLEAR = 0.12
"""An edge is clear when its support rises so far above that of its surroundings; see tests/seeing."""
ROUGHEST, FURTHEST = 0.03, 0.06
"""Of clicks within 0.03 of the face width, a flank's shape lies this near to the outline on the whole, and the snapped
outline this near to each point."""


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """The edges in a part of the photo, smaller by ``scale`` (2,), its corner at the photo's pixel ``low`` (2,).

    ``edges``: see ``edge_map``.
    """

    edges: Map
    low: Numbers
    scale: Numbers

    def support(self, curves: Numbers) -> Numbers:
        """How well curves (n, m, 2) in photo pixels lie on edges that run their way, (n, m), 0..1."""
        x, y = np.moveaxis(((curves - self.low + 0.5) * self.scale - 0.5).astype(np.float32), -1, 0)
        return edge_support(self.edges, x, y, np.array([0]), cv2.INTER_LINEAR).astype(np.float64)


def snap_outline(photo: Photo, given: Outline, pair: WormPair | None) -> tuple[Outline, Caution]:
    """The given outline snapped onto the photo's edges, marked as pulled; where no clear edges are near, the given
    one, or with few points the flank's shape between them. The caution says which, and how far it was moved at most.
    """
    around, bent = look_round(photo, given), None
    known = [] if pair is None else [known_shape(pair, given.flank)]
    for shapes in (known, [usual_shape_with(given.flank, rim) for rim in Rim]):
        fits = [fit for shape in shapes if (fit := _rough_fit(given, shape, lens_of(photo)))]
        drawn = [snapped for fit in fits if (snapped := _snapped(given, *fit, around))]
        if drawn:
            snapped = max(drawn, key=lambda one: _tip_support(one, around))
            return snapped, caution("outline-fitted", share=farthest_move(given, snapped))
        bent = bent or next((outline for fit in fits if (outline := _as_outline(*fit, given))), None)
    if bent is None or not given.corners_only:
        return given, caution("outline-not-fitted")
    return bent, caution("outline-bent")


def drawn_tight(photo: Photo, given: Outline, shape: FlankShape, numbers: Numbers | None = None) -> Outline | None:
    """An outline snapped onto the photo's edges by one shape; None when it has not that shape or no edges are near.

    ``numbers``: where it is the shape as a camera is known to see it, those of that camera (see ``CameraFit``).
    """
    fit = _rough_fit(given, shape, lens_of(photo)) if numbers is None else (_fit(given, shape, lens_of(photo)), numbers)
    return _snapped(given, *fit, look_round(photo, given)) if fit else None


def farthest_move(given: Outline, snapped: Outline) -> float:
    """Largest distance of a point of the given outline from the same edge of the other, as a part of the face width."""
    fine = np.linspace(0, 1, 401)
    edges = ((getattr(given, name), resampled(getattr(snapped, name), fine)) for name in EDGE_NAMES)
    gaps = [np.linalg.norm(points[:, None] - edge, axis=2).min(axis=1).max() for points, edge in edges]
    return float(max(gaps)) / given.width_px


def look_round(photo: Photo, outline: Outline) -> Surroundings:
    """The edges in the photo on and round an outlined flank."""
    border, margin = outline.border, MARGIN * outline.width_px
    last = np.array(photo.held_px)
    low = np.clip(np.floor(border.min(axis=0) - margin).astype(int), 0, last - 2)
    high = np.clip(np.ceil(border.max(axis=0) + margin).astype(int), low + 2, last)
    part = photo.pixels[low[1] : high[1], low[0] : high[0]]
    size = np.maximum(np.rint((high - low) * min(1.0, WIDTH_PX / outline.width_px)), 2).astype(int)
    small = shrunk_to(part, (int(size[0]), int(size[1])))
    edges = edge_map(lab(small), BLUR_PX, BLUR_PX, USUAL_WITHIN * WIDTH_PX)
    return Surroundings(edges, low, size / (high - low))


def _tip_support(outline: Outline, around: Surroundings) -> float:
    """How well the tip lies on the photo's edges: its bow tells a throated rim from a straight one."""
    tip = resampled(outline.tip, np.linspace(0, 1, POINTS["tip"]))
    return float(around.support(tip[None])[0, 1:-1].mean())


def _rough_fit(given: Outline, shape: FlankShape, lens: Lens) -> tuple[EdgeFit, Numbers] | None:
    """The flank of this shape that lies nearest to the outline; None when none lies near."""
    fit = _fit(given, shape, lens)
    numbers = fit.best(ROUGHEST / 2) if fit.enough else None
    return None if numbers is None or fit.quality(numbers).rms > ROUGHEST else (fit, numbers)


def _fit(given: Outline, shape: FlankShape, lens: Lens) -> EdgeFit:
    """The search for the camera that sees a shape in the outline, which the photo's edges then move."""
    return EdgeFit(replace(given, pulled=True), shape, lens)


def _snapped(given: Outline, fit: EdgeFit, numbers: Numbers, around: Surroundings) -> Outline | None:
    """The outline of the fitted flank once its tip and ends lie on edges; None when nothing speaks for it."""
    clear = _clear_edges(_sharp_edges(fit, numbers), given.width_px, around)
    if not ("tip" in clear and len(clear) > 1):
        return None
    for reach in REACHES:
        edges = _sharp_edges(fit, numbers)
        for name in clear:
            edges[name] = snapped_edge(edges[name], reach * given.width_px, around)
        for name in POINTS.keys() - clear:
            if len(marked := getattr(given, name)) > 2:
                edges[name] = resampled(marked, np.linspace(0, 1, POINTS[name]))
        fit = EdgeFit(_joined(edges, given), fit.shape, fit.lens)
        numbers = fit.settle(numbers)
    return _as_outline(fit, numbers, given)


def _as_outline(fit: EdgeFit, numbers: Numbers, given: Outline) -> Outline | None:
    """The outline of the fitted flank; None when it is none or lies too far from the given one."""
    edges = fit.edges_seen(numbers)
    try:
        snapped = checked_outline(edges, given.flank, given.tooth, given.source, given.confidence)
    except (NoTrustworthyOutline, InconsistentInputs):
        return None
    return replace(snapped, pulled=True) if farthest_move(given, snapped) <= FURTHEST else None


def _sharp_edges(fit: EdgeFit, numbers: Numbers) -> dict[str, Edge]:
    """Tip and ends of the fitted flank as the camera sees them, evenly divided."""
    edges = fit.edges_seen(numbers)
    return {name: resampled(edges[name], np.linspace(0, 1, count)) for name, count in POINTS.items()}


def _clear_edges(edges: dict[str, Edge], width_px: float, around: Surroundings) -> set[str]:
    """Names of the edges that the picture shows clearly, no further off than a rough click."""
    return {name for name, edge in edges.items() if clearness(edge, REACHES[0] * width_px, around) >= CLEAR}


def clearness(edge: Edge, reach_px: float, around: Surroundings) -> float:
    """How far the support of the best place within reach rises above that of all places there."""
    support, _, _ = _looked_beside(edge, reach_px, around)
    return _best_line(support)[1] - float(support.mean())


def snapped_edge(edge: Edge, reach_px: float, around: Surroundings) -> Edge:
    """Points (n, 2) of an edge moved square to it onto the picture's edge.

    Both ends of the edge are moved together, each by up to ``reach_px``, to where the picture's edges support the
    whole best; then each point alone a little.
    """
    support, moves, square = _looked_beside(edge, reach_px, around)
    near = _best_line(support)[0] + np.arange(-NEAR, NEAR + 1)[:, None]
    there = np.take_along_axis(support, near, axis=0)
    weight = (there - there.min(axis=0) + 1e-3) ** 4
    offset: Numbers = (weight * moves[near]).sum(axis=0) / weight.sum(axis=0)
    snapped: Edge = edge + offset[:, None] * square
    return snapped


def _looked_beside(edge: Edge, reach_px: float, around: Surroundings) -> tuple[Numbers, Numbers, Numbers]:
    """Support (m, n) of an edge's n points moved square to it, the moves (m,) in px, the way square to it (n, 2)."""
    step = np.gradient(edge, axis=0)
    length = np.maximum(np.linalg.norm(step, axis=1, keepdims=True), 1e-9)
    square = np.asarray(np.stack([-step[:, 1], step[:, 0]], axis=1) / length, dtype=np.float64)
    moves = np.arange(-STEPS - NEAR, STEPS + NEAR + 1, dtype=np.float64) * reach_px / STEPS
    return around.support(edge + moves[:, None, None] * square), moves, square


def _best_line(support: Numbers) -> tuple[NDArray[np.intp], float]:
    """Row of each column of ``support`` (2 * (STEPS + NEAR) + 1, n) along the straight line that is supported best, and
    its mean support without the corners.
    """
    count = support.shape[1]
    share = np.linspace(0, 1, count)
    first, last = (grid.ravel() for grid in np.meshgrid(*2 * [np.arange(-STEPS, STEPS + 1)]))
    rows = np.rint(first[:, None] * (1 - share) + last[:, None] * share).astype(np.intp) + STEPS + NEAR
    heights = support[rows, np.arange(count)][:, 1:-1].mean(axis=1)
    best = int((heights - FARNESS * (first**2 + last**2) / (2 * STEPS**2)).argmax())
    return rows[best], float(heights[best])


def _joined(edges: dict[str, Edge], given: Outline) -> Outline:
    """An outline of snapped edges: the ends go on to meet the tip, and the given root's corners move onto them."""
    tip, ends = edges["tip"][1:-1], {}
    for name, corner, beside in (("end_a", 0, tip[:PIECE]), ("end_b", -1, tip[-PIECE:])):
        middle, way = _straight(edges[name][1:-1])
        foot = middle + (given.root[corner] - middle) @ way * way
        ends[name] = np.vstack([foot, edges[name][1:-1], _meeting((middle, way), _straight(beside))])
    root = np.vstack([ends["end_a"][0], given.root[1:-1], ends["end_b"][0]])
    tip = np.vstack([ends["end_a"][-1], tip, ends["end_b"][-1]])
    return replace(given, root=root, tip=tip, end_a=ends["end_a"], end_b=ends["end_b"], pulled=True)


def _straight(points: Edge) -> tuple[Numbers, Numbers]:
    """Middle (2,) and direction (2,) of the straight line nearest to points (n, 2)."""
    middle = points.mean(axis=0)
    return middle, np.linalg.svd(points - middle)[2][0]


def _meeting(first: tuple[Numbers, Numbers], second: tuple[Numbers, Numbers]) -> Numbers:
    """Where two straight lines meet, (2,)."""
    ways = np.stack([first[1], -second[1]], axis=1)
    point: Numbers = first[0] + np.linalg.lstsq(ways, second[0] - first[0], rcond=None)[0][0] * first[1]
    return point
