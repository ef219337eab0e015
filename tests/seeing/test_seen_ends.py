"""Ends that lean another way than usual are moved in to where the net stops seeing the flank."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import End, Flank
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.outline_search.closer_look import FoundFlank
from patternscan.seeing.outline_search.finder_net import SIZE_PX, STEP
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import find_outlines
from patternscan.seeing.outline_search.seen_ends import with_ends_seen
from patternscan.seeing.outline_search.seen_teeth import UNIT_CORNERS, SeenFlank
from patternscan.seeing.outline_search.window import Window
from tests.benchmarks.found import best_overlap, marked_borders
from tests.benchmarks.scenes import scene

Floats = NDArray[np.float64]

SIZE = (640, 700)
WIDTH = 340.0
CELL = 2 * STEP / WIDTH
"""What one cell of the net's maps stands for here, face widths."""
NEAR = SeenFlank(UNIT_CORNERS, 1.0, UNIT_CORNERS, UNIT_CORNERS, np.ones(4))


def outlined(tip_a: float = 0.0, tip_b: float = 0.0) -> Outline:
    """A right flank with the tip up, the corners of its tip so many face widths further out."""
    corners = {"ra": (150.0, 400.0), "rb": (490.0, 400.0), "tb": (490 + tip_b * WIDTH, 250.0)}
    corners["ta"] = (150 - tip_a * WIDTH, 250.0)
    ends = {"root": ("ra", "rb"), "tip": ("ta", "tb"), "end_a": ("ra", "ta"), "end_b": ("rb", "tb")}
    edges = {name: np.linspace(corners[first], corners[last], 9) for name, (first, last) in ends.items()}
    return checked_outline(edges, Flank.RIGHT, source=OutlineSource.FOUND, confidence=0.9)


def seen(*borders: Floats, without: Floats | None = None, **window: bool) -> FoundFlank:
    """A look at a photo that shows flanks within borders (n, 2), but not within another one."""
    there = Window(320.0, 330.0, 640.0, PictureSide.UP, **window)
    shown = np.zeros(SIZE[::-1], np.uint8)
    for border in borders:
        cv2.fillPoly(shown, [np.rint(border).astype(np.int32)], 1)
    if without is not None:
        cv2.fillPoly(shown, [np.rint(without).astype(np.int32)], 0)
    cells = STEP * np.stack(np.meshgrid(*2 * [np.arange(SIZE_PX // STEP)]), axis=-1).astype(np.float64)
    x, y = np.moveaxis(there.in_photo(cells).astype(np.float32), -1, 0)
    share = cv2.remap(shown.astype(np.float32), x, y, cv2.INTER_LINEAR)
    return FoundFlank(there, np.zeros((SIZE_PX, SIZE_PX, 3), np.uint8), NEAR, 1.0, np.asarray(share, np.float32))


def both_looks(*borders: Floats, without: Floats | None = None) -> tuple[FoundFlank, FoundFlank]:
    return seen(*borders, without=without), seen(*borders, without=without, mirrored=True)


@pytest.mark.parametrize("end", list(End))
def test_an_end_drawn_too_square_leans_as_it_is_seen(end: End) -> None:
    """Its corner at the root stays, its corner at the tip moves in; the other end stays as it is."""
    leaning = {End.A: outlined(tip_a=-0.1), End.B: outlined(tip_b=-0.1)}[end]
    square = outlined()
    found = with_ends_seen(square, both_looks(leaning.border), SIZE)
    for name in EDGE_NAMES:
        assert np.abs(getattr(found, name)[[0, -1]] - getattr(leaning, name)[[0, -1]]).max() / WIDTH < CELL
    other = "end_b" if end is End.A else "end_a"
    np.testing.assert_array_equal(getattr(found, other), getattr(square, other))
    assert (found.source, found.confidence) == (OutlineSource.FOUND, 0.9)


def test_both_ends_may_lean() -> None:
    leaning = outlined(-0.1, -0.06)
    found = with_ends_seen(outlined(), both_looks(leaning.border), SIZE)
    assert np.abs(found.tip[[0, -1]] - leaning.tip[[0, -1]]).max() / WIDTH < CELL


def test_an_end_at_its_place_stays() -> None:
    outline = outlined()
    assert with_ends_seen(outline, both_looks(outline.border), SIZE) is outline


def test_an_end_is_never_moved_out() -> None:
    """There the photo's edges tell more: a tooth behind this one may be taken for the same flank."""
    outline = outlined()
    assert with_ends_seen(outline, both_looks(outlined(0.08, 0.08).border), SIZE) is outline


def test_the_next_tooth_beyond_an_end_is_passed_over() -> None:
    leaning, outline = outlined(tip_b=-0.1), outlined()
    beyond = np.array([[480.0, 240.0], [560.0, 240.0], [560.0, 262.0], [480.0, 262.0]])
    found = with_ends_seen(outline, both_looks(leaning.border, beyond), SIZE)
    assert np.abs(found.tip[-1] - leaning.tip[-1]).max() / WIDTH < 2 * CELL


@pytest.mark.parametrize(
    "hidden",
    [
        np.array([[400.0, 200.0], [640.0, 200.0], [640.0, 450.0], [400.0, 450.0]]),
        np.array([[480.0, 300.0], [640.0, 200.0], [640.0, 450.0], [400.0, 420.0]]),
        np.array([[400.0, 325.0], [640.0, 200.0], [640.0, 450.0]]),
    ],
    ids=["much of the face", "a corner of the root", "a finger's tip"],
)
def test_an_end_with_something_before_it_stays(hidden: Floats) -> None:
    outline = outlined()
    assert with_ends_seen(outline, both_looks(outline.border, without=hidden), SIZE) is outline


def test_an_end_beyond_the_photo_stays() -> None:
    """The photo stops 8 % of the face before end B, and so does the flank that is seen."""
    outline, last = outlined(), round(490 - 0.08 * WIDTH)
    beyond = np.array([[last, 0.0], [640.0, 0.0], [640.0, 700.0], [last, 700.0]])
    assert with_ends_seen(outline, both_looks(outline.border, without=beyond), (last + 1, 700)) is outline


@pytest.mark.parametrize("tip", list(PictureSide))
@pytest.mark.parametrize("mirrored", [False, True])
def test_a_windows_picture_and_the_photo_lead_back_to_each_other(tip: PictureSide, mirrored: bool) -> None:
    window, pixels = Window(301.0, 77.5, 250.0, tip, 192, mirrored), np.array([[10.0, 20.0], [300.0, 5.0]])
    np.testing.assert_allclose(window.in_picture(window.in_photo(pixels)), pixels, atol=1e-9)


def test_the_leaning_ends_of_photographs_are_found() -> None:
    """Of both teeth end B leans so that its corner at the tip lies 5 and 12 % of the face further in than usual."""
    one = scene("dev", "n_dev000_before_P")
    photo = load_photo(one.photo)
    found = find_outlines(photo, Flank(one.truth["flank"]), Hint(PictureSide(one.truth["tip"])))
    assert min(best_overlap(outline, marked_borders(one), photo) for outline in found) > 0.92
