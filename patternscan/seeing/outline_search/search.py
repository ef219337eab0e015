"""Finding the flank's outline in a photo: the wheel whose teeth best meet the picture's edges and its compound.

Two searches look for the best view of a wheel; of its teeth those that carry compound are outlined, and what both
found can be trusted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search import tooth_shape as shape
from patternscan.seeing.outline_search.image_features import (
    WORKING_SIZE_PX,
    Evidence,
    Map,
    gather_evidence,
    looked_up,
    photo_pixels,
    reduced,
)
from patternscan.seeing.outline_search.pose_hypotheses import best_view, focal_px, tightened
from patternscan.seeing.outline_search.refinement import refine_outlines
from patternscan.seeing.outline_search.view_score import score_views, tip_support

Floats = NDArray[np.float64]

TRUSTED_CONFIDENCE = 0.5
"""Least confidence of an outline that is used unasked. In eight searches without gear data through 34 rendered
photographs 45 of 56 outlines with 0.5 to 0.6 overlapped with the true ones by 0.8 and more, 53 by 0.7 and more."""
RUNS = 2
"""Independent searches; what both find can be trusted. Side by side they take as long as one after the other."""
KNOWN_DOUBT = ((0.53, 0.03), (0.8, 0.125))
UNKNOWN_DOUBT = ((0.5, 0.2), (0.6, 0.34), (0.56, 0.11))
"""Of score, agreement, and without gear data the support of the tip edge: where each speaks neither for nor against a
view, and the step by which it does; set on rendered photographs whose outlines are known."""
SUREST_UNKNOWN = 0.95
"""Most confidence without gear data."""
EDGE_POINTS, END_POINTS = 21, 7
TOOTH_ROUNDS = 9
"""In which each blued tooth of the best view is drawn tight by itself."""
TEETH_LOOKED_AT = (-3, -2, -1, 0, 1, 2, 3)
LEAST_METAL_PX = 400
LEAST_COMPOUND, LEAST_COMPOUND_SHARE, ENOUGH_COMPOUND = 0.03, 0.55, 0.08
"""Compound on a blued tooth: part of the flank, of what the fullest tooth carries, and what leaves no doubt."""
LEAST_IN_PICTURE = 0.9


def find_outlines(photo: Photo, flank: Flank, tip: PictureSide, pair: WormPair | None = None) -> tuple[Outline, ...]:
    """The blued flanks found with trust, best first, their teeth numbered so; a known ``pair`` helps. Raises
    NoTrustworthyOutline for none.
    """
    trusted = tuple(o for o in _guesses(photo, flank, tip, pair) if o.confidence >= TRUSTED_CONFIDENCE)
    if not trusted:
        raise NoTrustworthyOutline(
            f"The outline of the flank could not be found in {photo.name} with enough certainty.",
            "Mark it by hand on the page that 'patternscan outline PHOTO' writes, or take the photo nearer, sharper "
            "and with the whole tooth in view." + (" Check the gear data on the sheet." if pair is not None else ""),
        )
    return tuple(replace(outline, tooth=str(number)) for number, outline in enumerate(trusted, 1))


def best_guess(photo: Photo, flank: Flank, tip: PictureSide) -> Outline | None:
    """The likeliest outline, however unsure, to start from by hand; None when nothing looks like a tooth."""
    return next(iter(_guesses(photo, flank, tip)), None)


def _guesses(photo: Photo, flank: Flank, tip: PictureSide, pair: WormPair | None = None) -> tuple[Outline, ...]:
    """Outlines of the blued flanks, best first."""
    picture = reduced(photo, tip)
    evidence = gather_evidence(picture, shape.bounds(pair))
    if evidence.metal.sum() < LEAST_METAL_PX:
        return ()
    runs = [best_view(evidence, np.random.default_rng(seed)) for seed in range(RUNS)]
    (other, _), (view, _) = sorted(runs, key=lambda pair: pair[1])
    found = _tightened_teeth(view, other, evidence) if pair is None else _scored_teeth(view, other, evidence)
    sure = [(seen, _confidence(seen, against, score, evidence, pair is not None)) for seen, against, score in found]
    guesses = (_checked(_edges(seen, flank), flank, confidence) for seen, confidence in sure)
    rough = [outline for outline in guesses if outline is not None]
    tight = rough if pair is None else refine_outlines(rough, pair, evidence)
    outlines = (_in_photo(outline, photo, tip) for outline in tight)
    return tuple(sorted((o for o in outlines if o is not None), key=_worth, reverse=True))


def _tightened_teeth(view: Floats, other: Floats, evidence: Evidence) -> list[tuple[Floats, Floats, float]]:
    """Blued teeth of the best view drawn tight, each with the view it has to agree with, and its score."""
    tight = (
        tightened([start], evidence, np.random.default_rng(RUNS), TOOTH_ROUNDS)
        for start in _blued_teeth(view, evidence)
    )
    return [(seen, other, score) for seen, score in tight]


def _scored_teeth(view: Floats, other: Floats, evidence: Evidence) -> list[tuple[Floats, Floats, float]]:
    """The same for the blued teeth of both views as they are; gear data will draw them tight."""
    teeth = [(seen, b) for a, b in ((view, other), (other, view)) for seen in _blued_teeth(a, evidence)]
    scores = score_views(np.stack([seen for seen, _ in teeth]), evidence, thorough=True)
    return [(seen, against, float(score)) for (seen, against), score in zip(teeth, scores, strict=True)]


def _worth(outline: Outline) -> float:
    """What puts outlines in order: to be sure of the flank, and to see it large."""
    return outline.confidence * float(np.sqrt(outline.area_px))


def _blued_teeth(view: Floats, evidence: Evidence) -> list[Floats]:
    """Views (12,) of the teeth that carry compound and lie in the picture; of the middle one when none does."""
    amounts = {tooth: _compound_on(view, tooth, evidence) for tooth in TEETH_LOOKED_AT}
    most = max(amounts.values())
    teeth = [
        tooth for tooth, amount in amounts.items() if most > LEAST_COMPOUND and amount > LEAST_COMPOUND_SHARE * most
    ] or [0]
    return [shape.turned_to_tooth(view, tooth, focal_px(evidence)) for tooth in teeth]


def _compound_on(view: Floats, tooth: int, evidence: Evidence) -> float:
    """Part of a tooth's flank that looks like compound; zero where much of the flank lies outside the picture."""
    rows, cols = evidence.compound.shape
    seen = shape.seen_points(view[None], shape.flank_patch(tooth, 6, 16), focal_px(evidence))[0]
    whole = ((seen > 0) & (seen < [cols, rows])).all(axis=1).mean()
    return float(looked_up(evidence.compound, *_columns(seen)).mean()) if whole > LEAST_IN_PICTURE else 0.0


def _columns(points: Floats) -> tuple[Map, Map]:
    """Points (n, 2) as x and y (1, n), to look up."""
    x, y = points.T[:, None].astype(np.float32)
    return x, y


def _agreement(view: Floats, other: Floats, evidence: Evidence) -> float:
    """Overlap over union of the view's middle flank and the likest flank of another view, 0..1."""
    own = _filled(view, 0, evidence)
    return max(_overlap(own, _filled(other, tooth, evidence)) for tooth in TEETH_LOOKED_AT)


def _overlap(one: NDArray[np.uint8], other: NDArray[np.uint8]) -> float:
    """Pixels of both masks over pixels of either, 0..1."""
    both = cv2.countNonZero(cv2.bitwise_and(one, other))
    return both / max(1, cv2.countNonZero(one) + cv2.countNonZero(other) - both)


def _filled(view: Floats, tooth: int, evidence: Evidence) -> NDArray[np.uint8]:
    """1 on the picture's pixels (rows, cols) that one flank of a view covers."""
    root, tip = (shape.lengthwise_line(up, tooth, 1, EDGE_POINTS) for up in (0.0, 1.0))
    border = shape.seen_points(view[None], np.vstack([root, tip[::-1]]), focal_px(evidence))[0]
    covered = np.zeros(evidence.compound.shape, dtype=np.uint8)
    cv2.fillPoly(covered, [np.rint(border).astype(np.int32)], 1)
    return covered


def _checked(edges: dict[str, Edge], flank: Flank, confidence: float) -> Outline | None:
    """The outline of a found flank; None when its edges make no flank."""
    try:
        return checked_outline(edges, flank, source=OutlineSource.FOUND, confidence=confidence)
    except (NoTrustworthyOutline, InconsistentInputs):
        return None


def _edges(view: Floats, flank: Flank) -> dict[str, Edge]:
    """The four edges of a view's middle tooth by name; end A is on the left of a right flank (contract, section 1)."""
    first, last = (0.5, -0.5) if flank is Flank.RIGHT else (-0.5, 0.5)
    step = 1 if first < last else -1
    places = {
        "root": shape.lengthwise_line(0.0, 0, 1, EDGE_POINTS)[::step],
        "tip": shape.lengthwise_line(1.0, 0, 1, EDGE_POINTS)[::step],
        "end_a": shape.end_line(first, 0, END_POINTS),
        "end_b": shape.end_line(last, 0, END_POINTS),
    }
    focal = shape.FOCAL_LENGTH * WORKING_SIZE_PX
    return {name: shape.seen_points(view[None], p, focal)[0] for name, p in places.items()}


def _in_photo(outline: Outline, photo: Photo, tip: PictureSide) -> Outline | None:
    """An outline in working pixels as one in the photo's own; None when it is no flank there."""
    edges = {name: photo_pixels(getattr(outline, name), photo, tip) for name in EDGE_NAMES}
    return _checked(edges, outline.flank, outline.confidence)


def _confidence(view: Floats, against: Floats, score: float, evidence: Evidence, known: bool) -> float:
    """Chance that the view's outline covers the flank well (overlap over union above 0.8).

    The view's score and a second, independent search that found the same must come together. With gear data edges
    and compound are asked later; without, the tip edge, which is seen best of all, and the compound speak too.
    """
    signs = [score, _agreement(view, against, evidence)]
    if known:
        return _chance(signs, KNOWN_DOUBT)
    blued = min(1.0, _compound_on(view, 0, evidence) / ENOUGH_COMPOUND)
    return SUREST_UNKNOWN * blued * _chance([*signs, tip_support(view, evidence)], UNKNOWN_DOUBT)


def _chance(signs: Sequence[float], doubts: Sequence[tuple[float, float]]) -> float:
    doubt = sum((usual - sign) / step for sign, (usual, step) in zip(signs, doubts, strict=True))
    return float(1 / (1 + np.exp(doubt)))
