"""How well one flank was photographed: each shortcoming with what to do about it at the machine."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.quality import (
    BLACK,
    BLACK_HOPELESS,
    BLOWN,
    BLOWN_DOUBTFUL,
    BLUR_DOUBTFUL,
    BLUR_HOPELESS,
    BORDER_PX,
    DARK_DOUBTFUL,
    DARK_HOPELESS,
    FLAT_DOUBTFUL,
    FLAT_HOPELESS,
    HOPELESS_HEIGHT_PX,
    OUTSIDE_DOUBTFUL,
    OUTSIDE_HOPELESS,
    SHINE_DOUBTFUL,
    SHINE_HOPELESS,
    SHINING,
    SMALL_HEIGHT_PX,
    SMALL_WIDTH_PX,
    WHITE,
    WHITE_DOUBTFUL,
)
from patternscan.cautions import Caution, caution
from patternscan.quantiles import median, quantile
from patternscan.seeing.geometry.outline import Edge, Outline, resampled
from patternscan.seeing.geometry.placed_flank import PlacedFlank
from patternscan.seeing.image.shrinking import shrunk
from patternscan.seeing.quality.light import FlankLight

UNEVEN = 0.4
"""Smallest over largest height of a flank as outlined. By the law of perspective one end is then 2.5 times as far from
the camera as the other, nearer than a phone is held on purpose."""
EVENNESS_PLACES = 33
"""Places between the ends at which heights are compared."""
BLUR_FINE_PX, BLUR_COARSE_PX, BLUR_HEIGHT_PX = 1.0, 4.0, 48.0
"""Edges are compared at these two smoothings, in a picture shrunk until the flank is this high."""


def judge_condition(placed: PlacedFlank) -> tuple[Caution, ...]:
    """Cautions about where the camera stood and how still it was held, none when the photo is good."""
    found = (
        _judge_cut(placed),
        _judge_size(placed),
        _judge_view(placed),
        _judge_sharpness(placed),
    )
    return tuple(told for told in found if told is not None)


def _judge_cut(placed: PlacedFlank) -> Caution | None:
    outside, outline = 1 - float(placed.rectified.seen.mean()), placed.outline
    edges = (outline.root, outline.tip, outline.end_a, outline.end_b)
    if outside > OUTSIDE_HOPELESS:
        return caution("much-cut-off", share=outside)
    cut = outside > OUTSIDE_DOUBTFUL or any(_runs_along_border(edge, placed.photo.pixels) for edge in edges)
    return caution("cut-off") if cut else None


def _runs_along_border(edge: Edge, pixels: NDArray[np.uint8]) -> bool:
    """Whether all of an edge lies within BORDER_PX of one border of the photo, or beyond it."""
    last = np.array(pixels.shape[1::-1]) - 1
    return bool(np.any(np.all(edge <= BORDER_PX, axis=0) | np.all(edge >= last - BORDER_PX, axis=0)))


def _judge_size(placed: PlacedFlank) -> Caution | None:
    width, height = placed.rectified.width_px, placed.rectified.height_px
    if width >= SMALL_WIDTH_PX and height >= SMALL_HEIGHT_PX:
        return None
    code = "too-small" if height < HOPELESS_HEIGHT_PX else "small"
    return caution(code, width_px=round(width), height_px=round(height))


def _judge_view(placed: PlacedFlank) -> Caution | None:
    flatness = cv2.contourArea(placed.border.astype(np.float32)) / placed.rectified.width_px**2
    if flatness >= FLAT_DOUBTFUL and _evenness(placed.outline) >= UNEVEN:
        return None
    return caution("too-oblique" if flatness < FLAT_HOPELESS else "oblique")


def _evenness(outline: Outline) -> float:
    """Smallest over largest height of the flank as outlined, from end A to end B: whatever gear it may be of."""
    places = np.linspace(0, 1, EVENNESS_PLACES)
    heights = np.linalg.norm(resampled(outline.tip, places) - resampled(outline.root, places), axis=1)
    return float(heights.min() / max(heights.max(), 1e-9))


def _judge_sharpness(placed: PlacedFlank) -> Caution | None:
    blur = measure_blur(placed)
    if blur < BLUR_DOUBTFUL:
        return None
    return caution("too-blurred" if blur >= BLUR_HOPELESS else "blurred")


def measure_blur(placed: PlacedFlank) -> float:
    """Blur of the sharper edges on and around the flank: standard deviation, fraction of the flank height.

    An edge blurred by b and smoothed by s has a steepest slope in proportion to 1 / sqrt(b^2 + s^2); the ratio
    of that slope at two smoothings gives b. Taken where the coarse slope is steepest, so that grain and hob
    marks count little; the upper quarter of the ratios, since an old print may be soft in a sharp photo.
    """
    grey, mask, scale = _around_flank(placed)
    fine, coarse = (_slope(grey, smoothing) for smoothing in (BLUR_FINE_PX, BLUR_COARSE_PX))
    if not (coarse[mask] > 1e-3).any():
        return 0.0
    steep = mask & (coarse >= max(quantile(coarse[mask], 0.9), 1e-3))
    ratio = quantile(fine[steep] / coarse[steep], 0.75) ** 2
    squared = (BLUR_COARSE_PX**2 - ratio * BLUR_FINE_PX**2) / max(ratio - 1.0, 1e-3)
    return float(np.sqrt(max(squared, 0.0))) / (placed.rectified.height_px * scale)


def _around_flank(placed: PlacedFlank) -> tuple[NDArray[np.float32], NDArray[np.bool_], float]:
    """Grey cut-out round the flank, the flank in it as a mask, and its scale against the photo (at most 1)."""
    pixels, border = placed.photo.pixels, placed.border
    last = np.array(pixels.shape[1::-1])
    low = np.clip(np.floor(border.min(axis=0)).astype(int) - 12, 0, last - 1)
    high = np.clip(np.ceil(border.max(axis=0)).astype(int) + 13, low + 1, last)
    scale = min(1.0, BLUR_HEIGHT_PX / placed.rectified.height_px)
    times = max(1, int(1 / scale))
    size = tuple(max(1, round(float(side // times * times) * scale)) for side in high - low)
    coarse = shrunk(pixels[low[1] : high[1], low[0] : high[0]], times)
    part = cv2.resize(coarse, size, interpolation=cv2.INTER_AREA)
    mask = np.zeros((size[1], size[0]), dtype=np.uint8)
    cv2.fillPoly(mask, [np.rint((border - low) * scale).astype(np.int32)], (1,))
    return cv2.cvtColor(part, cv2.COLOR_RGB2GRAY).astype(np.float32), mask > 0, scale


def _slope(grey: NDArray[np.float32], smoothing_px: float) -> NDArray[np.float32]:
    """Steepness of a grey picture after smoothing, levels per pixel."""
    smooth = cv2.GaussianBlur(grey, (0, 0), smoothing_px)
    across, down = cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)
    return np.asarray(np.hypot(across, down) / 8, dtype=np.float32)


def judge_light(light: FlankLight) -> tuple[Caution, ...]:
    """Cautions about too much light, glare and too little."""
    if not light.seen.any():
        return ()
    red, green, blue = cv2.split(light.pixels)
    brightest, darkest = cv2.max(cv2.max(red, green), blue), cv2.min(cv2.min(red, green), blue)
    shining = float((light.seen & ~light.judged & (brightest >= SHINING)).mean())
    white = float((darkest[light.seen] >= WHITE).mean())
    brightest = brightest[light.seen]
    told = (
        caution("too-bright") if (brightest >= BLOWN).mean() > BLOWN_DOUBTFUL else None,
        _judge_glare(white, shining),
        judge_darkness(brightest),
    )
    return tuple(one for one in told if one is not None)


def _judge_glare(white: float, shining: float) -> Caution | None:
    """``white``: part of what is seen that is burnt out; ``shining``: part of the flank that glare makes unreadable."""
    share = max(white, shining)
    if shining > SHINE_HOPELESS:
        return caution("much-glare", share=share)
    return caution("glare", share=share) if white > WHITE_DOUBTFUL or shining > SHINE_DOUBTFUL else None


def judge_darkness(brightest: cv2.typing.MatLike) -> Caution | None:
    """A caution about too little light; ``brightest``: the brightest colour channel of each cell that is seen."""
    level = median(brightest)
    if level < DARK_HOPELESS or (brightest < BLACK).mean() > BLACK_HOPELESS:
        return caution("far-too-dark")
    return caution("too-dark") if level < DARK_DOUBTFUL else None
