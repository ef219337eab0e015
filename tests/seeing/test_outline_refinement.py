"""Drawing outlines tight in a picture of a known wheel, painted tooth by tooth through a known camera.

The pair is of ordinary proportions (common practice): module 4, two starts, 40 teeth.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, WormPair
from patternscan.gearing.wheel_flank import cut_flank, flank_edges
from patternscan.seeing.camera import Camera
from patternscan.seeing.outline import EDGE_NAMES, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.outline_evidence import Evidence, gather_evidence
from patternscan.seeing.outline_refinement import refine_outlines, supported_confidence
from patternscan.seeing.outline_search import find_outlines
from patternscan.seeing.photo import Photo
from patternscan.seeing.tooth_shape import bounds

Floats = NDArray[np.float64]

PAIR = WormPair(module_mm=4.0, starts=2, teeth=40, worm_diameter_mm=40.0, face_width_mm=29.0)
SIZE = (640, 480)
NOISE_SEED = 3
BLUED = (0, 1)


@cache
def camera() -> Camera:
    """Looks at the middle of the right flank, off its normal, from 100 mm; the tip points up."""
    flank = cut_flank(PAIR, Flank.RIGHT)
    middle = flank.points()[24, 48]
    normal = flank.normals()[24, 48]
    tip_way = middle / np.linalg.norm(middle)
    sight = normal + 0.45 * tip_way + np.array([0, 0, 0.1])
    sight /= np.linalg.norm(sight)
    down = -(tip_way - (tip_way @ sight) * sight)
    down /= np.linalg.norm(down)
    rotation = np.stack([np.cross(down, -sight), down, -sight])
    return Camera(rotation, -rotation @ (middle + 100 * sight), 1.3 * 640, (np.array(SIZE) - 1) / 2)


def filled(border: Floats) -> NDArray[np.bool_]:
    mask = np.zeros(SIZE[::-1], dtype=np.uint8)
    cv2.fillPoly(mask, [np.rint(border).astype(np.int32)], 1)
    return mask > 0


def wheel() -> Evidence:
    return gather_evidence(wheel_picture(), bounds(PAIR))


@cache
def wheel_picture() -> NDArray[np.uint8]:
    """Bronze flanks and brighter lands in dark spaces, the far teeth first; a blue print on two flanks."""
    picture = np.full((*SIZE[::-1], 3), (70, 50, 32), dtype=np.float32)
    flank, rear = cut_flank(PAIR, Flank.RIGHT), cut_flank(PAIR, Flank.LEFT)
    for tooth in (2, 1, 0, -1, -2):
        front, back = (camera().see(side.points(tooth + shift)) for side, shift in ((flank, 0), (rear, 1)))
        land = np.vstack([front[0], back[0][::-1]])
        border = np.vstack([front[0], front[:, -1], front[-1][::-1], front[::-1, 0]])
        print_border = np.vstack([front[12, 30:66], front[36, 30:66][::-1]])
        shapes = ((land, (236, 200, 150)), (border, (176, 120, 66)), (print_border, (40, 70, 160)))
        for shape, colour in shapes[: 3 if tooth in BLUED else 2]:
            cv2.fillPoly(picture, [np.rint(shape).astype(np.int32)], colour)
    return grained(picture)


def grained(picture: NDArray[np.float32]) -> NDArray[np.uint8]:
    grain = np.random.default_rng(NOISE_SEED).normal(0, 2, picture.shape)
    return np.clip(cv2.GaussianBlur(picture, (0, 0), 0.8) + grain, 0, 255).astype(np.uint8)


def true_edges() -> dict[str, Floats]:
    return {name: camera().see(points) for name, points in flank_edges(PAIR, Flank.RIGHT).items()}


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
    best = find_outlines(Photo("drawn.png", wheel_picture()), Flank.RIGHT, PictureSide.UP, PAIR)[0]
    assert overlap(best) > 0.9


def test_a_sheet_with_the_wrong_hand_is_not_trusted() -> None:
    wrong = replace(PAIR, hand=Hand.LEFT)
    assert all(outline.confidence <= 0.5 for outline in refine_outlines([guess((0.02, 0.0), 1.0)], wrong, wheel()))


def test_without_edges_the_outline_stays_and_is_not_trusted_more() -> None:
    bare = gather_evidence(grained(np.full((*SIZE[::-1], 3), 130, dtype=np.float32)), bounds(PAIR))
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
