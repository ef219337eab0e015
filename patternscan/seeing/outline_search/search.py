"""Finding the flank's outline in a photo: the wheel whose teeth best meet the picture's edges and its compound.

Two searches look for the best pose of a wheel; of its teeth those that carry compound are outlined, and what both
found can be trusted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, UnreadablePhoto
from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.gear_refinement import refine_outlines
from patternscan.seeing.outline_search.image_features import (
    LEAST_COMPOUND,
    LEAST_COMPOUND_SHARE,
    ImageFeatures,
    image_features,
    photo_pixels,
    reduced,
)
from patternscan.seeing.outline_search.pose_fit import score_poses, tip_support
from patternscan.seeing.outline_search.pose_hypotheses import best_pose, tightened
from patternscan.seeing.outline_search.tooth_model import (
    end_line,
    flank_patch,
    lengthwise_line,
    limits_of,
    seen_points,
    turned_to_tooth,
)

Numbers = NDArray[np.float64]

TRUSTED_CONFIDENCE = 0.5
"""Least confidence of an outline that is used unasked. In eight searches without gear data through 34 rendered
photographs 45 of 56 outlines with 0.5 to 0.6 overlapped with the true ones by 0.8 and more, 53 by 0.7 and more."""
RUNS = 2
"""Independent searches; what both find can be trusted. Side by side they take as long as one after the other."""
KNOWN_SIGNS = ((0.53, 0.03), (0.8, 0.125))
UNKNOWN_SIGNS = ((0.5, 0.2), (0.6, 0.34), (0.56, 0.11))
"""Of score, agreement, and without gear data the support of the tip edge: where its logit is 0, and the step by which
that grows by 1; set on rendered photographs whose outlines are known."""
SUREST_UNKNOWN = 0.95
"""Most confidence without gear data."""
EDGE_POINTS, END_POINTS = 21, 7
"""Points of a found outline on root and tip, and on the ends, which are straighter and shorter."""
TOOTH_ROUNDS = 9
"""In which each blued tooth of the best pose is tightened by itself."""
TEETH_LOOKED_AT = (-3, -2, -1, 0, 1, 2, 3)
"""Teeth beside the middle one that a photo may show."""
LEAST_METAL_PX = 400
"""A wheel smaller than a square of 20 px shows no teeth at the working size."""
BLACK = 24
"""Of 255: a photo of which all but a hundredth is darker shows no edge that a person could see on a screen."""
ENOUGH_COMPOUND = 0.08
"""Part of a flank under compound that leaves no doubt that the tooth is blued, when the gear is not known."""


@dataclass(frozen=True, slots=True, eq=False)
class FoundTooth:
    """A tooth whose ``pose`` (12,) was found, its score, and what the ``other`` search found (12,)."""

    pose: Numbers
    score: float
    other: Numbers


def find_outlines(photo: Photo, flank: Flank, tip: PictureSide, pair: WormPair | None = None) -> tuple[Outline, ...]:
    """The blued flanks found with trust, best first, their teeth numbered so; a known ``pair`` helps. Raises
    NoTrustworthyOutline for none.
    """
    trusted = tuple(o for o in _guesses(photo, flank, tip, pair) if o.confidence >= TRUSTED_CONFIDENCE)
    if not trusted:
        _refuse_nothing_seen(photo, tip)
        raise NoTrustworthyOutline(
            f"The outline of the flank could not be found in {photo.name} with enough certainty.",
            "Mark it by hand on the page that 'patternscan outline PHOTO' writes, or take the photo nearer, sharper "
            "and with the whole tooth in view." + (" Check the gear data on the sheet." if pair is not None else ""),
        )
    return tuple(replace(outline, tooth=str(number)) for number, outline in enumerate(trusted, 1))


def _refuse_nothing_seen(photo: Photo, tip: PictureSide) -> None:
    """Say it where the photo is black, or shows nothing like the metal of a wheel."""
    if np.percentile(photo.pixels[::4, ::4], 99) < BLACK:
        raise UnreadablePhoto(f"{photo.name} is black: nothing can be seen in it.", "Take it again with a lamp beside.")
    if image_features(reduced(photo, tip)).metal.sum() < LEAST_METAL_PX:
        raise NoTrustworthyOutline(
            f"No toothed wheel is seen in {photo.name}.",
            "Photograph the tooth from nearer and with more light; if it is there all the same, mark it by hand on the "
            "page that 'patternscan outline PHOTO' writes.",
        )


def best_guess(photo: Photo, flank: Flank, tip: PictureSide) -> Outline | None:
    """The likeliest outline, however unsure, to start from by hand; None when nothing looks like a tooth."""
    return next(iter(_guesses(photo, flank, tip)), None)


def _guesses(photo: Photo, flank: Flank, tip: PictureSide, pair: WormPair | None = None) -> tuple[Outline, ...]:
    """Outlines of the blued flanks, best first."""
    features, limits = image_features(reduced(photo, tip)), limits_of(pair)
    if features.metal.sum() < LEAST_METAL_PX:
        return ()
    runs = [best_pose(features, limits, np.random.default_rng(seed)) for seed in range(RUNS)]
    (other, _), (pose, _) = sorted(runs, key=lambda run: run[1])
    teeth = _tightened_teeth(pose, other, features, limits) if pair is None else _scored_teeth(pose, other, features)
    guesses = (
        _checked(_edges(tooth.pose, flank, features.size_px), flank, _confidence(tooth, features, pair is not None))
        for tooth in teeth
    )
    found = [outline for outline in guesses if outline is not None]
    outlines = found if pair is None else refine_outlines(found, pair, features)
    in_photo = (_in_photo(outline, photo, tip) for outline in outlines)
    return tuple(sorted((o for o in in_photo if o is not None), key=_rank, reverse=True))


def _tightened_teeth(pose: Numbers, other: Numbers, features: ImageFeatures, limits: Numbers) -> list[FoundTooth]:
    """The blued teeth of the best pose, each tightened by itself."""
    tight = (
        tightened([start], features, limits, np.random.default_rng(RUNS), TOOTH_ROUNDS)
        for start in _blued_teeth(pose, features)
    )
    return [FoundTooth(seen, score, other) for seen, score in tight]


def _scored_teeth(pose: Numbers, other: Numbers, features: ImageFeatures) -> list[FoundTooth]:
    """The blued teeth of both poses as they are; gear data will refine them."""
    teeth = [(seen, b) for a, b in ((pose, other), (other, pose)) for seen in _blued_teeth(a, features)]
    scores = score_poses(np.stack([seen for seen, _ in teeth]), features, thorough=True)
    return [FoundTooth(seen, float(score), against) for (seen, against), score in zip(teeth, scores, strict=True)]


def _rank(outline: Outline) -> float:
    """What puts outlines in order: to be sure of the flank, and to see it large."""
    return outline.confidence * float(np.sqrt(outline.area_px))


def _blued_teeth(pose: Numbers, features: ImageFeatures) -> list[Numbers]:
    """Poses (12,) of the teeth that carry compound and lie in the picture; of the middle one when none does."""
    amounts = {tooth: _compound_on(pose, tooth, features) for tooth in TEETH_LOOKED_AT}
    most = max(amounts.values())
    teeth = [
        tooth for tooth, amount in amounts.items() if most > LEAST_COMPOUND and amount > LEAST_COMPOUND_SHARE * most
    ] or [0]
    return [turned_to_tooth(pose, tooth, features.size_px) for tooth in teeth]


def _compound_on(pose: Numbers, tooth: int, features: ImageFeatures) -> float:
    """Part of a tooth's flank that looks like compound; zero where much of the flank lies outside the picture."""
    return features.compound_at(seen_points(pose[None], flank_patch(tooth, 6, 16), features.size_px))


def _agreement(pose: Numbers, other: Numbers, features: ImageFeatures) -> float:
    """Overlap over union of the pose's middle flank and the likest flank of another pose, 0..1."""
    own = _filled(pose, 0, features)
    return max(_overlap(own, _filled(other, tooth, features)) for tooth in TEETH_LOOKED_AT)


def _overlap(one: NDArray[np.uint8], other: NDArray[np.uint8]) -> float:
    """Pixels of both masks over pixels of either, 0..1."""
    both = cv2.countNonZero(cv2.bitwise_and(one, other))
    return both / max(1, cv2.countNonZero(one) + cv2.countNonZero(other) - both)


def _filled(pose: Numbers, tooth: int, features: ImageFeatures) -> NDArray[np.uint8]:
    """1 on the picture's pixels (rows, cols) that one flank of a pose covers."""
    root, tip = (lengthwise_line(up, tooth, 1, EDGE_POINTS) for up in (0.0, 1.0))
    border = seen_points(pose[None], np.vstack([root, tip[::-1]]), features.size_px)[0]
    covered = np.zeros(features.compound.shape, dtype=np.uint8)
    cv2.fillPoly(covered, [np.rint(border).astype(np.int32)], 1)
    return covered


def _checked(edges: dict[str, Edge], flank: Flank, confidence: float) -> Outline | None:
    """The outline of a found flank; None when its edges make no flank."""
    try:
        return checked_outline(edges, flank, source=OutlineSource.FOUND, confidence=confidence)
    except (NoTrustworthyOutline, InconsistentInputs):
        return None


def _edges(pose: Numbers, flank: Flank, size_px: int) -> dict[str, Edge]:
    """The four edges of a pose's middle tooth by name; end A is on the left of a right flank (see ``flank_shown``)."""
    first, last = (0.5, -0.5) if flank is Flank.RIGHT else (-0.5, 0.5)
    step = 1 if first < last else -1
    lines = {
        "root": lengthwise_line(0.0, 0, 1, EDGE_POINTS)[::step],
        "tip": lengthwise_line(1.0, 0, 1, EDGE_POINTS)[::step],
        "end_a": end_line(first, 0, END_POINTS),
        "end_b": end_line(last, 0, END_POINTS),
    }
    return {name: seen_points(pose[None], line, size_px)[0] for name, line in lines.items()}


def _in_photo(outline: Outline, photo: Photo, tip: PictureSide) -> Outline | None:
    """An outline in working pixels as one in the photo's own; None when it is no flank there."""
    edges = {name: photo_pixels(getattr(outline, name), photo, tip) for name in EDGE_NAMES}
    return _checked(edges, outline.flank, outline.confidence)


def _confidence(tooth: FoundTooth, features: ImageFeatures, known: bool) -> float:
    """Probability that the tooth's outline covers the flank well (overlap over union above 0.8).

    The pose's score and a second, independent search that found the same must come together. With gear data edges
    and compound are asked later; without, the tip edge, which is seen best of all, and the compound speak too.
    """
    signs = [tooth.score, _agreement(tooth.pose, tooth.other, features)]
    if known:
        return _probability(signs, KNOWN_SIGNS)
    blued = min(1.0, _compound_on(tooth.pose, 0, features) / ENOUGH_COMPOUND)
    return SUREST_UNKNOWN * blued * _probability([*signs, tip_support(tooth.pose, features)], UNKNOWN_SIGNS)


def _probability(signs: Sequence[float], scales: Sequence[tuple[float, float]]) -> float:
    logit = sum((sign - middle) / step for sign, (middle, step) in zip(signs, scales, strict=True))
    return float(1 / (1 + np.exp(-logit)))
