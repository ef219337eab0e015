"""Image features that speak for the pose of a wheel: edges where the teeth have theirs, compound on the flanks only."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import Photo

Map = NDArray[np.float32]
Numbers = NDArray[np.float64]

WORKING_SIZE_PX = 640
"""Long side of the picture the search works on."""
QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.RIGHT: 1, PictureSide.DOWN: 2, PictureSide.LEFT: 3}
"""Anticlockwise quarter turns that bring the tip up."""
BLUE_SHARE = 0.008
"""Part of the wheel that must look blue for other colours to be left out of account."""
SURELY_BLUE = -4.0
"""Largest b* (CIELAB) of a colour that no bronze has, not even in the shade."""
CHANNEL_WEIGHTS = np.array([[1.0, 0.5, 0.5]])
"""What squared changes of L*, a* and b* (CIELAB) count for in edges."""
SMALL_COPY = 8
"""How much smaller a picture is made for wide blurs."""
LEAST_COMPOUND, LEAST_COMPOUND_SHARE = 0.03, 0.55
"""Compound on a blued tooth: part of the flank, and of what the fullest tooth carries."""
LEAST_IN_PICTURE = 0.9
"""Part of a flank that must lie in the picture for its compound to count."""
HUE_SLOPE = (-0.4, 0.0)
"""Bronze that mirrors bronze grows stronger in colour and redder: change of hue (degrees) per chroma (CIELAB)."""


@dataclass(frozen=True, slots=True, eq=False)
class ImageFeatures:
    """Maps (rows, cols) of a picture whose tip points up.

    ``edges``: see ``edge_map``. ``coarse_edges``: the same, blurred. ``compound``: 0..1, how much a pixel looks like
    compound. ``metal``: 1 on the wheel, 0 elsewhere. ``all_compound``: that of the whole picture, in pixels.
    """

    edges: Map
    coarse_edges: Map
    compound: Map
    metal: Map
    all_compound: float

    @property
    def size_px(self) -> int:
        """Long side."""
        return int(max(self.compound.shape))

    def compound_at(self, points: Numbers) -> float:
        """Mean compound at points (..., 2) of a flank; zero where too much of the flank lies outside the picture."""
        rows, cols = self.compound.shape
        seen = points.reshape(1, -1, 2).astype(np.float32)
        inside = ((seen > 0) & (seen < [cols, rows])).all(axis=-1).mean()
        return float(looked_up(self.compound, seen[..., 0], seen[..., 1]).mean()) if inside > LEAST_IN_PICTURE else 0.0


def reduced(photo: Photo, tip: PictureSide) -> NDArray[np.uint8]:
    """The photo at working size, turned so that the tip points up; reduced by a whole number first, which is quick."""
    width, height = photo.held_px
    scale = WORKING_SIZE_PX / max(width, height)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    whole = max(1, int(1 / scale))
    coarse = (width // whole, height // whole)
    even = photo.pixels[: coarse[1] * whole : 2 if whole > 3 else 1, : coarse[0] * whole]
    small = cv2.resize(cv2.resize(even, coarse, interpolation=cv2.INTER_AREA), size, interpolation=cv2.INTER_AREA)
    return np.ascontiguousarray(np.rot90(small, QUARTER_TURNS[tip]), dtype=np.uint8)


def photo_pixels(points: Numbers, photo: Photo, tip: PictureSide) -> Numbers:
    """Working pixels (n, 2) with the tip up back to the photo's pixels."""
    scale = max(photo.held_px) / WORKING_SIZE_PX
    x, y = ((points + 0.5) * scale - 0.5).T
    right, bottom = (side - 1 for side in photo.held_px)
    back = {
        PictureSide.UP: (x, y),
        PictureSide.DOWN: (right - x, bottom - y),
        PictureSide.RIGHT: (right - y, x),
        PictureSide.LEFT: (y, bottom - x),
    }[tip]
    return np.stack(back, axis=1)


def image_features(pixels: NDArray[np.uint8]) -> ImageFeatures:
    """Maps of an RGB picture (rows, cols, 3), reduced already and turned so that the tip points up."""
    rows, cols = pixels.shape[:2]
    lab = lab_of(pixels)
    half = _shrunk(lab, 2)
    usual_within = max(rows, cols) / 12
    edges, half_edges = edge_map(lab, 1.2, 0.8, usual_within), edge_map(half, 1.25, 1.5, usual_within / 2)
    coarse, compound, metal = (
        np.asarray(cv2.resize(m, (cols, rows)), np.float32) for m in (half_edges, *_colour_maps(half))
    )
    return ImageFeatures(edges, coarse, compound, metal, max(float(compound.sum()), 1.0))


def lab_of(pixels: NDArray[np.uint8]) -> Map:
    """An sRGB picture as L*, a*, b* (CIELAB)."""
    return np.asarray(cv2.cvtColor(pixels.astype(np.float32) / 255, cv2.COLOR_RGB2LAB), dtype=np.float32)


def edge_map(lab: Map, blur_px: float, spread_px: float, usual_within_px: float) -> Map:
    """The structure tensor of a CIELAB picture at one scale, (rows, cols, 3): squared change along xx, xy and yy, over
    the square of what is usual nearby.
    """
    smooth = cv2.GaussianBlur(lab, (0, 0), blur_px)
    across, down = cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)
    pairs = ((across, across), (across, down), (down, down))
    sums = [cv2.transform(cv2.multiply(first, second), CHANNEL_WEIGHTS) for first, second in pairs]
    tensor = cv2.GaussianBlur(cv2.merge(sums), (0, 0), spread_px)
    strength = cv2.sqrt(cv2.transform(tensor, np.array([[1.0, 0.0, 1.0]])))
    usual = _widely_blurred(np.asarray(strength, np.float32), usual_within_px)
    evened: Map = tensor / ((usual + 0.3 * float(usual.mean()) + 0.1) ** 2)[..., None]
    return evened


def _shrunk(values: Map, factor: int) -> Map:
    rows, cols = values.shape[:2]
    size = (max(1, cols // factor), max(1, rows // factor))
    return np.asarray(cv2.resize(values, size, interpolation=cv2.INTER_AREA), np.float32)


def _widely_blurred(values: Map, blur_px: float) -> Map:
    """Blurred on a small copy, which is much quicker and hardly less exact."""
    small = _blurred(_shrunk(values, SMALL_COPY), blur_px / SMALL_COPY)
    return np.asarray(cv2.resize(small, values.shape[1::-1]), np.float32)


def _colour_maps(lab: Map) -> tuple[Map, Map]:
    """Where compound may lie and where the wheel is; each float32 (rows, cols), 0..1."""
    size = max(lab.shape)
    red, yellow = (_blurred(lab[..., k], 0.6) for k in (1, 2))
    chroma, hue = np.hypot(red, yellow), np.degrees(np.arctan2(yellow, red))
    bronze = ((chroma > 12) & (hue > 30) & (hue < 105)).astype(np.float32)
    wheel = _closed(bronze, size)
    inner = np.asarray(cv2.erode(wheel, _disc(size / 50)))
    plain = (bronze > 0) & (inner > 0)
    if plain.sum() < 50:
        return np.zeros_like(bronze), wheel
    usual_hue, usual_chroma = (float(np.median(m[plain])) for m in (hue, chroma))
    blue = inner * _ramp(0.35 * usual_chroma * np.sin(np.radians(usual_hue)) - yellow, 2, 10) * (lab[..., 0] < 85)
    strange_hue = hue - _hue_slope(hue[plain], chroma[plain]) * chroma
    strange_hue -= float(np.median(strange_hue[plain]))
    vivid = _ramp(chroma / usual_chroma, 1.1, 1.4)
    strange = inner * vivid * np.maximum(_ramp(strange_hue, 8, 14), _ramp(-strange_hue, 12, 20))
    surely_blue = blue * (yellow < SURELY_BLUE)
    paint = (
        blue if surely_blue.sum() > max(BLUE_SHARE * inner.sum(), 0.5 * strange.sum()) else np.maximum(blue, strange)
    )
    return paint.astype(np.float32), wheel


def _hue_slope(hue: Map, chroma: Map) -> float:
    """How much the hue of bronze changes with its chroma, by least squares, within what is likely."""
    away = chroma - chroma.mean()
    return float(np.clip((away @ hue) / max(float(away @ away), 1e-6), *HUE_SLOPE))


def _closed(bronze: Map, size_px: int) -> Map:
    """Bronze with its gaps filled, where compound, glare and shade lie; lone specks are dropped.

    The wide gaps are filled on a copy half as large, which takes a sixteenth of the time.
    """
    cleared = cv2.morphologyEx(bronze, cv2.MORPH_OPEN, _disc(size_px / 200))
    filled = cv2.morphologyEx(_shrunk(np.asarray(cleared, np.float32), 2), cv2.MORPH_CLOSE, _disc(size_px / 22))
    whole = cv2.resize(filled, bronze.shape[::-1]) > 0.5
    return np.maximum(whole, cleared).astype(np.float32)


def _disc(radius_px: float) -> NDArray[np.uint8]:
    reach = 2 * max(1, round(radius_px)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)), dtype=np.uint8)


def _ramp(values: Map | Numbers, low: float, high: float) -> Map:
    ramp: Map = np.clip((values - low) / (high - low), 0, 1).astype(np.float32)
    return ramp


def _blurred(values: Map, blur_px: float) -> Map:
    return np.asarray(cv2.GaussianBlur(values, (0, 0), blur_px), dtype=np.float32)


def looked_up(values: Map, x: Map, y: Map, between: int = cv2.INTER_NEAREST) -> Map:
    """Values at points x, y (n, m), as (n, m) or (n, m, channels), zero outside the picture: those of the nearest
    pixel, unless ``between`` names another of OpenCV's interpolations.
    """
    return np.asarray(cv2.remap(values, x, y, between, borderMode=cv2.BORDER_CONSTANT, borderValue=0))


def edge_support(edges: Map, x: Map, y: Map, starts: NDArray[np.intp], between: int = cv2.INTER_NEAREST) -> Map:
    """How well curves lie on edges of their own direction, (n, m), 0..1.

    ``x``, ``y`` (n, m): their points, one curve behind the other, which begin at ``starts``.
    """
    return directed_support(edges, (x, y), tangents(x, y, starts), between)


def directed_support(edges: Map, at: tuple[Map, Map], along: tuple[Map, Map], between: int = cv2.INTER_NEAREST) -> Map:
    """How well points ``at`` x and y (n, m) lie on edges that run ``along`` unit steps (n, m), (n, m), 0..1."""
    right, down = along
    found = looked_up(edges, *at, between)
    strength = found[..., 0] * (down * down)
    strength += found[..., 1] * (-2 * right * down)
    strength += found[..., 2] * (right * right)
    np.sqrt(np.maximum(strength, 0, out=strength), out=strength)
    support: Map = np.divide(strength, strength + 1, out=strength)
    return support


def tangents(x: Map, y: Map, starts: NDArray[np.intp]) -> tuple[Map, Map]:
    """Unit steps along curves with points (n, m) that begin at ``starts``."""
    right, down = _steps(x, starts), _steps(y, starts)
    length = right * right
    length += down * down
    np.maximum(np.sqrt(length, out=length), 1e-6, out=length)
    return np.divide(right, length, out=right), np.divide(down, length, out=down)


def _steps(values: Map, starts: NDArray[np.intp]) -> Map:
    """Step from the point before to the point behind, or to the point itself at either end of a curve."""
    step = values[:, 1:] - values[:, :-1]
    both = np.empty_like(values)
    both[:, 1:-1] = step[:, 1:] + step[:, :-1]
    both[:, starts] = step[:, starts]
    ends = np.append(starts[1:], values.shape[1]) - 1
    both[:, ends] = step[:, ends - 1]
    return both
