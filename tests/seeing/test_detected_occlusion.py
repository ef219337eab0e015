"""What is laid over an end of a photographed flank is seen for what it is; whole flanks are not called covered.

The covers are painted here: skin, cloth and machine paint as a colour with soft folds and grain, and a soft border.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import Marking
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.mapping import map_outline
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.geometry.placed_flank import PlacedFlank, placed_by
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.quality.detected_occlusion import detect_occlusion
from patternscan.seeing.quality.surroundings import look_round
from patternscan.workflow.read import read_flank
from tests.benchmarks.scenes import scene, scenes
from tests.study.marked import placed_flank
from tests.study.quality_figures import torch_lit

SAMPLES = Path(__file__).parent.parent.parent / "sample_images"
NAMES = sorted(path.name.removesuffix(".outline.json") for path in SAMPLES.glob("*.outline.json"))
NAME = "goods_lift_before_left"
COVERS = {
    "skin": (205, 150, 125),
    "glove": (45, 48, 56),
    "black rubber": (17, 17, 18),
    "white cloth": (215, 212, 205),
    "red cloth": (165, 50, 45),
    "grey paint": (105, 110, 112),
    "green paint": (70, 105, 85),
}


@cache
def sample(name: str) -> tuple[Photo, Outline]:
    return load_photo(SAMPLES / f"{name}.jpg"), read_outline_file(SAMPLES / f"{name}.outline.json").outlines[0]


@cache
def folds_and_grain(rows: int, cols: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Soft folds (rows, cols), one on the average, and grain (rows, cols, 3) in levels, the same on every cover."""
    rng = np.random.default_rng(3)
    folds = cv2.GaussianBlur(rng.normal(0, 1, (rows, cols)).astype(np.float32), (0, 0), 25)
    return 1 + 0.05 * folds.astype(np.float64) / folds.std(), rng.normal(0, 2, (rows, cols, 3))


@cache
def cover(first: float, last: float, colour: tuple[int, int, int], name: str = NAME) -> Photo:
    """The photo with something before the flank and around it, from one place along the face to another."""
    photo, outline = sample(name)
    flank_map = map_outline(outline)
    ends = flank_map.to_photo(np.array([[0.0, 0.5], [1.0, 0.5]]))
    face = ends[1] - ends[0]
    rows, cols = np.mgrid[0 : photo.height_px, 0 : photo.width_px]
    along = ((cols - ends[0][0]) * face[0] + (rows - ends[0][1]) * face[1]) / (face @ face)
    beyond = [-9.0 if first == 0 else first, 9.0 if last == 1 else last]
    inside = np.clip((along - beyond[0]) / 0.01, 0, 1) * np.clip((beyond[1] - along) / 0.01, 0, 1)
    folds, grain = folds_and_grain(photo.height_px, photo.width_px)
    front = np.array(colour) * folds[..., None] + grain
    seen = inside[..., None] * front + (1 - inside[..., None]) * photo.pixels
    return Photo(photo.name, np.clip(seen, 0, 255).astype(np.uint8))


def placed(photo: Photo, outline: Outline) -> PlacedFlank:
    return placed_by(photo, outline, map_outline(outline))


def detected(one: PlacedFlank) -> tuple[NDArray[np.bool_], tuple[Caution, ...]]:
    return detect_occlusion(one, look_round(one))


def covered(photo: Photo, name: str = NAME) -> tuple[NDArray[np.bool_], list[str]]:
    cells, cautions = detected(placed(photo, sample(name)[1]))
    return cells, [caution.code for caution in cautions]


@pytest.mark.parametrize("name", NAMES)
def test_a_whole_flank_is_not_covered(name: str) -> None:
    cells, codes = covered(sample(name)[0], name)
    assert codes == []
    assert not cells.any()


@pytest.mark.parametrize("name", [one.name for one in scenes("port")])
def test_the_dark_behind_the_port_covers_nothing(name: str) -> None:
    assert detected(placed_flank(scene("port", name)))[1] == ()


@pytest.mark.parametrize("name", NAMES[::4])
def test_the_dark_beside_a_torch_covers_nothing(name: str) -> None:
    assert detected(torch_lit(placed(*sample(name)), 0.2, 0.15))[1] == ()


@pytest.mark.parametrize("colour", list(COVERS))
@pytest.mark.parametrize(("first", "last"), [(0.0, 0.2), (0.7, 1.0)])
def test_a_covered_end_is_found(colour: str, first: float, last: float) -> None:
    cells, codes = covered(cover(first, last, COVERS[colour]))
    along = (np.arange(FLAT_COLUMNS) + 0.5) / FLAT_COLUMNS
    under = (along > first + 0.03 * (first > 0)) & (along < last - 0.03 * (last < 1))
    assert codes in (["covered"], ["much-covered"])
    assert cells[:, under].mean() > 0.97
    assert cells[:, (along < first - 0.1) | (along > last + 0.1)].mean() < 0.05


@pytest.mark.parametrize("colour", ["skin", "grey paint"])
def test_a_covered_corner_is_found(colour: str) -> None:
    """The cover's border runs aslant, so that it crosses the end and one of the long edges only."""
    photo, outline = sample(NAME)
    root, tip, end = map_outline(outline).to_photo(np.array([[0.0, 0.2], [0.3, 1.0], [0.0, 1.0]]))
    far = end + 6 * (end - (root + tip) / 2)
    beyond = np.rint([root - 2 * (tip - root), tip + 2 * (tip - root), far]).astype(np.int32)
    mask = cv2.fillPoly(np.zeros(photo.pixels.shape[:2], np.uint8), [beyond], (1,)) > 0
    grain = np.random.default_rng(3).normal(0, 4, photo.pixels.shape)
    pixels = np.where(mask[..., None], np.clip(np.array(COVERS[colour]) + grain, 0, 255), photo.pixels)
    cells, codes = covered(Photo(photo.name, pixels.astype(np.uint8)))
    along, down = np.meshgrid(np.linspace(0, 1, FLAT_COLUMNS), np.linspace(0, 1, FLAT_ROWS))
    place = along / 0.3 + down / 0.8
    assert codes == ["covered"]
    assert cells[place < 0.8].mean() > 0.95
    assert cells[place > 1.4].mean() < 0.02


def test_a_cable_across_the_middle_is_found() -> None:
    cells, codes = covered(cover(0.4, 0.55, (35, 36, 38)))
    assert codes == ["covered"]
    assert cells[:, int(0.43 * FLAT_COLUMNS) : int(0.52 * FLAT_COLUMNS)].mean() > 0.97
    assert cells[:, : int(0.3 * FLAT_COLUMNS)].mean() < 0.02


def test_a_slanting_rod_is_found() -> None:
    """It crosses tip and root at different places of the face, and is darker at its sides, as round things are."""
    photo, outline = sample(NAME)
    at_root, at_tip = map_outline(outline).to_photo(np.array([[0.62, -0.5], [0.68, 1.5]]))
    axis = (at_tip - at_root) / np.linalg.norm(at_tip - at_root)
    rows, cols = np.mgrid[0 : photo.height_px, 0 : photo.width_px]
    aside = np.abs((cols - at_root[0]) * axis[1] - (rows - at_root[1]) * axis[0]) / (0.06 * outline.width_px)
    light = 0.6 + 0.4 * np.sqrt(np.maximum(1 - aside**2, 0))
    rod = np.array(COVERS["grey paint"]) * light[..., None]
    cells, codes = covered(Photo(photo.name, np.where(aside[..., None] < 1, rod, photo.pixels).astype(np.uint8)))
    assert codes == ["covered"]
    assert cells[:, int(0.63 * FLAT_COLUMNS) : int(0.67 * FLAT_COLUMNS)].mean() > 0.97
    assert 0.08 < cells.mean() < 0.25


def test_a_large_cover_allows_no_direction() -> None:
    for last, code in ((0.15, "covered"), (0.4, "much-covered")):
        (caution,) = detected(placed(cover(0.0, last, COVERS["skin"]), sample(NAME)[1]))[1]
        assert caution.code == code
        assert caution["share"] == pytest.approx(last, abs=0.05)


def test_what_is_known_to_be_hidden_is_not_told_twice() -> None:
    under = placed(cover(0.0, 0.2, COVERS["grey paint"]), sample(NAME)[1])
    known = np.zeros_like(under.occluded)
    known[:, : int(0.24 * FLAT_COLUMNS)] = True
    assert detected(replace(under, occluded=known))[1] == ()


@pytest.mark.parametrize("side", [0, 1])
def test_the_border_of_the_photo_covers_nothing(side: int) -> None:
    """Beyond the border nothing is seen, so nothing is known to run on."""
    photo, outline = sample(NAME)
    cut = int(np.quantile(outline.border[:, 1], (0.25, 0.75)[side]))
    edges = {edge: getattr(outline, edge) - [0, cut if side == 0 else 0] for edge in ("root", "tip", "end_a", "end_b")}
    shown = photo.pixels[cut:] if side == 0 else photo.pixels[:cut]
    moved = Outline(flank=outline.flank, tooth=outline.tooth, source=outline.source, confidence=1.0, **edges)
    assert detected(placed(Photo(photo.name, shown.copy()), moved))[1] == ()


def read(photo: Photo) -> Reading:
    return read_flank(photo, sample(NAME)[1], Marking.TRANSFER)


@pytest.mark.parametrize("colour", list(COVERS))
def test_the_reading_leaves_the_cover_out(colour: str) -> None:
    """A cover is read neither as compound nor as metal, and its bracket holds what the whole photo shows."""
    whole, part = read(sample(NAME)[0]).measurement, read(cover(0.75, 1.0, COVERS[colour]))
    assert {"covered", "much-covered"} & {caution.code for caution in part.cautions}
    assert part.measurement.judged_fraction < 0.8
    assert part.measurement.along is not None
    assert whole.along is not None
    assert part.measurement.along.holds(whole.along.value)
    assert part.measurement.along.width > whole.along.width
