"""A rectified flank shows tip up and end A on the left, whatever the picture; places come out where they belong."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.seeing.geometry.mapping import BlendedPatch
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS, RectifiedFlank, cells_in_photo, rectify
from patternscan.seeing.image.photo import Photo

Corners = tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]]

LANDMARKS: list[tuple[str, str, Corners]] = [
    # flank, where the tip points, and root_A, root_B, tip_B, tip_A as seen (pixels, x right, y down)
    ("right", "up", ((60, 220), (460, 230), (440, 100), (70, 90))),
    ("left", "up", ((460, 230), (60, 220), (70, 90), (440, 100))),
    ("right", "down", ((460, 100), (60, 90), (70, 220), (440, 230))),
    ("left", "down", ((60, 90), (460, 100), (440, 230), (70, 220))),
    ("right", "left", ((220, 460), (230, 60), (100, 70), (90, 440))),
    ("left", "left", ((230, 60), (220, 460), (90, 440), (100, 70))),
    ("right", "right", ((100, 60), (90, 460), (220, 440), (230, 70))),
    ("left", "right", ((90, 460), (100, 60), (230, 70), (220, 440))),
]
"""The right flank shows end A on the left when the tip points up (ISO 1122-1 with end face A as the reference face)."""


def outline_through(corners: Corners, flank: Flank) -> Outline:
    root_a, root_b, tip_b, tip_a = corners
    edges = {"root": [root_a, root_b], "tip": [tip_a, tip_b], "end_a": [root_a, tip_a], "end_b": [root_b, tip_b]}
    return checked_outline(edges, flank)


def even_map(outline: Outline) -> BlendedPatch:
    return BlendedPatch(outline.root, outline.tip, outline.end_a, outline.end_b, tip_to_root=1.0)


def laid_flat(pixels: NDArray[np.uint8], outline: Outline) -> RectifiedFlank:
    return rectify(Photo("drawn.png", pixels.copy()), cells_in_photo(even_map(outline)), outline)


def dotted(at: tuple[float, float], shape: tuple[int, int] = (500, 620), radius: float = 9.0) -> NDArray[np.uint8]:
    """A grey picture with one soft-edged red dot at pixel (x, y)."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]]
    inside = np.clip(radius + 0.5 - np.hypot(x - at[0], y - at[1]), 0, 1)[..., None]
    grey, red = np.array([120.0, 120.0, 120.0]), np.array([250.0, 20.0, 20.0])
    return np.asarray(np.rint(grey + inside * (red - grey)), dtype=np.uint8)


def dot_centre(rectified: RectifiedFlank) -> tuple[float, float]:
    """Centroid (row, col) of what is redder than grey."""
    weight = np.clip(rectified.pixels[..., 0].astype(float) - rectified.pixels[..., 1] - 8, 0, None)
    row, col = np.mgrid[0:FLAT_ROWS, 0:FLAT_COLUMNS]
    return float((row * weight).sum() / weight.sum()), float((col * weight).sum() / weight.sum())


@pytest.mark.parametrize(("flank", "tip", "corners"), LANDMARKS)
def test_dot_near_the_tip_at_end_a_comes_out_top_left(flank: str, tip: str, corners: Corners) -> None:
    assert tip in ("up", "down", "left", "right")
    outline = outline_through(corners, Flank(flank))
    tip_a, centre = np.array(corners[3]), np.mean(corners, axis=0)
    x, y = tip_a + 0.2 * (centre - tip_a)
    row, col = dot_centre(laid_flat(dotted((float(x), float(y))), outline))
    assert row < 0.25 * FLAT_ROWS
    assert col < 0.25 * FLAT_COLUMNS


@pytest.mark.parametrize("along", [0.13, 0.5, 0.802])
@pytest.mark.parametrize("up", [0.2, 0.611])
def test_places_come_out_within_half_a_cell(along: float, up: float) -> None:
    """On a parallelogram the place of a pixel is plain linear algebra."""
    root_a, face, height = np.array([70.3, 330.9]), np.array([455.0, 61.0]), np.array([38.0, -190.0])
    corners = (root_a, root_a + face, root_a + face + height, root_a + height)
    outline = outline_through(tuple((float(x), float(y)) for x, y in corners), Flank.RIGHT)  # type: ignore[arg-type]
    x, y = root_a + along * face + up * height
    row, col = dot_centre(laid_flat(dotted((float(x), float(y))), outline))
    assert col == pytest.approx(along * FLAT_COLUMNS - 0.5, abs=0.5)
    assert row == pytest.approx((1 - up) * FLAT_ROWS - 0.5, abs=0.5)


@pytest.mark.parametrize("size", [1, 3, 7])
def test_enlarged_photos_come_out_in_the_same_place(size: int) -> None:
    """Centre of the first pixel is (0, 0): a picture enlarged n times has its places at n * (x + 0.5) - 0.5."""
    corners = np.array([(40, 120), (240, 120), (240, 50), (40, 50)], dtype=float)
    grown = [(float(x), float(y)) for x, y in size * (corners + 0.5) - 0.5]
    outline = outline_through(tuple(grown), Flank.RIGHT)  # type: ignore[arg-type]
    small = dotted((140, 85), shape=(160, 290))
    row, col = dot_centre(laid_flat(small.repeat(size, axis=0).repeat(size, axis=1), outline))
    assert col == pytest.approx(0.5 * FLAT_COLUMNS - 0.5, abs=0.5)
    assert row == pytest.approx(0.5 * FLAT_ROWS - 0.5, abs=0.5)


def test_no_pixel_of_a_large_flank_is_skipped() -> None:
    """A checkerboard finer than the cells must come out as its mean grey, not as a false pattern."""
    y, x = np.mgrid[0:900, 0:3600]
    board = np.where((x + y) % 2 == 0, 220, 60).astype(np.uint8)[..., None].repeat(3, axis=2)
    outline = outline_through(((100, 860), (3500, 850), (3480, 60), (120, 40)), Flank.RIGHT)
    middle = laid_flat(board, outline).pixels[8:-8, 8:-8].astype(float)
    assert middle.mean() == pytest.approx(140, abs=1)
    assert np.abs(middle - 140).max() < 25


def test_long_flanks_keep_their_fineness_across() -> None:
    """Lines along the face, 4 px apart on a flank 256 px high and 4096 px long, stay apart when laid flat."""
    lines = np.where(np.arange(300) // 2 % 2 == 0, 220, 60).astype(np.uint8)
    pixels = np.tile(lines[:, None, None], (1, 4200, 3))
    outline = outline_through(((40, 275.5), (4136, 275.5), (4136, 19.5), (40, 19.5)), Flank.RIGHT)
    profile = laid_flat(pixels, outline).pixels[:, 256, 0].astype(float)
    assert np.ptp(profile[8:-8]) > 100


def test_outside_the_photo_is_not_seen() -> None:
    outline = outline_through(((-100, 180), (300, 180), (300, 80), (-100, 80)), Flank.RIGHT)
    seen = laid_flat(dotted((200, 100), shape=(260, 400)), outline).seen
    columns = np.asarray(seen.all(axis=0))
    assert columns.sum() == pytest.approx(0.75 * FLAT_COLUMNS, abs=1)
    assert not columns[0]
    assert columns[-1]
    assert (seen.any(axis=0) == columns).all()


def test_flank_wholly_outside_is_not_seen_at_all() -> None:
    outline = outline_through(((900, 180), (1300, 180), (1300, 80), (900, 80)), Flank.RIGHT)
    assert not laid_flat(dotted((200, 100), shape=(260, 400)), outline).seen.any()


def test_result_is_read_only_and_keeps_the_size_in_the_photo() -> None:
    outline = outline_through(((60, 180), (360, 180), (360, 80), (60, 80)), Flank.RIGHT)
    rectified = laid_flat(dotted((200, 100), shape=(260, 400)), outline)
    assert (rectified.width_px, rectified.height_px) == (300, 100)
    assert rectified.pixels.shape == (FLAT_ROWS, FLAT_COLUMNS, 3)
    for array in (rectified.pixels, rectified.seen):
        with pytest.raises(ValueError, match="read-only"):
            array[0, 0] = 0
