"""Refining outlines in a picture of a known wheel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand
from patternscan.gearing.wheel_flank import cut_flank
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.gear_refinement import refine_outlines, rivals, supported_confidence
from patternscan.seeing.outline_search.image_features import ImageFeatures, image_features
from patternscan.seeing.outline_search.search import find_outlines
from tests.seeing.wheel_pictures import PAIR, SIZE, camera, filled, grained, true_edges, wheel_picture

Floats = NDArray[np.float64]
BLUED = (0, 1)


def wheel() -> ImageFeatures:
    return image_features(wheel_picture())


def tooth_mask(tooth: int) -> NDArray[np.bool_]:
    """The picture's pixels on one flank, from the grid's outermost points."""
    seen = camera().see(cut_flank(PAIR, Flank.RIGHT).points(tooth))
    return filled(np.vstack([seen[0], seen[:, -1], seen[-1][::-1], seen[::-1, 0]]))


def guess(shift: tuple[float, float], size: float) -> Outline:
    """The true outline moved by parts of its width and enlarged, as a search may leave it."""
    edges = true_edges()
    middle = np.vstack([edges["root"], edges["tip"]]).mean(axis=0)
    width = np.linalg.norm(edges["root"][0] - edges["root"][-1])
    moved = {name: middle + size * (points - middle) + width * np.array(shift) for name, points in edges.items()}
    return checked_outline(moved, Flank.RIGHT, source=OutlineSource.FOUND, confidence=0.5)


def overlap(outline: Outline) -> float:
    truth = checked_outline(true_edges(), Flank.RIGHT)
    own, other = filled(outline.border), filled(truth.border)
    return float((own & other).sum() / (own | other).sum())


@pytest.mark.parametrize(("shift", "size"), [((0.03, 0.0), 1.0), ((-0.02, 0.03), 0.95), ((0.0, -0.02), 1.06)])
def test_the_outline_comes_to_lie_on_the_edges(shift: tuple[float, float], size: float) -> None:
    rough = guess(shift, size)
    tight = refine_outlines([rough], PAIR, wheel())[0]
    assert overlap(rough) < 0.92 < 0.94 < overlap(tight)
    assert tight.confidence > 0.5
    assert (tight.flank, tight.tooth, tight.source) == (rough.flank, rough.tooth, rough.source)


def test_the_blued_teeth_beside_are_outlined_too_and_no_others() -> None:
    outlines = refine_outlines([guess((0.02, 0.0), 1.0)], PAIR, wheel())
    assert len(outlines) == len(BLUED)
    for outline, tooth in zip(outlines, BLUED, strict=True):
        own, other = filled(outline.border), tooth_mask(tooth)
        assert (own & other).sum() / (own | other).sum() > 0.85


def test_with_gear_data_the_search_finds_the_blued_flank_in_front() -> None:
    outlines = find_outlines(Photo("drawn.png", wheel_picture()), Flank.RIGHT, PictureSide.UP, PAIR)
    assert overlap(outlines[0]) > 0.9
    assert [outline.tooth for outline in outlines] == [str(k + 1) for k in range(len(BLUED))]


def test_a_sheet_with_the_wrong_hand_is_not_trusted() -> None:
    wrong = replace(PAIR, hand=Hand.LEFT)
    assert all(outline.confidence <= 0.5 for outline in refine_outlines([guess((0.02, 0.0), 1.0)], wrong, wheel()))


def test_without_edges_the_outline_stays_and_is_not_trusted_more() -> None:
    bare = image_features(grained(np.full((*SIZE[::-1], 3), 130, dtype=np.float32)))
    rough = guess((0.03, 0.0), 1.0)
    (same,) = refine_outlines([rough], PAIR, bare)
    assert same.confidence <= rough.confidence
    for name in EDGE_NAMES:
        np.testing.assert_array_equal(getattr(same, name), getattr(rough, name))


def test_support_speaks_for_an_outline_and_its_lack_against_it() -> None:
    by_support = [supported_confidence(0.5, support) for support in (0.3, 0.4, 0.5, 0.6)]
    assert by_support == sorted(by_support)
    assert by_support[0] < 0.5 < by_support[-1]
    assert supported_confidence(0.2, 0.5) < supported_confidence(0.6, 0.5)
    assert supported_confidence(0.0, 0.6) == 0.0


def test_rivals_differ_in_face_width_or_module_and_can_exist() -> None:
    wheels = rivals(PAIR)
    assert len(wheels) >= 3
    assert all((one.face_width_mm == PAIR.face_width_mm) != (one.module_mm == PAIR.module_mm) for one in wheels)


@pytest.mark.parametrize("change", [{"face_width_mm": 0.85 * 29.0}, {"module_mm": 0.8 * 4.0}])
def test_a_sheet_with_wrong_proportions_is_trusted_less(change: dict[str, float]) -> None:
    right, wrong = (
        refine_outlines([guess((0.02, 0.0), 1.0)], pair, wheel())[0].confidence
        for pair in (PAIR, replace(PAIR, **change))  # type: ignore[arg-type]
    )
    assert wrong < 0.5 < 0.9 < right
