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
from itertools import takewhile

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, WrongUse
from patternscan.gearing.pair import Hand, WormPair
from patternscan.seeing.geometry.camera import FOCAL, FOCAL_SPREAD, CameraSet
from patternscan.seeing.geometry.flank_shape import grid_edges
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.outline_search.cross_entropy import CrossEntropy, Generation
from patternscan.seeing.outline_search.image_features import ImageFeatures, edge_support
from patternscan.seeing.outline_search.known_wheel import EdgeTemplate, Wheel, edge_template

Numbers = NDArray[np.float64]

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
LEAST_COMPOUND, LEAST_COMPOUND_SHARE, ENOUGH_COMPOUND = 0.03, 0.55, 0.03
"""Compound on a blued tooth: part of the flank, and of what the fullest tooth carries; and what leaves no doubt that it
is blued."""
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
class SeenTooth:
    """A tooth seen by a camera in numbers (7,), and how well the picture's edges support it.

    ``rough``: the outline that the search had for the tooth it began with. ``compound``: part of the flank that looks
    like it. ``tooth``: how many teeth from the first.
    """

    rough: Outline
    wheel: Wheel
    numbers: Numbers
    support: float
    compound: float
    tooth: int = 0

    @property
    def confidence(self) -> float:
        """Probability that its outline covers a blued flank well."""
        return min(self.compound / ENOUGH_COMPOUND, 1.0) * supported_confidence(self.rough.confidence, self.support)

    def outline(self) -> Outline | None:
        """Its outline in the picture; None when it is no flank there."""
        edges = {name: edge[::4] for name, edge in grid_edges(self.wheel.grid).items()}
        seen = {name: self.wheel.see(self.numbers, edge, self.tooth) for name, edge in edges.items()}
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


def blued_beside(leader: SeenTooth, features: ImageFeatures) -> list[int]:
    """Which teeth next to the leader, and next to those, carry compound and lie in the picture."""
    beside = range(1, MOST_BESIDE + 1)
    amounts = {tooth: _compound_on(leader, tooth, features) for tooth in range(-MOST_BESIDE, MOST_BESIDE + 1)}
    enough = max(LEAST_COMPOUND, LEAST_COMPOUND_SHARE * max(amounts.values()))
    up = takewhile(lambda tooth: amounts[tooth] > enough, beside)
    down = takewhile(lambda tooth: amounts[tooth] > enough, (-tooth for tooth in beside))
    return [*up, *down]


def _tells_hand(leader: SeenTooth, pair: WormPair, features: ImageFeatures) -> bool:
    """Whether the picture supports the wheel clearly better than the same wheel of the other hand."""
    other, needed = Hand.LEFT if pair.hand is Hand.RIGHT else Hand.RIGHT, leader.support - HAND_GAP
    mirrored = _refined(leader.rough, replace(pair, hand=other), features, needed)
    return mirrored is None or mirrored.support < needed


def _probability_of_sheet(leader: SeenTooth, pair: WormPair, features: ImageFeatures) -> float:
    """Probability that the sheet describes the wheel: no wheel of other proportions may fit the picture as well."""
    needed = leader.support + RIVAL_GAP - SURE_STEPS * RIVAL_STEP
    seen = [_refined(leader.rough, rival, features, needed) for rival in rivals(pair)]
    gap = max((rival.support - leader.support for rival in seen if rival is not None), default=-1.0)
    return _logistic((RIVAL_GAP - gap) / RIVAL_STEP)


def _logistic(logit: float) -> float:
    return 1 / (1 + math.exp(-logit))


def _compound_on(seen: SeenTooth, tooth: int, features: ImageFeatures) -> float:
    """Part of a tooth's flank that looks like compound; zero where much of it lies outside the picture."""
    return features.compound_at(seen.wheel.see(seen.numbers, seen.wheel.grid[2:-2:4, 4:-4:8], tooth))


def _refined(
    outline: Outline, pair: WormPair, features: ImageFeatures, needed: float = LEAST_SUPPORT
) -> SeenTooth | None:
    """The tooth of an outline; None when no camera sees it there. ``needed``: see ``_best_camera``."""
    rows, cols = features.metal.shape
    wheel = Wheel(pair, outline.flank, (cols, rows))
    start = wheel.first_camera(outline)
    if start is None:
        return None
    numbers, support = _best_camera(start, wheel, edge_template(pair, outline.flank), features, needed)
    seen = SeenTooth(outline, wheel, numbers, support, 0.0)
    return replace(seen, compound=_compound_on(seen, 0, features))


def _neighbour(leader: SeenTooth, tooth: int, features: ImageFeatures) -> SeenTooth:
    """Another tooth of the leader's wheel, refined from where the leader's camera sees it."""
    wheel = leader.wheel
    template = edge_template(wheel.pair, wheel.flank).turned(tooth * wheel.pair.tooth_angle_rad)
    numbers, support = _best_camera(leader.numbers, wheel, template, features)
    seen = replace(leader, numbers=numbers, support=support, tooth=tooth)
    return replace(seen, compound=_compound_on(seen, tooth, features))


def _best_camera(
    start: Numbers, wheel: Wheel, template: EdgeTemplate, features: ImageFeatures, needed: float = LEAST_SUPPORT
) -> tuple[Numbers, float]:
    """The camera's numbers (7,) near ``start`` that the edges support best, and their support. It is given up when the
    support that is ``needed`` is out of reach.
    """
    spread, points = _spread(start, wheel), template.points.T.astype(np.float32)

    def support(numbers: Numbers) -> Numbers:
        """How well the picture's edges support each camera (n, 7), (n,); about 0.55 is a good one."""
        x, y = CameraSet.of_numbers(numbers, wheel.middle, wheel.size).see(points)
        unusual = ((numbers[:, 6] - np.log(FOCAL)) / FOCAL_SPREAD) ** 2
        found: Numbers = edge_support(features.edges, x, y, template.starts) @ template.weights - FOCAL_WEIGHT * unusual
        return found

    anywhere, least = np.array([[-np.inf], [np.inf]]), (LEAST_SPREAD * spread) ** 2
    search = CrossEntropy(support, anywhere, CAMERAS, KEPT, WIDENED, least, joint=True)
    root, rng = np.diag(spread), np.random.default_rng(0)
    root[5, 6] = spread[6]
    best = Generation.first(start, root)
    for step in range(ROUNDS):
        best = search.bred(best, rng)
        if best.scores[0] + MOST_GAIN * GAIN_LEFT**step < needed:
            break
    return best.candidates[0], float(best.scores[0])


def _spread(start: Numbers, wheel: Wheel) -> Numbers:
    """How far the camera's numbers may be off, (7,); a longer focal length goes with a longer distance."""
    aim = AIM_SPREAD * wheel.pair.face_width_mm / float(np.exp(start[5]))
    return np.array([TURN_SPREAD, TURN_SPREAD, TURN_SPREAD, aim, aim, DISTANCE_SPREAD, FOCAL_ERROR])
