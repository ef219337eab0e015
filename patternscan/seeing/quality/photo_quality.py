"""How well one flank was photographed: each shortcoming with what to do about it at the machine."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import percent
from patternscan.seeing.geometry.mapping import FlankMap
from patternscan.seeing.geometry.outline import Edge, Outline
from patternscan.seeing.geometry.rectified import RectifiedFlank, shrunk
from patternscan.seeing.image.photo import Photo

BLUR_DOUBTFUL, BLUR_HOPELESS = 0.07, 0.12
"""Blur (standard deviation, fraction of the flank height). Rendered photos read 0.02 to 0.057 when in focus;
blurred by 0.08 of the height they read 0.07 to 0.10, by 0.3 they read 0.12 to 0.23."""
BLUR_FINE_PX, BLUR_COARSE_PX, BLUR_HEIGHT_PX = 1.0, 4.0, 48.0
"""Edges are compared at these two smoothings, in a picture shrunk until the flank is this high."""
BLOWN, BLOWN_DOUBTFUL = 250, 0.12
"""A cell is blown out when its brightest colour channel reaches this level; the doubtful share of the flank."""
WHITE, WHITE_DOUBTFUL, WHITE_HOPELESS = 245, 0.015, 0.5
"""A cell shines white when its darkest colour channel reaches this level."""
DARK_DOUBTFUL, DARK_HOPELESS = 55, 16
"""Median of the brightest colour channel on the flank; well lit flanks lie between 70 and 210."""
SMALL_WIDTH_PX, SMALL_HEIGHT_PX, HOPELESS_HEIGHT_PX = 200.0, 40.0, 12.0
FLAT_DOUBTFUL, FLAT_HOPELESS = 0.16, 0.07
"""Mean height of the flank over its width as seen; 0.18 to 0.31 when the camera stands within 55 degrees of square."""
UNEVEN_DOUBTFUL = 0.4
"""Smallest over largest height of the flank along its width as seen; above 0.5 when seen from near the middle."""
SEEN_DOUBTFUL, SEEN_HOPELESS = 0.98, 0.6
BORDER_PX = 2.0
"""An outline edge that runs this close to the border of the photo is not the flank's own edge."""


def judge_condition(
    photo: Photo, flank_map: FlankMap, outline: Outline, rectified: RectifiedFlank
) -> tuple[Caution, ...]:
    """Cautions about the photo of one flank, none when it is good. Grave means that it cannot give a direction."""
    found = (
        _judge_cut(photo, outline, rectified),
        _judge_size(outline),
        _judge_view(flank_map, outline),
        _judge_sharpness(photo, outline),
        *_judge_light(rectified),
    )
    return tuple(caution for caution in found if caution is not None)


def _judge_cut(photo: Photo, outline: Outline, rectified: RectifiedFlank) -> Caution | None:
    share = float(rectified.seen.mean())
    edges = (outline.root, outline.tip, outline.end_a, outline.end_b)
    if share >= SEEN_DOUBTFUL and not any(_runs_along_border(edge, photo) for edge in edges):
        return None
    return Caution(
        "cut-off",
        "Part of the flank lies outside the photo.",
        "Step back or turn the camera until the whole tooth with both ends is in the picture.",
        grave=share < SEEN_HOPELESS,
    )


def _runs_along_border(edge: Edge, photo: Photo) -> bool:
    """Whether all of an edge lies within BORDER_PX of one border of the photo, or beyond it."""
    last = np.array([photo.width_px - 1, photo.height_px - 1])
    return bool(np.any(np.all(edge <= BORDER_PX, axis=0) | np.all(edge >= last - BORDER_PX, axis=0)))


def _judge_size(outline: Outline) -> Caution | None:
    width, height = outline.width_px, outline.height_px
    if width >= SMALL_WIDTH_PX and height >= SMALL_HEIGHT_PX:
        return None
    return Caution(
        "small",
        f"The flank is small in the photo: {width:.0f} by {height:.0f} pixels.",
        "Go closer until the tooth fills most of the picture; do not use the digital zoom.",
        grave=height < HOPELESS_HEIGHT_PX,
    )


def _judge_view(flank_map: FlankMap, outline: Outline) -> Caution | None:
    flatness = outline.area_px / outline.width_px**2
    if flatness >= FLAT_DOUBTFUL and _evenness(flank_map) >= UNEVEN_DOUBTFUL:
        return None
    return Caution(
        "oblique",
        "The flank is seen at a slant, so that part of it is squeezed together in the photo.",
        "Stand more square to the flank, level with the middle of the tooth.",
        grave=flatness < FLAT_HOPELESS,
    )


def _evenness(flank_map: FlankMap) -> float:
    """Smallest over largest height of the flank in the photo, at nine places from end A to end B."""
    along = np.linspace(0.0, 1.0, 9)
    tip = flank_map.to_photo(np.column_stack([along, np.ones_like(along)]))
    root = flank_map.to_photo(np.column_stack([along, np.zeros_like(along)]))
    heights = np.linalg.norm(tip - root, axis=1)
    return float(heights.min() / max(heights.max(), 1e-9))


def _judge_sharpness(photo: Photo, outline: Outline) -> Caution | None:
    blur = measure_blur(photo, outline)
    if blur < BLUR_DOUBTFUL:
        return None
    return Caution(
        "blurred",
        "The flank is out of focus or shaken.",
        "Hold still, tap on the tooth to focus, and give more light.",
        grave=blur >= BLUR_HOPELESS,
    )


def measure_blur(photo: Photo, outline: Outline) -> float:
    """Blur of the sharper edges on and around the flank: standard deviation, fraction of the flank height.

    An edge blurred by b and smoothed by s has a steepest slope in proportion to 1 / sqrt(b^2 + s^2); the ratio
    of that slope at two smoothings gives b. Taken where the coarse slope is steepest, so that grain and hob
    marks count little; the upper quarter of the ratios, since an old print may be soft in a sharp photo.
    """
    grey, mask, scale = _around_flank(photo, outline)
    fine, coarse = (_slope(grey, smoothing) for smoothing in (BLUR_FINE_PX, BLUR_COARSE_PX))
    if not (coarse[mask] > 1e-3).any():
        return 0.0
    steep = mask & (coarse >= max(float(np.quantile(coarse[mask], 0.9)), 1e-3))
    ratio = float(np.quantile(fine[steep] / coarse[steep], 0.75)) ** 2
    squared = (BLUR_COARSE_PX**2 - ratio * BLUR_FINE_PX**2) / max(ratio - 1.0, 1e-3)
    return float(np.sqrt(max(squared, 0.0))) / (outline.height_px * scale)


def _around_flank(photo: Photo, outline: Outline) -> tuple[NDArray[np.float32], NDArray[np.bool_], float]:
    """Grey cut-out round the flank, the flank in it as a mask, and its scale against the photo (at most 1)."""
    border = outline.border
    last = np.array([photo.width_px, photo.height_px])
    low = np.clip(np.floor(border.min(axis=0)).astype(int) - 12, 0, last - 1)
    high = np.clip(np.ceil(border.max(axis=0)).astype(int) + 13, low + 1, last)
    scale = min(1.0, BLUR_HEIGHT_PX / outline.height_px)
    times = max(1, int(1 / scale))
    size = tuple(max(1, round(float(side // times * times) * scale)) for side in high - low)
    coarse = shrunk(photo.pixels[low[1] : high[1], low[0] : high[0]], times)
    part = cv2.resize(coarse, size, interpolation=cv2.INTER_AREA)
    mask = np.zeros((size[1], size[0]), dtype=np.uint8)
    cv2.fillPoly(mask, [np.rint((border - low) * scale).astype(np.int32)], (1,))
    return cv2.cvtColor(part, cv2.COLOR_RGB2GRAY).astype(np.float32), mask > 0, scale


def _slope(grey: NDArray[np.float32], smoothing_px: float) -> NDArray[np.float32]:
    """Steepness of a grey picture after smoothing, levels per pixel."""
    smooth = cv2.GaussianBlur(grey, (0, 0), smoothing_px)
    across, down = cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)
    return np.asarray(np.hypot(across, down) / 8, dtype=np.float32)


def _judge_light(rectified: RectifiedFlank) -> tuple[Caution | None, ...]:
    """Cautions about too much light, too little, and glare."""
    if not rectified.seen.any():
        return ()
    red, green, blue = cv2.split(rectified.pixels)
    brightest = np.maximum(np.maximum(red, green), blue)[rectified.seen]
    darkest = np.minimum(np.minimum(red, green), blue)[rectified.seen]
    white = float((darkest >= WHITE).mean())
    level = float(np.median(brightest))
    blown = glare = dark = None
    if (brightest >= BLOWN).mean() > BLOWN_DOUBTFUL:
        blown = Caution(
            "too-bright",
            "The flank is overexposed: its brightest parts have lost their colour.",
            "Turn the flash off or move the lamp away, or tap on the tooth so that the camera darkens the picture.",
        )
    if white > WHITE_DOUBTFUL:
        glare = Caution(
            "glare",
            f"The lamp is reflected on {percent(white)} of the flank.",
            "Move the lamp to the side, or hang a white cloth before it.",
            grave=white > WHITE_HOPELESS,
        )
    if level < DARK_DOUBTFUL:
        dark = Caution(
            "too-dark",
            "The flank is dark in the photo.",
            "Light the tooth with a lamp from the side.",
            grave=level < DARK_HOPELESS,
        )
    return blown, glare, dark
