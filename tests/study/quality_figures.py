"""What is said of the quality of photographs that were spoiled by degrees, across every limit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from itertools import cycle, product

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import checked_outline
from patternscan.seeing.geometry.placed_flank import PlacedFlank, place_flank
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.quality.detected_occlusion import detect_occlusion
from patternscan.seeing.quality.light import FlankLight, light_of
from patternscan.seeing.quality.photo_quality import judge_condition, judge_light
from patternscan.seeing.quality.surroundings import look_round
from tests.benchmarks.scenes import scene
from tests.study.photographed import outline_of

NAMES = ("dev003_check_P", "dev004_check_M", "dev009_single_M")
"""Photographs of three machines, blue and yellow, painted and printed."""
COVERS = ((205, 150, 125), (45, 48, 56), (215, 212, 205), (150, 120, 90), (17, 17, 18))
"""Colours of skin, a glove, white cloth, something of the colour of bronze, and black rubber."""

Numbers = NDArray[np.float64]


@cache
def placed(name: str) -> PlacedFlank:
    """A photograph's flank, as it was taken."""
    one = scene("dev", name)
    return place_flank(load_photo(one.photo), outline_of(one), None)


def photo_quality_figures() -> dict[str, float]:
    """How often each caution is given on photographs ever more blurred, small, aslant, uneven, cut off or ill lit."""
    spoiled = (*_blurred(), *_small(), *_aslant(), *_uneven(), *_cut(), *_at_border())
    condition = _counted(caution for one in spoiled for caution in judge_condition(one))
    return condition | _counted(caution for one in _light() for caution in judge_light(one))


def light_figures() -> dict[str, float]:
    """What can be read of flanks ever darker, brighter, more burnt out and under more glare, and what light is left."""
    lights = [light_of(one) for one in _lit()]
    return {
        "judged": float(np.mean([one.judged.mean() for one in lights])),
        "light left": float(np.mean([one.linear.mean() for one in lights])),
    }


def occlusion_figures() -> dict[str, float]:
    """Cautions on flanks ever more covered; how much of them, and of whole ones in the dark, is taken for covered."""
    found = [detect_occlusion(one, look_round(one)) for one in _covered()]
    dark = [detect_occlusion(one, look_round(one)) for one in _torch_lit()]
    return _counted(caution for _, told in found for caution in told) | {
        "part taken for covered": float(np.mean([cells.mean() for cells, _ in found])),
        "part taken for covered in the dark": float(np.mean([cells.mean() for cells, _ in dark])),
    }


def _counted(cautions: Iterable[Caution]) -> dict[str, float]:
    return {code: float(count) for code, count in Counter(one.code for one in cautions).items()}


@cache
def _blurred() -> tuple[PlacedFlank, ...]:
    return tuple(
        replace(one, photo=Photo(one.photo.name, np.asarray(cv2.GaussianBlur(one.photo.pixels, (0, 0), width))))
        for one in map(placed, NAMES)
        for width in np.linspace(0.01, 0.3, 16) * one.rectified.height_px
    )


def _sized(width_px: float, height_px: float) -> PlacedFlank:
    one = placed(NAMES[0])
    return replace(one, rectified=replace(one.rectified, width_px=width_px, height_px=height_px))


def _small() -> Iterator[PlacedFlank]:
    yield from (_sized(width_px, 120.0) for width_px in np.linspace(100, 320, 23))
    yield from (_sized(600.0, height_px) for height_px in np.linspace(4, 64, 31))


def _aslant() -> Iterator[PlacedFlank]:
    one = placed(NAMES[0])
    middle = one.border.mean(axis=0)
    yield from (replace(one, border=middle + (one.border - middle) * size) for size in np.linspace(0.3, 1, 36))


def _uneven() -> Iterator[PlacedFlank]:
    """Ever lower toward end B."""
    one = placed(NAMES[0])
    middle = one.cells_px.mean(axis=0, keepdims=True)
    for least in np.linspace(0.1, 1, 31):
        height = np.linspace(1, least, one.cells_px.shape[1])[None, :, None]
        yield replace(one, cells_px=(middle + (one.cells_px - middle) * height).astype(np.float32))


def _cut() -> Iterator[PlacedFlank]:
    one = placed(NAMES[0])
    for columns in range(0, 120, 3):
        seen = one.rectified.seen.copy()
        seen[:, :columns] = False
        yield replace(one, rectified=replace(one.rectified, seen=seen))


def _at_border() -> Iterator[PlacedFlank]:
    """The left border of the photo nearer and nearer to end A of a right flank."""
    one = placed(NAMES[0])
    for off in np.linspace(0.25, 5, 20):
        corners = {"root": [(off, 90), (200, 90)], "tip": [(off, 20), (200, 20)]}
        ends = {"end_a": [(off, 90), (off, 20)], "end_b": [(200, 90), (200, 20)]}
        edges = {name: np.array(edge, dtype=float) for name, edge in (corners | ends).items()}
        yield replace(one, outline=checked_outline(edges, Flank.RIGHT))


@cache
def _light() -> tuple[FlankLight, ...]:
    return tuple(light_of(one) for one in _lit())


@cache
def _lit() -> tuple[RectifiedFlank, ...]:
    return tuple(light for name in NAMES for light in _relit(placed(name).rectified))


def _relit(flank: RectifiedFlank) -> Iterator[RectifiedFlank]:
    """Darker and brighter, half in shade, with a burnt-out spot that grows, and under glare of all sizes."""
    linear = (flank.pixels / 255.0) ** 2.2
    rows, cols = np.mgrid[0 : linear.shape[0], 0 : linear.shape[1]]
    off = np.hypot((cols / linear.shape[1] - 0.45) * 2, rows / linear.shape[0] - 0.5)[..., None]
    from_corner = np.hypot(cols / linear.shape[1] * 2, rows / linear.shape[0])[..., None]
    shaded = (cols > 0.4 * linear.shape[1])[..., None]
    grey = linear.mean(axis=2, keepdims=True)
    for gain in np.geomspace(0.001, 16, 40):
        yield _shown(flank, linear * gain)
        yield _shown(flank, np.where(shaded, gain * linear, linear))
    for size in (*np.linspace(0, 0.2, 21), *np.linspace(0.25, 0.9, 14)):
        yield _shown(flank, np.where(off < size, 1.0, linear))
    for size in np.linspace(0.04, 0.3, 27):
        yield _shown(flank, linear + 0.6 * np.exp(-((from_corner / size) ** 2)))
        yield _shown(flank, 0.2 * linear + 0.8 * grey + 0.4 * np.exp(-((off / size) ** 2)))
    for size, strength in product((0.06, 0.1, 0.2, 0.35), (0.1, 0.15, 0.2, 0.25, 0.3, 0.5, 0.8)):
        yield _shown(flank, linear + strength * np.exp(-((off / size) ** 2)))
    for sharpness in (4, 8, 16, 32):
        yield _shown(flank, linear + 0.5 / (1 + np.exp(sharpness * np.clip((off - 0.3) * 10, -20, 20) / 4)))


def _shown(flank: RectifiedFlank, linear: Numbers) -> RectifiedFlank:
    return replace(flank, pixels=(np.clip(linear, 0, 1) ** (1 / 2.2) * 255).round().astype(np.uint8))


@cache
def _covered() -> tuple[PlacedFlank, ...]:
    """Something before an end or the middle of the flank, evenly lit or not; dark photographs too."""
    parts = [(-9.0, reach) for reach in (0.03, 0.06, 0.15, 0.22, 0.28, 0.34)] + [(0.4, 0.5), (0.4, 0.7)]
    folds = cycle((0.0, 0.05, 0.1, 0.2, 0.3))
    lit = [_cover(placed(name), part, (colour, next(folds))) for name, part, colour in product(NAMES, parts, COVERS)]
    part = (-9.0, 0.15)
    folded = [_cover(placed(name), part, (colour, 0.1)) for name, colour in product(NAMES, COVERS)]
    gains = product(np.linspace(0.02, 0.6, 20), (0.0, 0.1, 0.2))
    dark = [_cover(placed(NAMES[0]), part, (COVERS[0], depth), gain) for gain, depth in gains]
    plain = _cover(placed(NAMES[0]), part, (COVERS[0], 0.0))
    return (*lit, *folded, *dark, *(_partly_hidden(plain, columns) for columns in range(0, 128, 2)))


def _partly_hidden(one: PlacedFlank, columns: int) -> PlacedFlank:
    """The same, known beforehand to be hidden as far as so many columns from end A."""
    occluded = one.occluded.copy()
    occluded[:, :columns] = True
    return replace(one, occluded=occluded)


def _cover(
    one: PlacedFlank, part: tuple[float, float], look: tuple[tuple[int, int, int], float], gain: float = 1.0
) -> PlacedFlank:
    """The photo with something before it from one place along the face to another, far beyond root and tip.

    ``look``: its colour, and how deep its folds are (standard deviation of brightness, as a part of it).
    """
    colour, depth = look
    rows, cols = np.mgrid[0 : one.photo.height_px, 0 : one.photo.width_px]
    first, face = _face(one)
    along = ((cols - first[0]) * face[0] + (rows - first[1]) * face[1]) / (face @ face)
    inside = (np.clip((along - part[0]) / 0.01, 0, 1) * np.clip((part[1] - along) / 0.01, 0, 1))[..., None]
    chance = np.random.default_rng(3)
    folds = cv2.GaussianBlur(chance.normal(0, 1, rows.shape), (0, 0), 8)[..., None]
    front = np.array(colour) * (1 + depth * folds / folds.std()) + chance.normal(0, 3, one.photo.pixels.shape)
    seen = gain * (inside * front + (1 - inside) * one.photo.pixels)
    return replace(one, photo=Photo(one.photo.name, np.clip(seen, 0, 255).astype(np.uint8)))


def _face(one: PlacedFlank) -> tuple[Numbers, Numbers]:
    """Where the middle of the flank begins at end A, and the way from there to end B, in pixels (x, y)."""
    middle = one.cells_px[len(one.cells_px) // 2].astype(np.float64)
    return middle[0], middle[-1] - middle[0]


@cache
def _torch_lit() -> tuple[PlacedFlank, ...]:
    """Whole flanks by torchlight that falls on a part of them, as through an inspection port."""
    return tuple(
        torch_lit(placed(name), at, width) for name, at, width in product(NAMES, (0.2, 0.65), (0.15, 0.25, 0.5))
    )


def torch_lit(one: PlacedFlank, at: float, width: float) -> PlacedFlank:
    """The photo as if a torch alone lit it at a place along the face, so many face widths wide (standard deviation).

    Little light has much noise: as if 150 electrons made white, and 2 were counted too many or too few in the dark.
    """
    rows, cols = np.mgrid[0 : one.photo.height_px, 0 : one.photo.width_px]
    first, face = _face(one)
    middle = first + at * face
    off = np.hypot(cols - middle[0], rows - middle[1]) / np.linalg.norm(face)
    lit = SRGB_TO_LINEAR[one.photo.pixels] * (0.003 + np.exp(-((off / width) ** 2) / 2))[..., None]
    noisy = lit + np.random.default_rng(3).normal(0, 1, lit.shape) * np.sqrt(lit * 150 + 2**2) / 150
    pixels = np.interp(noisy, SRGB_TO_LINEAR, np.arange(256)).round().astype(np.uint8)
    return replace(one, photo=Photo(one.photo.name, pixels))
