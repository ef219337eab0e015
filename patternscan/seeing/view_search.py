"""The search for the view of a wheel that meets a picture best.

Many views are drawn at random about the places that look like compound; the good ones are pulled onto the picture's
edges, changed a little, the better kept, and at last drawn tight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patternscan.seeing import tooth_shape as shape
from patternscan.seeing.outline_evidence import Evidence, Floats, Map
from patternscan.seeing.view_pull import CAMERA, SHAPE, pulled_views
from patternscan.seeing.view_score import score_views


@dataclass(frozen=True, slots=True)
class Effort:
    """How much is tried: ``first`` random views, of them ``pulled`` toward edges, ``tight`` onto edges; then in each
    generation how many views live on and how far their children stray; of the best ``starts`` clearly different
    views are drawn tight in ``rounds`` of ``tries``.
    """

    first: int
    pulled: int
    tight: int
    generations: tuple[tuple[int, float], ...]
    starts: int
    rounds: int
    tries: int


ANY_GEAR = Effort(12000, 500, 150, ((100, 0.6), (60, 0.4)), 3, 8, 110)
KNOWN_GEAR = Effort(10000, 400, 80, (), 4, 4, 60)
COARSE_REACHES, FINE_REACHES, LAST_REACHES = (16.0, 12.0, 8.0), (6.0, 4.0, 3.0), (5.0, 4.0, 3.0)
CHILDREN = 5
USUAL_SPREAD = np.array([0.12, 0.1, 0.12, 0.08, 0, 0, 3, 0.4, 0.25, 0.3, 0.06, 0.03])
"""How far a child strays in each column of a view; its pixel strays by a part of the tooth's width."""
PIXEL_SPREAD = 0.06
BOUNDED = [k for k in range(12) if k not in (shape.NEARNESS, shape.COLUMN, shape.ROW)]
NARROWEST, WIDEST = 0.18, 0.70
"""Face width in the picture over its long side."""
MOST_DIFFERENT = 5
SAME_VIEW = 0.04
"""Views whose borders lie nearer than this part of the picture are the same."""


def focal_px(evidence: Evidence) -> float:
    """Focal length with which views of a picture are seen."""
    return shape.FOCAL_LENGTH * evidence.size_px


def best_view(evidence: Evidence, chance: np.random.Generator) -> tuple[Floats, float]:
    """The view (12,) that meets the picture best, and its score."""
    effort = _effort(evidence)
    views = _drawn(evidence, chance, effort.first)
    views = _best(views, score_views(views, evidence, thorough=False), effort.pulled)
    views = _drawn_to_edges(views, evidence, evidence.coarse, COARSE_REACHES)
    views = _best(views, score_views(views, evidence, thorough=True), effort.tight)
    views = _drawn_to_edges(views, evidence, evidence.edges, FINE_REACHES)
    scores = score_views(views, evidence, thorough=True)
    if not _known(evidence):
        shaped = _drawn_to_edges(views, evidence, evidence.edges, LAST_REACHES, CAMERA + SHAPE)
        views, scores = _better(views, scores, shaped, evidence)
    for survivors, stray in effort.generations:
        best = np.argsort(-scores)[:survivors]
        views, scores = _next_generation(views[best], scores[best], evidence, chance, stray)
    order = np.argsort(-scores)
    starts = _different(views[order], evidence)[: effort.starts]
    return max((tightened(start, evidence, chance) for start in starts), key=lambda pair: pair[1])


def _best(views: Floats, scores: Floats, count: int) -> Floats:
    return views[np.argsort(-scores)[:count]]


def _drawn_to_edges(
    views: Floats, evidence: Evidence, edges: Map, reaches: Sequence[float], columns: tuple[int, ...] = CAMERA
) -> Floats:
    """Views (n, 12) pulled by the edges, from ever nearer."""
    for reach in reaches:
        views = _bounded(pulled_views(views, edges, reach, columns, _spread(views, evidence)), evidence)
    return views


def _better(views: Floats, scores: Floats, others: Floats, evidence: Evidence) -> tuple[Floats, Floats]:
    """Of each view (n, 12) and its other form the one with the higher score, and the scores."""
    reached = score_views(others, evidence, thorough=True)
    better = reached > scores
    return np.where(better[:, None], others, views), np.where(better, reached, scores)


def _known(evidence: Evidence) -> bool:
    """Whether the gear is known, so that only the camera is sought."""
    return bool((evidence.bounds[0, shape.RADIUS :] == evidence.bounds[1, shape.RADIUS :]).all())


def _effort(evidence: Evidence) -> Effort:
    return KNOWN_GEAR if _known(evidence) else ANY_GEAR


def _drawn(evidence: Evidence, chance: np.random.Generator, count: int) -> Floats:
    """Random views (count, 12) of usual wheels, each with some place of the flank on a pixel like compound."""
    views = chance.uniform(evidence.bounds[0], evidence.bounds[1], (count, 12))
    views[:, shape.ELEVATION] = chance.normal(0.9, 0.17, count)
    views[:, shape.ROLL] = 0.6 * views[:, shape.AZIMUTH] + chance.normal(0.1, 0.3, count)
    views[:, shape.WIDTH] = 4.5 + 0.47 * views[:, shape.WORM_RADIUS] + chance.normal(0, 0.35, count)
    views[:, shape.RIM] = chance.normal(0.45, 0.15, count)
    views[:, shape.SLANT] = chance.normal(0.36, 0.05, count)
    part = np.exp(chance.uniform(np.log(NARROWEST), np.log(WIDEST), count))
    views[:, shape.NEARNESS] = np.log(shape.FOCAL_LENGTH * views[:, shape.WIDTH] / part)
    views = _bounded(views, evidence)
    views[:, [shape.COLUMN, shape.ROW]] = _likely_pixels(evidence, chance, count)
    places = shape.flank_patch(0, 5, 7)
    for k, place in enumerate(places):
        some = views[k :: len(places)]
        pixels = some[:, [shape.COLUMN, shape.ROW]]
        some[:, [shape.COLUMN, shape.ROW]] += pixels - shape.seen_points(some, place[None], focal_px(evidence))[:, 0]
    return views


def _likely_pixels(evidence: Evidence, chance: np.random.Generator, count: int) -> Floats:
    """Pixels (count, 2) drawn where compound is likely, a few anywhere on the wheel."""
    weight = evidence.compound + 0.03 * evidence.compound.mean() * evidence.metal + 1e-6
    heaped = np.cumsum(weight.ravel(), dtype=np.float64)
    at = chance.permutation(
        np.searchsorted(heaped, np.sort(chance.random(count)) * heaped[-1]).clip(0, weight.size - 1)
    )
    return np.stack([at % weight.shape[1], at // weight.shape[1]], axis=1).astype(np.float64)


def _bounded(views: Floats, evidence: Evidence) -> Floats:
    bounded = views.copy()
    bounded[:, BOUNDED] = np.clip(views, *evidence.bounds)[:, BOUNDED]
    return bounded


def _spread(views: Floats, evidence: Evidence) -> Floats:
    """Usual straying (n, 12) of each view."""
    spread = np.tile(USUAL_SPREAD, (len(views), 1))
    width_px = focal_px(evidence) * views[:, shape.WIDTH] / np.exp(views[:, shape.NEARNESS])
    spread[:, [shape.COLUMN, shape.ROW]] = PIXEL_SPREAD * width_px[:, None]
    return spread


def _next_generation(
    views: Floats, scores: Floats, evidence: Evidence, chance: np.random.Generator, stray: float
) -> tuple[Floats, Floats]:
    """Each view or the best of its children, and the scores."""
    parents = np.repeat(views, CHILDREN, axis=0)
    step = chance.normal(0, stray, parents.shape) * (chance.random(parents.shape) < 0.6)
    children = _bounded(parents + step * _spread(parents, evidence), evidence)
    reached = score_views(children, evidence, thorough=True).reshape(-1, CHILDREN)
    best = reached.argmax(axis=1)
    row = np.arange(len(views))
    better = reached[row, best] > scores
    children = children.reshape(-1, CHILDREN, 12)[row, best]
    return np.where(better[:, None], children, views), np.where(better, reached[row, best], scores)


def _different(views: Floats, evidence: Evidence) -> list[Floats]:
    """The first few views (12,) that show clearly different outlines."""
    borders = shape.seen_points(views, shape.flank_patch(0, 2, 4), focal_px(evidence))
    chosen: list[int] = []
    for k, border in enumerate(borders):
        apart = (np.abs(border - borders[c]).mean() > SAME_VIEW * evidence.size_px for c in chosen)
        if len(chosen) < MOST_DIFFERENT and all(apart):
            chosen.append(k)
    return [views[k] for k in chosen]


def tightened(start: Floats, evidence: Evidence, chance: np.random.Generator) -> tuple[Floats, float]:
    """The view drawn tight by the cross-entropy method, and its score.

    Source: R. Y. Rubinstein, D. P. Kroese, The Cross-Entropy Method, Springer 2004 (from memory).
    """
    elite, scores = start[None], np.zeros(1)
    spread = 0.5 * _spread(elite, evidence)[0]
    effort = _effort(evidence)
    for step in range(effort.rounds):
        near = elite.mean(axis=0) + chance.normal(0, 1, (effort.tries, 12)) * spread
        views = np.vstack([elite, _bounded(near, evidence)])
        scores = score_views(views, evidence, thorough=True)
        best = np.argsort(-scores)[: effort.tries // 6]
        elite, scores = views[best], scores[best]
        spread = spread * 0.8 if step < 2 else elite.std(axis=0) * 1.1
    return elite[0], float(scores[0])
