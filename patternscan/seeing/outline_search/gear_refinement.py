"""A found outline refined by the gear data: the camera is moved until the known teeth meet the picture's edges.

The search for outlines knows teeth only roughly. Here the wheel's true flank, the other side of its tooth and both
neighbours are seen through one camera, and all their edges tell where it stood. Where one tooth stands so, the
others stand too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import takewhile

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, WrongUse
from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, WormPair
from patternscan.gearing.wheel_flank import flank_points, turned
from patternscan.seeing.geometry.camera import FOCAL, FOCAL_SPREAD, CameraSet, first_numbers
from patternscan.seeing.geometry.edge_fit import EdgeFit
from patternscan.seeing.geometry.flank_shape import grid_edges, known_shape
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline, resampled
from patternscan.seeing.outline_search.cross_entropy import CrossEntropy, Generation
from patternscan.seeing.outline_search.image_features import (
    LEAST_COMPOUND,
    LEAST_COMPOUND_SHARE,
    ImageFeatures,
    edge_support,
)
from patternscan.seeing.outline_search.tooth_model import (
    BESIDE_WEIGHT,
    END_WEIGHT,
    HEIGHTS_INSIDE,
    INSIDE_WEIGHT,
    REAR_WEIGHT,
    ROOT_WEIGHT,
    TIP_WEIGHT,
)

Numbers = NDArray[np.float64]

LINE_POINTS, END_POINTS = 25, 9
"""Points of a line along the tooth and of one from root to tip."""
TURN_SPREAD, AIM_SPREAD, DISTANCE_SPREAD, FOCAL_ERROR = 0.06, 0.03, 0.04, 0.15
"""How far the camera may stand from where the outline puts it, one standard deviation: turn (rad), aim (face widths),
logarithms of distance and focal length."""
ROUNDS, CAMERAS, KEPT = 12, 100, 18
WIDENED, LEAST_SPREAD = 1.3, 1e-3
"""Variance of the next cameras over that of the best; it stays above the first spread times the second, squared."""
MOST_GAIN, GAIN_LEFT = 0.12, 0.85
"""What the rounds after the first add to the support at most, and how much of that is left after each further round; on
rendered photographs one refinement in a hundred gained more."""
MOST_STARTS, MOST_BESIDE = 2, 3
"""Outlines of the search that are refined, and how far from the surest blued teeth are looked for."""
ENOUGH_COMPOUND = 0.03
"""Part of a flank under compound that leaves no doubt that the tooth is blued."""
HAND_GAP, HAND_UNTOLD = 0.025, 0.4
"""Support of the sheet's hand over that of the other: 0.05 to 0.2 on rendered photographs when the sheet was right,
0.02 or less when it named the wrong hand; and the most confidence that is left then."""
RIVAL_FACTORS = ((0.88, 1.0), (1.12, 1.0), (1.0, 0.85), (1.0, 1.15))
"""Face width and module of the wheels that the sheet's must beat, over those of the sheet."""
RIVAL_GAP, RIVAL_STEP, SURE_STEPS = 0.003, 0.006, 5
"""Support of the best rival over that of the sheet's wheel where the sheet is as likely wrong as right, and how steeply
that changes: on rendered photographs -0.013 or less with the right sheet, mostly -0.01 to 0.07 when face width or
module were wrong by 15 to 25 %."""
FOCAL_WEIGHT = 0.003
"""What one standard deviation of an unusual focal length takes from the support."""
LEAST_SUPPORT, HALF_SUPPORT, SUPPORT_STEP = 0.4, 0.5, 0.03
PRIOR_WEIGHT, PRIOR_LIMIT, BIAS = 0.4, 5.0, 1.5
"""How the support changes confidence, set on rendered photographs: with 0.5 or more nearly all outlines overlapped the
true ones by 0.8 or more; with less than the least the picture shows no such tooth there. The search's own confidence
counts as a logit within the limit, times the weight."""


@dataclass(frozen=True, slots=True, eq=False)
class EdgeTemplate:
    """Lines on a wheel where a picture shows edges, one behind the other: points (m, 3) in mm, where each line
    ``starts``, and what an edge at each point counts for; the ``weights`` (m,) above zero add up to 1.
    """

    points: Numbers
    starts: NDArray[np.intp]
    weights: NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class RefinedTooth:
    """A tooth of a known wheel seen by a camera in numbers (7,), and how well the picture's edges support it.

    ``fit``: of the outline that the search had for the tooth it began with. ``tooth``: how many teeth from that one.
    ``compound``: part of the flank that looks like it.
    """

    fit: EdgeFit
    pair: WormPair
    numbers: Numbers
    support: float
    compound: float = 0.0
    tooth: int = 0

    @property
    def rough(self) -> Outline:
        """The outline that the search had."""
        return self.fit.outline

    @property
    def confidence(self) -> float:
        """Probability that its outline covers a blued flank well."""
        return min(self.compound / ENOUGH_COMPOUND, 1.0) * supported_confidence(self.rough.confidence, self.support)

    def see(self, points: Numbers, tooth: int) -> Numbers:
        """Pixels of the flank's points (..., 3) in mm on a tooth so many from the first."""
        return self.fit.camera(self.numbers).see(turned(points, tooth * self.pair.tooth_angle_rad))

    def outline(self) -> Outline | None:
        """Its outline in the picture; None when it is no flank there."""
        edges = {name: edge[::4] for name, edge in grid_edges(self.fit.shape.stack[:, :, 0]).items()}
        seen = {name: self.see(edge, self.tooth) for name, edge in edges.items()}
        try:
            return checked_outline(seen, self.rough.flank, "1", self.rough.source, self.confidence)
        except (NoTrustworthyOutline, InconsistentInputs):
            return None


def refine_outlines(rough: Sequence[Outline], pair: WormPair, features: ImageFeatures) -> list[Outline]:
    """The outlines of the blued teeth refined on the picture's edges, with new confidence. Where the picture shows no
    edges of this wheel, or as well those of one of the other hand, the ``rough`` ones stay and are not trusted more.
    Pixels are those of the ``features``.
    """
    surest = sorted(rough, key=lambda outline: -outline.confidence)[:MOST_STARTS]
    seen = [tooth for tooth in (_refined(outline, pair, features) for outline in surest) if tooth is not None]
    leader = max(seen, key=lambda tooth: tooth.confidence, default=None)
    if leader is None or leader.support < LEAST_SUPPORT or not _tells_hand(leader, pair, features):
        highest = 1.0 if leader is None else min(leader.confidence, HAND_UNTOLD)
        return [replace(outline, confidence=min(outline.confidence, highest)) for outline in rough]
    likely = _probability_of_sheet(leader, pair, features)
    teeth = [leader, *(_neighbour(leader, tooth, features) for tooth in blued_beside(leader, features))]
    outlines = (tooth.outline() for tooth in teeth if tooth.support >= LEAST_SUPPORT)
    return [replace(o, confidence=likely * o.confidence) for o in outlines if o is not None]


def supported_confidence(confidence: float, support: float) -> float:
    """Probability that a refined outline covers the flank well, from the search's own and the edges' support, 0..1."""
    if not 0 < confidence < 1:
        return confidence
    prior = min(max(math.log(confidence / (1 - confidence)), -PRIOR_LIMIT), PRIOR_LIMIT)
    return _logistic(PRIOR_WEIGHT * prior + BIAS + (support - HALF_SUPPORT) / SUPPORT_STEP)


def rivals(pair: WormPair) -> list[WormPair]:
    """Wheels like one of the sheet, but with another face width or module."""
    found = []
    for face, module in RIVAL_FACTORS:
        with suppress(WrongUse):
            found.append(replace(pair, face_width_mm=face * pair.face_width_mm, module_mm=module * pair.module_mm))
    return found


def blued_beside(leader: RefinedTooth, features: ImageFeatures) -> list[int]:
    """Which teeth next to the leader, and next to those, carry compound and lie in the picture."""
    beside = range(1, MOST_BESIDE + 1)
    amounts = {tooth: _compound_on(leader, tooth, features) for tooth in range(-MOST_BESIDE, MOST_BESIDE + 1)}
    enough = max(LEAST_COMPOUND, LEAST_COMPOUND_SHARE * max(amounts.values()))
    up = takewhile(lambda tooth: amounts[tooth] > enough, beside)
    down = takewhile(lambda tooth: amounts[tooth] > enough, (-tooth for tooth in beside))
    return [*up, *down]


def _tells_hand(leader: RefinedTooth, pair: WormPair, features: ImageFeatures) -> bool:
    """Whether the picture supports the wheel clearly better than the same wheel of the other hand."""
    other, needed = Hand.LEFT if pair.hand is Hand.RIGHT else Hand.RIGHT, leader.support - HAND_GAP
    mirrored = _refined(leader.rough, replace(pair, hand=other), features, needed)
    return mirrored is None or mirrored.support < needed


def _probability_of_sheet(leader: RefinedTooth, pair: WormPair, features: ImageFeatures) -> float:
    """Probability that the sheet describes the wheel: no wheel of other proportions may fit the picture as well."""
    needed = leader.support + RIVAL_GAP - SURE_STEPS * RIVAL_STEP
    seen = [_refined(leader.rough, rival, features, needed) for rival in rivals(pair)]
    gap = max((rival.support - leader.support for rival in seen if rival is not None), default=-1.0)
    return _logistic((RIVAL_GAP - gap) / RIVAL_STEP)


def _logistic(logit: float) -> float:
    return 1 / (1 + math.exp(-logit))


def _compound_on(seen: RefinedTooth, tooth: int, features: ImageFeatures) -> float:
    """Part of a tooth's flank that looks like compound; zero where much of it lies outside the picture."""
    return features.compound_at(seen.see(seen.fit.shape.stack[2:-2:4, 4:-4:8, 0], tooth))


def _refined(
    outline: Outline, pair: WormPair, features: ImageFeatures, needed: float = LEAST_SUPPORT
) -> RefinedTooth | None:
    """The tooth of an outline; None when no camera sees it there. ``needed``: see ``_best_camera``."""
    rows, cols = features.metal.shape
    fit = EdgeFit(outline, known_shape(pair, outline.flank), (cols, rows))
    start = _first_camera(fit)
    if start is None:
        return None
    seen = _best_camera(RefinedTooth(fit, pair, start, 0.0), features, needed)
    return replace(seen, compound=_compound_on(seen, 0, features))


def _first_camera(fit: EdgeFit) -> Numbers | None:
    """Numbers (7,) of a camera that sees the flank about where the outline has it; None when there is none."""
    edges, shares = grid_edges(fit.shape.stack[:, :, 0]), (LINE_POINTS, LINE_POINTS, END_POINTS, END_POINTS)
    runs = [(name, np.linspace(0, 1, count)) for name, count in zip(EDGE_NAMES, shares, strict=True)]
    points = np.vstack([resampled(edges[name], run) for name, run in runs])
    pixels = np.vstack([resampled(getattr(fit.outline, name), run) for name, run in runs])
    return first_numbers(points - fit.middle, pixels, FOCAL, fit.size)


def _neighbour(leader: RefinedTooth, tooth: int, features: ImageFeatures) -> RefinedTooth:
    """Another tooth of the leader's wheel, refined from where the leader's camera sees it."""
    seen = _best_camera(replace(leader, tooth=tooth), features)
    return replace(seen, compound=_compound_on(seen, tooth, features))


def _best_camera(seen: RefinedTooth, features: ImageFeatures, needed: float = LEAST_SUPPORT) -> RefinedTooth:
    """The tooth by the camera near its own that the edges support best. It is given up when the support that is
    ``needed`` is out of reach.
    """
    fit, pair, template = seen.fit, seen.pair, edge_template(seen.pair, seen.rough.flank)
    points = turned(template.points, seen.tooth * pair.tooth_angle_rad).T.astype(np.float32)

    def support(numbers: Numbers) -> Numbers:
        """How well the picture's edges support each camera (n, 7), (n,); about 0.55 is a good one."""
        x, y = CameraSet.of_numbers(numbers, fit.middle, fit.size).see(points)
        unusual = ((numbers[:, 6] - np.log(FOCAL)) / FOCAL_SPREAD) ** 2
        found: Numbers = edge_support(features.edges, x, y, template.starts) @ template.weights - FOCAL_WEIGHT * unusual
        return found

    spread, rng = _spread(seen.numbers, pair), np.random.default_rng(0)
    anywhere, least = np.array([[-np.inf], [np.inf]]), (LEAST_SPREAD * spread) ** 2
    search = CrossEntropy(support, anywhere, CAMERAS, KEPT, WIDENED, least, joint=True)
    root = np.diag(spread)
    root[5, 6] = spread[6]
    best = Generation.first(seen.numbers, root)
    for step in range(ROUNDS):
        best = search.bred(best, rng)
        if best.scores[0] + MOST_GAIN * GAIN_LEFT**step < needed:
            break
    return replace(seen, numbers=best.candidates[0], support=float(best.scores[0]))


def _spread(numbers: Numbers, pair: WormPair) -> Numbers:
    """How far the camera's numbers may be off, (7,); a longer focal length goes with a longer distance."""
    aim = AIM_SPREAD * pair.face_width_mm / float(np.exp(numbers[5]))
    return np.array([TURN_SPREAD, TURN_SPREAD, TURN_SPREAD, aim, aim, DISTANCE_SPREAD, FOCAL_ERROR])


@lru_cache(maxsize=12)
def edge_template(pair: WormPair, flank: Flank) -> EdgeTemplate:
    """Where a tooth of the wheel and its two neighbours show edges, and where it shows none."""
    angle = pair.tooth_angle_rad
    other, turn = (Flank.RIGHT, -angle) if flank is Flank.LEFT else (Flank.LEFT, angle)
    run, short = np.linspace(0, 1, LINE_POINTS), np.linspace(0, 1, END_POINTS)
    lengthwise = ((1.0, TIP_WEIGHT), (0.0, ROOT_WEIGHT), *((up, INSIDE_WEIGHT) for up in HEIGHTS_INSIDE))
    places = [(run, np.full_like(run, up)) for up, _ in lengthwise]
    places += [(np.full_like(short, along), short) for along in (0.0, 1.0)]
    along, up = (np.concatenate(parts) for parts in zip(*places, strict=True))
    lines = np.split(flank_points(pair, flank, along, up), np.cumsum([len(part) for part, _ in places])[:-1])
    own = list(zip(lines, [*(weight for _, weight in lengthwise), END_WEIGHT, END_WEIGHT], strict=True))
    rear = turned(flank_points(pair, other, run, np.ones(LINE_POINTS)), turn)
    beside = [
        (turned(line, by), BESIDE_WEIGHT * weight) for by in (-angle, angle) for line, weight in own if weight > 0
    ]
    return _template([*own, (rear, REAR_WEIGHT), *beside])


def _template(lines: list[tuple[Numbers, float]]) -> EdgeTemplate:
    """The template of lines (n, 3) and what an edge along each counts for."""
    lengths = [len(line) for line, _ in lines]
    whole = sum(weight for _, weight in lines if weight > 0)
    weights = np.repeat([weight / len(line) / whole for line, weight in lines], lengths).astype(np.float32)
    return EdgeTemplate(np.vstack([line for line, _ in lines]), np.cumsum([0, *lengths])[:-1], weights)
