"""A found outline drawn tight by the gear data: the camera is moved until the known teeth meet the picture's edges.

The search for outlines knows teeth only roughly. Here the wheel's true flank, the other side of its tooth and both
neighbours are seen through one camera, and all their edges pull on it together. Where one tooth stands so, the
others stand too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Self

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, WrongUse
from patternscan.gearing.pair import Hand, WormPair
from patternscan.seeing.geometry.camera import NUMBERS
from patternscan.seeing.geometry.edge_fit import FOCAL, FOCAL_SPREAD, edges_of
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.outline_search.camera_set import CameraSet
from patternscan.seeing.outline_search.image_features import Evidence, edge_support, looked_up
from patternscan.seeing.outline_search.known_wheel import ToothLine, Wheel, tooth_lines

Numbers = NDArray[np.float64]

TURN_SPREAD, AIM_SPREAD, DISTANCE_SPREAD, FOCAL_STRAY = 0.06, 0.03, 0.04, 0.15
"""How far the camera may stand from where the outline puts it, one standard deviation: turn (rad), aim (face widths),
logarithms of distance and focal length."""
ROUNDS, CAMERAS, KEPT, WIDE_ROUNDS = 12, 100, 18, 2
SHRINK, SPREAD_AGAIN = 0.64, 1.3
MOST_GAIN, GAIN_LEFT = 0.12, 0.85
"""What the rounds after the first add to the support at most, and how much of that is left after each further round; on
rendered photographs one drawing in a hundred gained more."""
MOST_STARTS, MOST_BESIDE = 2, 3
"""Outlines of the search that are drawn tight, and how far from the surest blued teeth are looked for."""
LEAST_COMPOUND, LEAST_COMPOUND_SHARE, LEAST_IN_PICTURE, ENOUGH_COMPOUND = 0.03, 0.55, 0.9, 0.03
"""Compound on a blued tooth: part of the flank, and of what the fullest tooth carries; part of it in the picture; and
what leaves no doubt that it is blued."""
HAND_GAP, HAND_UNTOLD = 0.025, 0.4
"""Support of the sheet's hand over that of the other: 0.05 to 0.2 on rendered photographs when the sheet was right,
0.02 or less when it named the wrong hand; and the most confidence that is left then."""
RIVAL_FACTORS = ((0.88, 1.0), (1.12, 1.0), (1.0, 0.85), (1.0, 1.15))
"""Face width and module of the wheels that the sheet's must beat, over those of the sheet."""
RIVAL_GAP, RIVAL_STEP, SURE_STEPS = 0.003, 0.006, 5
"""Support of the best rival over that of the sheet's wheel where the sheet is as likely wrong as right, and how steeply
that changes: on rendered photographs -0.013 or less with the right sheet, mostly -0.01 to 0.07 when face width or
module were wrong by 15 to 25 %."""
FOCAL_WORTH = 0.003
"""What one standard deviation of an unusual focal length takes from the support."""
LEAST_SUPPORT, HALF_SUPPORT, SUPPORT_STEP, TRUST_BEFORE, DOUBT_BEFORE = 0.4, 0.5, 0.03, 0.4, 5.0
USUAL_TRUST = 1.5
"""How the support changes confidence, set on rendered photographs: with 0.5 or more nearly all outlines overlapped the
true ones by 0.8 or more; with less than the least the picture shows no such tooth there."""


@dataclass(frozen=True, slots=True, eq=False)
class DrawnTooth:
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
        """Chance that its outline covers a blued flank well."""
        return min(self.compound / ENOUGH_COMPOUND, 1.0) * supported_confidence(self.rough.confidence, self.support)

    def see(self, points: Numbers, tooth: int) -> Numbers:
        """Pixels of the flank's points (..., 3) in mm on a tooth so many from the first."""
        return self.wheel.camera(self.numbers).see(self.wheel.turned(points, tooth))

    def outline(self) -> Outline | None:
        """Its outline in the picture; None when it is no flank there."""
        seen = {name: self.see(edge[::4], self.tooth) for name, edge in edges_of(self.wheel.grid).items()}
        try:
            return checked_outline(seen, self.rough.flank, "1", self.rough.source, self.confidence)
        except (NoTrustworthyOutline, InconsistentInputs):
            return None


def refine_outlines(rough: Sequence[Outline], pair: WormPair, evidence: Evidence) -> list[Outline]:
    """The outlines of the blued teeth drawn onto the picture's edges, with new confidence. Where the picture shows no
    edges of this wheel, or as well those of one of the other hand, the ``rough`` ones stay and are not trusted more.
    Pixels are those of the ``evidence``.
    """
    surest = sorted(rough, key=lambda outline: -outline.confidence)[:MOST_STARTS]
    drawn = [tooth for tooth in (_drawn(outline, pair, evidence) for outline in surest) if tooth is not None]
    leader = max(drawn, key=lambda tooth: tooth.confidence, default=None)
    if leader is None or leader.support < LEAST_SUPPORT or not _tells_hand(leader, pair, evidence):
        highest = 1.0 if leader is None else min(leader.confidence, HAND_UNTOLD)
        return [replace(outline, confidence=min(outline.confidence, highest)) for outline in rough]
    likely = _likelihood_of_sheet(leader, pair, evidence)
    teeth = [leader, *(_neighbour(leader, tooth, pair, evidence) for tooth in blued_beside(leader, evidence))]
    outlines = (tooth.outline() for tooth in teeth if tooth.support >= LEAST_SUPPORT)
    return [replace(o, confidence=likely * o.confidence) for o in outlines if o is not None]


def _tells_hand(leader: DrawnTooth, pair: WormPair, evidence: Evidence) -> bool:
    """Whether the picture supports the wheel clearly better than the same wheel of the other hand."""
    other, needed = Hand.LEFT if pair.hand is Hand.RIGHT else Hand.RIGHT, leader.support - HAND_GAP
    mirrored = _drawn(leader.rough, replace(pair, hand=other), evidence, needed)
    return mirrored is None or mirrored.support < needed


def _likelihood_of_sheet(leader: DrawnTooth, pair: WormPair, evidence: Evidence) -> float:
    """Chance that the sheet describes the wheel, 0..1: no wheel of other proportions may fit the picture as well."""
    needed = leader.support + RIVAL_GAP - SURE_STEPS * RIVAL_STEP
    drawn = [_drawn(leader.rough, rival, evidence, needed) for rival in rivals(pair)]
    gap = max((rival.support - leader.support for rival in drawn if rival is not None), default=-1.0)
    return 1 / (1 + math.exp((gap - RIVAL_GAP) / RIVAL_STEP))


def rivals(pair: WormPair) -> list[WormPair]:
    """Wheels like one of the sheet, but with another face width or module."""
    found = []
    for face, module in RIVAL_FACTORS:
        with suppress(WrongUse):
            found.append(replace(pair, face_width_mm=face * pair.face_width_mm, module_mm=module * pair.module_mm))
    return found


def blued_beside(leader: DrawnTooth, evidence: Evidence) -> list[int]:
    """Which teeth next to the leader, and next to those, carry compound and lie in the picture."""
    amounts = {
        tooth: _compound_on(leader.wheel, leader.numbers, tooth, evidence)
        for tooth in range(-MOST_BESIDE, MOST_BESIDE + 1)
    }
    enough = max(LEAST_COMPOUND, LEAST_COMPOUND_SHARE * max(amounts.values()))
    up = takewhile(lambda tooth: amounts[tooth] > enough, range(1, MOST_BESIDE + 1))
    down = takewhile(lambda tooth: amounts[tooth] > enough, range(-1, -MOST_BESIDE - 1, -1))
    return [*up, *down]


def _compound_on(wheel: Wheel, numbers: Numbers, tooth: int, evidence: Evidence) -> float:
    """Part of a tooth's flank that looks like compound; zero where much of it lies outside the picture."""
    rows, cols = evidence.compound.shape
    seen = wheel.camera(numbers).see(wheel.turned(wheel.grid[2:-2:4, 4:-4:8], tooth))
    whole = ((seen > 0) & (seen < [cols, rows])).all(axis=-1).mean()
    x, y = np.moveaxis(seen, -1, 0).astype(np.float32)
    return float(looked_up(evidence.compound, x, y).mean()) if whole > LEAST_IN_PICTURE else 0.0


def _drawn(outline: Outline, pair: WormPair, evidence: Evidence, needed: float = LEAST_SUPPORT) -> DrawnTooth | None:
    """The tooth of an outline; None when no camera sees it there. ``needed``: see ``_drawn_tight``."""
    rows, cols = evidence.metal.shape
    wheel = Wheel(pair, outline.flank, (cols, rows))
    start = wheel.first_camera(outline)
    if start is None:
        return None
    numbers, support = _drawn_tight(start, wheel, tooth_lines(pair, outline.flank), evidence, needed)
    return DrawnTooth(outline, wheel, numbers, support, _compound_on(wheel, numbers, 0, evidence))


def _neighbour(leader: DrawnTooth, tooth: int, pair: WormPair, evidence: Evidence) -> DrawnTooth:
    """Another tooth of the leader's wheel, drawn tight from where the leader's camera sees it."""
    lines = [line.turned(tooth * pair.tooth_angle_rad) for line in tooth_lines(pair, leader.rough.flank)]
    numbers, support = _drawn_tight(leader.numbers, leader.wheel, lines, evidence)
    compound = _compound_on(leader.wheel, numbers, tooth, evidence)
    return replace(leader, numbers=numbers, support=support, compound=compound, tooth=tooth)


def supported_confidence(confidence: float, support: float) -> float:
    """Chance that a refined outline covers the flank well, from the search's own and the edges' support, 0..1."""
    if not 0 < confidence < 1:
        return confidence
    before = min(max(math.log(confidence / (1 - confidence)), -DOUBT_BEFORE), DOUBT_BEFORE)
    return 1 / (1 + math.exp(-(TRUST_BEFORE * before + USUAL_TRUST + (support - HALF_SUPPORT) / SUPPORT_STEP)))


def _drawn_tight(
    start: Numbers, wheel: Wheel, lines: Sequence[ToothLine], evidence: Evidence, needed: float = LEAST_SUPPORT
) -> tuple[Numbers, float]:
    """The camera's numbers (7,) near ``start`` that the edges support best, and their support. It is given up when the
    support that is ``needed`` is out of reach.

    Source: R. Y. Rubinstein, D. P. Kroese, The Cross-Entropy Method, Springer 2004 (from memory).
    """
    chance, drawing = np.random.default_rng(0), Drawing.of_lines(lines)
    spread = _spread(start, wheel)
    elite, middle, scatter = start[None], start, np.diag(spread**2)
    support = np.zeros(1)
    for step in range(ROUNDS):
        stray = chance.multivariate_normal(np.zeros(NUMBERS), scatter, CAMERAS, method="cholesky")
        if step <= WIDE_ROUNDS:
            stray[:, 5] += stray[:, 6]
        cameras = np.vstack([elite, middle + stray])
        support = drawing.support(cameras, wheel, evidence)
        best = np.argsort(-support)[:KEPT]
        elite, support = cameras[best], support[best]
        if support[0] + MOST_GAIN * GAIN_LEFT**step < needed:
            break
        middle = elite.mean(axis=0)
        narrowed = np.cov(elite.T) * SPREAD_AGAIN + np.diag((1e-3 * spread) ** 2)
        scatter = scatter * SHRINK if step < WIDE_ROUNDS else narrowed
    return elite[0], float(support[0])


def _spread(start: Numbers, wheel: Wheel) -> Numbers:
    """How far the camera's numbers may stray, (7,)."""
    aim = AIM_SPREAD * wheel.pair.face_width_mm / float(np.exp(start[5]))
    return np.array([TURN_SPREAD, TURN_SPREAD, TURN_SPREAD, aim, aim, DISTANCE_SPREAD, FOCAL_STRAY])


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """Lines of a wheel's teeth as points (3, m), which begin at ``starts``, and what an edge at each point is worth."""

    points: NDArray[np.float32]
    starts: NDArray[np.intp]
    worths: NDArray[np.float32]

    @classmethod
    def of_lines(cls, lines: Sequence[ToothLine]) -> Self:
        """The same from lines one by one; of a perfect drawing the support is 1."""
        lengths = [len(line.points) for line in lines]
        whole = sum(line.worth for line in lines if line.worth > 0)
        worths = np.repeat([line.worth / length / whole for line, length in zip(lines, lengths, strict=True)], lengths)
        points = np.vstack([line.points for line in lines]).T
        return cls(points.astype(np.float32), np.cumsum([0, *lengths])[:-1], worths.astype(np.float32))

    def support(self, cameras: Numbers, wheel: Wheel, evidence: Evidence) -> Numbers:
        """How well the picture's edges support each camera (n, 7), (n,); about 0.55 is a good one."""
        x, y = CameraSet.of_numbers(cameras, wheel.middle, wheel.size).see(self.points)
        unusual = ((cameras[:, 6] - np.log(FOCAL)) / FOCAL_SPREAD) ** 2
        supported: Numbers = edge_support(evidence.edges, x, y, self.starts) @ self.worths - FOCAL_WORTH * unusual
        return supported
