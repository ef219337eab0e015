"""A found outline drawn tight by the gear data: the camera is moved until the known teeth meet the picture's edges.

The search for outlines knows teeth only roughly. Here the wheel's true flank, the other side of its tooth and both
neighbours are seen through one camera, and all their edges pull on it together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from patternscan.errors import DoNotBelongTogether, NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.gearing.wheel_flank import flank_points
from patternscan.seeing.camera import NUMBERS, Camera
from patternscan.seeing.edge_fit import FOCAL, FOCAL_SPREAD, EdgeFit, edges_of
from patternscan.seeing.flank_shape import known_shape
from patternscan.seeing.outline import Outline, checked_outline
from patternscan.seeing.outline_evidence import Evidence, edge_support
from patternscan.seeing.pose import DOUBTFUL_MISFIT, Numbers

LINE_POINTS, END_POINTS = 25, 9
TIP, ROOT, END, REAR_TIP, INSIDE, BESIDE = 1.0, 0.8, 0.5, 0.6, -0.2, 0.5
"""What an edge on each line of the tooth is worth; on the smooth flank it speaks against the camera, and lines of the
teeth beside count by half."""
HEIGHTS_INSIDE = (0.2, 0.5, 0.8)
TURN_SPREAD, AIM_SPREAD, DISTANCE_SPREAD, FOCAL_STRAY = 0.06, 0.03, 0.04, 0.15
"""How far the camera may stand from where the outline puts it, one standard deviation: turn (rad), aim (face widths),
logarithms of distance and focal length."""
ROUNDS, CAMERAS, KEPT, WIDE_ROUNDS = 14, 120, 20, 2
SHRINK, SPREAD_AGAIN = 0.64, 1.3
FOCAL_WORTH = 0.003
"""What one standard deviation of an unusual focal length takes from the support."""
LEAST_SUPPORT, HALF_SUPPORT, SUPPORT_STEP, TRUST_BEFORE, DOUBT_BEFORE = 0.4, 0.5, 0.04, 0.65, 5.0
USUAL_TRUST = 2.0
"""How the support changes confidence, set on rendered photographs: with 0.5 or more nearly all outlines overlapped the
true ones by 0.8 or more; with less than the least the picture shows no such tooth there."""


@dataclass(frozen=True, slots=True, eq=False)
class ToothLine:
    """A line on the wheel as points (n, 3) in mm, and what an edge along it is worth."""

    points: Numbers
    worth: float


def refine_outline(outline: Outline, pair: WormPair, evidence: Evidence) -> Outline:
    """The outline drawn onto the picture's edges, with its new confidence; where they support none it stays and is
    not trusted more. Its pixels are those of the ``evidence``.
    """
    rows, cols = evidence.metal.shape
    fit = EdgeFit(outline, known_shape(pair, outline.flank), (cols, rows))
    start = fit.best(DOUBTFUL_MISFIT) if fit.enough else None
    if start is None:
        return outline
    lines = tooth_lines(pair, outline.flank)
    numbers, support = _drawn_tight(start[:NUMBERS], fit, lines, evidence)
    confidence = supported_confidence(outline.confidence, support)
    if support < LEAST_SUPPORT:
        return replace(outline, confidence=min(confidence, outline.confidence))
    camera = Camera.of_numbers(numbers, fit.middle, (cols, rows))
    edges = {name: camera.see(edge) for name, edge in edges_of(fit.shape.stack[:, :, 0]).items()}
    try:
        return checked_outline(edges, outline.flank, outline.tooth, outline.source, confidence)
    except (NoTrustworthyOutline, DoNotBelongTogether):
        return outline


def supported_confidence(confidence: float, support: float) -> float:
    """Chance that a refined outline covers the flank well, from the search's own and the edges' support, 0..1."""
    if not 0 < confidence < 1:
        return confidence
    before = min(max(math.log(confidence / (1 - confidence)), -DOUBT_BEFORE), DOUBT_BEFORE)
    return 1 / (1 + math.exp(-(TRUST_BEFORE * before + USUAL_TRUST + (support - HALF_SUPPORT) / SUPPORT_STEP)))


def tooth_lines(pair: WormPair, flank: Flank) -> list[ToothLine]:
    """Where a tooth of the wheel and its two neighbours show edges, and where it shows none."""
    angle = pair.tooth_angle_rad
    other, turn = (Flank.RIGHT, angle) if flank is Flank.LEFT else (Flank.LEFT, -angle)
    run = np.linspace(0, 1, LINE_POINTS)
    own = _border(pair, flank)
    inside = [flank_points(pair, flank, run, np.full(LINE_POINTS, up)) for up in HEIGHTS_INSIDE]
    rear = _turned(flank_points(pair, other, run, np.ones(LINE_POINTS)), turn)
    return [
        *own,
        ToothLine(rear, REAR_TIP),
        *(ToothLine(points, INSIDE) for points in inside),
        *(ToothLine(_turned(line.points, by), BESIDE * line.worth) for by in (-angle, angle) for line in own),
    ]


def _border(pair: WormPair, flank: Flank) -> list[ToothLine]:
    run, short = np.linspace(0, 1, LINE_POINTS), np.linspace(0, 1, END_POINTS)
    places = (
        (run, np.ones_like(run), TIP),
        (run, np.zeros_like(run), ROOT),
        (np.zeros_like(short), short, END),
        (np.ones_like(short), short, END),
    )
    return [ToothLine(flank_points(pair, flank, along, up), worth) for along, up, worth in places]


def _turned(points: Numbers, angle_rad: float) -> Numbers:
    """Points (n, 3) turned with the wheel about its axis."""
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    turned: Numbers = points @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    return turned


def _drawn_tight(start: Numbers, fit: EdgeFit, lines: list[ToothLine], evidence: Evidence) -> tuple[Numbers, float]:
    """The camera's numbers (7,) near ``start`` that the edges support best, and their support.

    Source: R. Y. Rubinstein, D. P. Kroese, The Cross-Entropy Method, Springer 2004 (from memory).
    """
    chance = np.random.default_rng(0)
    spread = _spread(start, fit)
    elite, middle, scatter = start[None], start, np.diag(spread**2)
    support = np.zeros(1)
    for step in range(ROUNDS):
        stray = chance.multivariate_normal(np.zeros(NUMBERS), scatter, CAMERAS, method="cholesky")
        if step <= WIDE_ROUNDS:
            stray[:, 5] += stray[:, 6]
        cameras = np.vstack([elite, middle + stray])
        support = _support(cameras, fit, lines, evidence)
        best = np.argsort(-support)[:KEPT]
        elite, support = cameras[best], support[best]
        middle = elite.mean(axis=0)
        narrowed = np.cov(elite.T) * SPREAD_AGAIN + np.diag((1e-3 * spread) ** 2)
        scatter = scatter * SHRINK if step < WIDE_ROUNDS else narrowed
    return elite[0], float(support[0])


def _spread(start: Numbers, fit: EdgeFit) -> Numbers:
    """How far the camera's numbers may stray, (7,)."""
    aim = AIM_SPREAD * fit.width_px / (float(np.exp(start[6])) * max(fit.size))
    return np.array([TURN_SPREAD, TURN_SPREAD, TURN_SPREAD, aim, aim, DISTANCE_SPREAD, FOCAL_STRAY])


def _support(cameras: Numbers, fit: EdgeFit, lines: list[ToothLine], evidence: Evidence) -> Numbers:
    """How well the picture's edges support each camera (n, 7), (n,); about 0.55 is a good one."""
    points = np.vstack([line.points for line in lines])
    seen = np.stack([Camera.of_numbers(numbers, fit.middle, fit.size).see(points) for numbers in cameras])
    curves = np.split(seen, np.cumsum([len(line.points) for line in lines])[:-1], axis=1)
    supports = [
        line.worth * edge_support(evidence.edges, curve).mean(axis=1) for line, curve in zip(lines, curves, strict=True)
    ]
    whole = sum(line.worth for line in lines if line.worth > 0)
    unusual = ((cameras[:, 6] - np.log(FOCAL)) / FOCAL_SPREAD) ** 2
    support: Numbers = np.sum(supports, axis=0) / whole - FOCAL_WORTH * unusual
    return support
