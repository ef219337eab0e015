"""The search for the view of a wheel that meets a picture best.

Many views are drawn at random about the places that look like compound; the good ones are pulled onto the picture's
edges, changed a little, the better kept, and at last drawn tight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patternscan.seeing.outline_search import tooth_shape as shape
from patternscan.seeing.outline_search.image_features import Evidence, Floats
from patternscan.seeing.outline_search.view_pull import CAMERA, SHAPE, pulled_views, usual_spread
from patternscan.seeing.outline_search.view_score import score_views


@dataclass(frozen=True, slots=True)
class Effort:
    """How much is tried: ``first`` random views, of them ``pulled`` toward edges, ``tight`` onto edges, at last from
    the reaches and in the columns that ``near`` holds; then in each generation how many views live on and how far
    their children stray; of the best ``starts`` clearly different views one is drawn tight in ``rounds`` of ``tries``.
    """

    first: int
    pulled: int
    tight: int
    near: tuple[tuple[Sequence[float], tuple[int, ...]], ...]
    generations: tuple[tuple[int, float], ...]
    starts: int
    rounds: int
    tries: int


COARSE_REACHES, FINE_REACHES = (16.0, 12.0, 8.0), (6.0, 4.0, 3.0)
LAST_REACHES, NEAR_REACHES = (5.0, 4.0, 3.0), (3.0, 2.5, 2.0, 2.0)
ANY_GEAR = Effort(
    10000, 400, 110, ((LAST_REACHES, CAMERA + SHAPE), (NEAR_REACHES, CAMERA + SHAPE)), ((80, 0.5),), 3, 9, 110
)
KNOWN_GEAR = Effort(13000, 500, 110, ((NEAR_REACHES, CAMERA),), (), 5, 8, 60)
CHILDREN, ALIKE = 5, 16
"""Of each view of a generation; first views that share a wheel's shape, which takes longest to work out."""
NARROWEST, WIDEST = 0.18, 0.70
"""Face width in the picture over its long side."""
MOST_DIFFERENT, WIDE_ROUNDS = 5, 2
"""Different views looked for; rounds in which each is drawn tight from far, before only one goes on."""
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
    views = pulled_views(views, evidence, COARSE_REACHES, CAMERA, coarse=True)
    views = _best(views, score_views(views, evidence, thorough=True), effort.tight)
    views = pulled_views(views, evidence, FINE_REACHES, CAMERA)
    scores = score_views(views, evidence, thorough=True)
    for reaches, columns in effort.near:
        others = pulled_views(views, evidence, reaches, columns)
        views, scores = _better(views, scores, others, evidence)
    for survivors, stray in effort.generations:
        best = np.argsort(-scores)[:survivors]
        views, scores = _next_generation(views[best], scores[best], evidence, chance, stray)
    order = np.argsort(-scores)
    starts = _different(views[order], evidence)[: effort.starts]
    return tightened(starts, evidence, chance, effort.rounds)


def _best(views: Floats, scores: Floats, count: int) -> Floats:
    return views[np.argsort(-scores)[:count]]


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
    views[:, shape.RADIUS :] = np.repeat(views[::ALIKE, shape.RADIUS :], ALIKE, axis=0)[:count]
    part = np.exp(chance.uniform(np.log(NARROWEST), np.log(WIDEST), count))
    views[:, shape.NEARNESS] = np.log(shape.FOCAL_LENGTH * views[:, shape.WIDTH] / part)
    views = shape.bounded(views, evidence.bounds)
    views[:, [shape.COLUMN, shape.ROW]] = _likely_pixels(evidence, chance, count)
    places = np.resize(shape.flank_patch(0, 5, 7), (count, 1, 4))
    pixels = views[:, [shape.COLUMN, shape.ROW]]
    views[:, [shape.COLUMN, shape.ROW]] += pixels - shape.seen_points(views, places, focal_px(evidence))[:, 0]
    return views


def _likely_pixels(evidence: Evidence, chance: np.random.Generator, count: int) -> Floats:
    """Pixels (count, 2) drawn where compound is likely, a few anywhere on the wheel."""
    compound, metal = evidence.compound[::2, ::2], evidence.metal[::2, ::2]
    weight = compound + 0.03 * compound.mean() * metal + 1e-6
    heaped = np.cumsum(weight.ravel(), dtype=np.float64)
    at = chance.permutation(
        np.searchsorted(heaped, np.sort(chance.random(count)) * heaped[-1]).clip(0, weight.size - 1)
    )
    return 2.0 * np.stack([at % weight.shape[1], at // weight.shape[1]], axis=1)


def _next_generation(
    views: Floats, scores: Floats, evidence: Evidence, chance: np.random.Generator, stray: float
) -> tuple[Floats, Floats]:
    """Each view or the best of its children, and the scores."""
    parents = np.repeat(views, CHILDREN, axis=0)
    step = chance.normal(0, stray, parents.shape) * (chance.random(parents.shape) < 0.6)
    children = shape.bounded(parents + step * usual_spread(parents, evidence.size_px), evidence.bounds)
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


@dataclass(frozen=True, slots=True, eq=False)
class Elite:
    """The best ``views`` (n, 12) near some start, best first, their ``scores`` (n,), and how far to stray from them."""

    views: Floats
    scores: Floats
    spread: Floats

    def bred(self, evidence: Evidence, chance: np.random.Generator, step: int) -> Elite:
        """The best of these views and of others near them."""
        tries = _effort(evidence).tries
        near = self.views.mean(axis=0) + chance.normal(0, 1, (tries, 12)) * self.spread
        views = np.vstack([self.views, shape.bounded(near, evidence.bounds)])
        scores = score_views(views, evidence, thorough=True)
        best = np.argsort(-scores)[: tries // 6]
        spread = self.spread * 0.8 if step < WIDE_ROUNDS else views[best].std(axis=0) * 1.1
        return Elite(views[best], scores[best], spread)


def tightened(
    starts: Sequence[Floats], evidence: Evidence, chance: np.random.Generator, rounds: int
) -> tuple[Floats, float]:
    """The best of some views (12,) drawn tight by the cross-entropy method, and its score. After some rounds only the
    one that leads goes on.

    Source: R. Y. Rubinstein, D. P. Kroese, The Cross-Entropy Method, Springer 2004 (from memory).
    """
    spreads = 0.5 * usual_spread(np.stack(starts), evidence.size_px)
    elites = [Elite(start[None], np.zeros(1), spread) for start, spread in zip(starts, spreads, strict=True)]
    for step in range(rounds):
        elites = [elite.bred(evidence, chance, step) for elite in elites]
        if step >= WIDE_ROUNDS:
            elites = [max(elites, key=lambda elite: elite.scores[0])]
    return elites[0].views[0], float(elites[0].scores[0])
