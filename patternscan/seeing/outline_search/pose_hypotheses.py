"""The search for the pose of a wheel that meets a picture best.

Many pose hypotheses are drawn at random about the places that look like compound; the good ones are refined on the
picture's edges, changed a little, the better kept, and at last tightened.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from patternscan.seeing.outline_search.cross_entropy import WIDE_ROUNDS, CrossEntropy, Generation
from patternscan.seeing.outline_search.image_features import ImageFeatures, Numbers
from patternscan.seeing.outline_search.pose_fit import Refinement, refined, score_poses, usual_spread
from patternscan.seeing.outline_search.tooth_model import (
    CAMERA,
    FOCAL_LENGTH,
    GEAR,
    PIXEL,
    Column,
    flank_patch,
    seen_points,
)


@dataclass(frozen=True, slots=True)
class Effort:
    """How much is tried: ``first`` random hypotheses, of them ``coarse`` refined on blurred edges, ``fine`` on sharp
    ones, at last as ``last`` says; in one more generation ``survivors`` live on with the best of their children; of
    the best ``starts`` clearly different ones one is tightened in ``rounds`` of ``tries``.
    """

    first: int
    coarse: int
    fine: int
    last: tuple[Refinement, ...]
    survivors: int
    starts: int
    rounds: int
    tries: int


COARSE, FINE = Refinement((16.0, 12.0, 8.0), CAMERA, coarse=True), Refinement((6.0, 4.0, 3.0), CAMERA)
NEAR, NEARER = (5.0, 4.0, 3.0), (3.0, 2.5, 2.0, 2.0)
ANY_GEAR = Effort(10000, 400, 110, (Refinement(NEAR, CAMERA + GEAR), Refinement(NEARER, CAMERA + GEAR)), 80, 3, 9, 110)
KNOWN_GEAR = Effort(13000, 500, 110, (Refinement(NEARER, CAMERA),), 0, 5, 8, 60)
CHILDREN, CHILD_SPREAD, CHANGED = 5, 0.5, 0.6
"""Children of each hypothesis of a generation, how far they are from it in usual spreads, and the part of the numbers
in which they differ."""
ALIKE = 16
"""First hypotheses that share a gear, which takes longest to work out."""
NARROWEST, WIDEST = 0.18, 0.70
"""Face width in the picture over its long side."""
MOST_DIFFERENT = 5
"""Different hypotheses looked for."""
SAME = 0.04
"""Hypotheses whose borders lie nearer than this part of the picture are the same."""
START_SPREAD, KEPT, WIDENED = 0.5, 6, 1.21
"""Of the tightening: first spread in usual spreads; one of so many tries lives on; variance over the survivors'."""


def best_pose(features: ImageFeatures, limits: Numbers, rng: np.random.Generator) -> tuple[Numbers, float]:
    """The hypothesis (12,) within ``limits`` (2, 12) that meets the picture best, and its score."""
    effort = _effort(limits)
    scored = partial(score_poses, features=features, thorough=True)
    poses = _drawn(features, limits, rng, effort.first)
    poses = _best(poses, score_poses(poses, features, thorough=False), effort.coarse)
    poses = refined(poses, features, limits, COARSE)
    poses = refined(_best(poses, scored(poses), effort.fine), features, limits, FINE)
    scores = scored(poses)
    for how in effort.last:
        others = refined(poses, features, limits, how)
        poses, scores = _better((poses, scores), (others, scored(others)))
    if effort.survivors:
        best = np.argsort(-scores)[: effort.survivors]
        children = _children(poses[best], features.size_px, limits, rng)
        poses, scores = _better((poses[best], scores[best]), _best_children(children, scored(children)))
    starts = _different(poses[np.argsort(-scores)], features.size_px)[: effort.starts]
    return tightened(starts, features, limits, rng, effort.rounds)


def tightened(
    starts: Sequence[Numbers], features: ImageFeatures, limits: Numbers, rng: np.random.Generator, rounds: int
) -> tuple[Numbers, float]:
    """The best hypothesis (12,) near some starts, by the cross-entropy method, and its score. After some rounds only
    the start that leads goes on.
    """
    tries = _effort(limits).tries
    scored = partial(score_poses, features=features, thorough=True)
    search = CrossEntropy(scored, limits, tries, tries // KEPT, WIDENED, np.zeros(len(Column)), joint=False)
    spreads = START_SPREAD * usual_spread(np.stack(starts), features.size_px)
    leading = [Generation.first(start, np.diag(spread)) for start, spread in zip(starts, spreads, strict=True)]
    for step in range(rounds):
        leading = [search.bred(parents, rng) for parents in leading]
        if step >= WIDE_ROUNDS:
            leading = [max(leading, key=lambda generation: generation.scores[0])]
    return leading[0].candidates[0], float(leading[0].scores[0])


def _effort(limits: Numbers) -> Effort:
    """Less is open when the gear is known, so that only the camera is sought."""
    return KNOWN_GEAR if (limits[0, GEAR] == limits[1, GEAR]).all() else ANY_GEAR


def _best(poses: Numbers, scores: Numbers, count: int) -> Numbers:
    return poses[np.argsort(-scores)[:count]]


def _better(some: tuple[Numbers, Numbers], others: tuple[Numbers, Numbers]) -> tuple[Numbers, Numbers]:
    """Of each hypothesis and its other form, both (n, 12) with scores (n,), the one with the higher score."""
    (poses, scores), (forms, reached) = some, others
    better = reached > scores
    return np.where(better[:, None], forms, poses), np.where(better, reached, scores)


def _drawn(features: ImageFeatures, limits: Numbers, rng: np.random.Generator, count: int) -> Numbers:
    """Random hypotheses (count, 12) of usual wheels, each with some place of the flank on a pixel like compound."""
    low, high = np.where(np.isfinite(limits), limits, 0)
    poses: Numbers = rng.uniform(low, high, (count, len(Column)))
    poses[:, Column.ELEVATION] = rng.normal(0.9, 0.17, count)
    poses[:, Column.ROLL] = 0.6 * poses[:, Column.AZIMUTH] + rng.normal(0.1, 0.3, count)
    poses[:, Column.WIDTH] = 4.5 + 0.47 * poses[:, Column.WORM_RADIUS] + rng.normal(0, 0.35, count)
    poses[:, Column.RIM] = rng.normal(0.45, 0.15, count)
    poses[:, Column.SLANT] = rng.normal(0.36, 0.05, count)
    poses[:, GEAR] = np.repeat(poses[::ALIKE, GEAR], ALIKE, axis=0)[:count]
    part = np.exp(rng.uniform(np.log(NARROWEST), np.log(WIDEST), count))
    poses[:, Column.NEARNESS] = np.log(FOCAL_LENGTH * poses[:, Column.WIDTH] / part)
    poses = np.clip(poses, *limits)
    pixels = _likely_pixels(features, rng, count)
    poses[:, PIXEL] = pixels
    somewhere = np.resize(flank_patch(0, 5, 7), (count, 1, 4))
    poses[:, PIXEL] += pixels - seen_points(poses, somewhere, features.size_px)[:, 0]
    return poses


def _likely_pixels(features: ImageFeatures, rng: np.random.Generator, count: int) -> Numbers:
    """Pixels (count, 2) drawn where compound is likely, a few anywhere on the wheel."""
    compound, metal = features.compound[::2, ::2], features.metal[::2, ::2]
    weight = compound + 0.03 * compound.mean() * metal + 1e-6
    heaped = np.cumsum(weight.ravel(), dtype=np.float64)
    at = rng.permutation(np.searchsorted(heaped, np.sort(rng.random(count)) * heaped[-1]).clip(0, weight.size - 1))
    return 2.0 * np.stack([at % weight.shape[1], at // weight.shape[1]], axis=1)


def _children(poses: Numbers, size_px: int, limits: Numbers, rng: np.random.Generator) -> Numbers:
    """A few changed forms of each hypothesis, one after the other, (CHILDREN * n, 12)."""
    parents = np.repeat(poses, CHILDREN, axis=0)
    step = rng.normal(0, CHILD_SPREAD, parents.shape) * (rng.random(parents.shape) < CHANGED)
    return np.clip(parents + step * usual_spread(parents, size_px), *limits)


def _best_children(children: Numbers, scores: Numbers) -> tuple[Numbers, Numbers]:
    """The best child of each hypothesis, (n, 12), and the scores."""
    best = scores.reshape(-1, CHILDREN).argmax(axis=1) + CHILDREN * np.arange(len(scores) // CHILDREN)
    return children[best], scores[best]


def _different(poses: Numbers, size_px: int) -> list[Numbers]:
    """The first few hypotheses (12,) that show clearly different outlines."""
    borders = seen_points(poses, flank_patch(0, 2, 4), size_px)
    chosen: list[int] = []
    for k, border in enumerate(borders):
        apart = (np.abs(border - borders[c]).mean() > SAME * size_px for c in chosen)
        if len(chosen) < MOST_DIFFERENT and all(apart):
            chosen.append(k)
    return [poses[k] for k in chosen]
