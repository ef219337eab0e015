"""What can be read of a flank in its light: linear light without veiling glare, and where it is lost.

A place is lost where it is burnt out, black, outside the photo or occluded, and where glare drowns its colours. Glare
that is not burnt out, a lamp mirrored in oil or in a coat, adds the lamp's colour to all that is seen through it. It
is found by the weakest colour of each place, which bronze and compound leave dark and glare does not, and by its soft
border, which no film of compound has.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.quality import (
    BURNT_STRONGEST,
    BURNT_WEAKEST,
    CRISP_QUARTER,
    DROWNED,
    GLARE_BORDER,
    GLARE_LEFT_ON,
    GREY_GLARE,
    GREYEST,
    LEAST_GLARE_PEAK,
    LEGIBLE_STRONGEST,
    PALE_METAL,
    SOFT_BORDER,
)
from patternscan.quantiles import median, quantile
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.image.lab import SRGB_TO_LINEAR

Grid = NDArray[np.float32]
Mask = NDArray[np.bool_]

WORK_COLUMNS = 256
"""Columns of the grid the colours are weighed on; a flank in a photo is seldom larger."""
WORK_ROWS = 128
"""Rows of the grid the colours are weighed on."""
FINE_CELLS = 9
"""Rims of a film, scratches and highlights narrower than this many cells are not looked at."""


@dataclass(frozen=True, slots=True, eq=False)
class FlankLight:
    """The light of a rectified flank.

    ``pixels`` (FLAT_ROWS, FLAT_COLUMNS, 3): as in the photo; ``seen``: where they show the flank; ``judged``: where its
    colour can be read. ``linear`` (WORK_ROWS, WORK_COLUMNS, 3): linear light 0..1, noise smoothed out and veiling glare
    taken off; ``readable``: as ``judged``. ``beside``: linear light (n, 3) of places beyond the tip and beyond the root
    of which the photo tells the colour; empty where they are not known.
    """

    pixels: NDArray[np.uint8]
    seen: Mask
    judged: Mask
    linear: Grid
    readable: Mask
    beside: tuple[Grid, ...] = ()


def light_of(
    flank: RectifiedFlank, occluded: Mask | None = None, beside: Sequence[NDArray[np.uint8]] = ()
) -> FlankLight:
    """The light of a flank of which some cells (FLAT_ROWS, FLAT_COLUMNS) are occluded; ``beside``: sRGB (n, 3)."""
    seen = flank.seen if occluded is None else flank.seen & ~occluded
    size = (WORK_COLUMNS, WORK_ROWS)
    small = np.asarray(
        cv2.resize(cv2.LUT(flank.pixels, SRGB_TO_LINEAR), size, interpolation=cv2.INTER_AREA), np.float32
    )
    legible = _legible(flank.pixels, seen).astype(np.float32)
    readable = np.asarray(cv2.resize(legible, size, interpolation=cv2.INTER_AREA) > 0.5)
    glare = find_veiling_glare(small, readable)
    readable &= glare < DROWNED * _own_light(small, glare, readable)
    smooth = cv2.GaussianBlur(small, (0, 0), 1.0)
    lifted = (
        np.maximum(smooth - glare[..., None], np.minimum(smooth, np.float32(0.002))) + GLARE_LEFT_ON * glare[..., None]
    )
    rows, cols = seen.shape
    judged = cv2.resize(readable.astype(np.float32), (cols, rows), interpolation=cv2.INTER_LINEAR) > 0.5
    lit = tuple(_lit(pixels) for pixels in beside)
    return FlankLight(flank.pixels, seen, np.asarray(judged & seen), np.asarray(lifted, np.float32), readable, lit)


def find_veiling_glare(linear: Grid, judged: Mask) -> Grid:
    """How much light lies over each cell, as a part of white, from linear light (rows, cols, 3); 0 without glare."""
    smooth = np.asarray(cv2.GaussianBlur(linear, (0, 0), 1.5), dtype=np.float32)
    pale, dark = _paleness(smooth, judged)
    border = _slope(dark)
    over = cv2.GaussianBlur(pale, (0, 0), 4.0)
    glare = np.zeros(judged.shape, dtype=np.float32)
    for members in _patches(over > GLARE_BORDER):
        peak = quantile(over[members], 0.95)
        if peak > LEAST_GLARE_PEAK and _fading(peak, members & (over > 0.5 * peak), border) > SOFT_BORDER:
            glare[members] = over[members]
    return glare


def _paleness(smooth: Grid, judged: Mask) -> tuple[Grid, Grid]:
    """Light beyond the grey part of the flank's own colours, and the weakest colour, both without fine marks."""
    red, green, blue = cv2.split(smooth)
    strongest, weakest = cv2.max(cv2.max(red, green), blue), cv2.min(cv2.min(red, green), blue)
    grey = weakest / (strongest + np.float32(0.005))
    own = min(quantile(grey[judged], PALE_METAL / 100), GREYEST) if judged.any() else GREYEST
    beyond = np.maximum(weakest - own * strongest, 0) / (1 - own)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (FINE_CELLS, FINE_CELLS))
    pale, dark = (
        np.asarray(cv2.morphologyEx(grid, cv2.MORPH_OPEN, kernel), dtype=np.float32) for grid in (beyond, weakest)
    )
    pale[(blue > red) & (grey < GREY_GLARE)] = 0
    return pale, dark


def _slope(dark: Grid) -> Grid:
    soft = cv2.GaussianBlur(dark, (0, 0), 1.0)
    across, down = cv2.Sobel(soft, cv2.CV_32F, 1, 0), cv2.Sobel(soft, cv2.CV_32F, 0, 1)
    return np.asarray(np.hypot(across, down) / 8, dtype=np.float32)


def _patches(members: Mask) -> Iterator[Mask]:
    """Connected patches."""
    count, labels = cv2.connectedComponents(members.astype(np.uint8), connectivity=8)
    yield from (np.asarray(labels == patch) for patch in range(1, count))


def _fading(peak: float, core: Mask, slope: Grid) -> float:
    """Cells over which light of this peak would fade out at the slope found along the core's border; 0 without one."""
    square, solid = np.ones((3, 3), np.uint8), core.astype(np.uint8)
    ring = cv2.dilate(solid, square) > cv2.erode(solid, square, borderValue=1)
    if not ring.any():
        return 0.0
    return quantile(peak / np.maximum(slope[ring], 1e-4), CRISP_QUARTER / 100)


def _own_light(small: Grid, glare: Grid, judged: Mask) -> float:
    """Strongest colour of the flank's middling place, without glare."""
    red, green, blue = cv2.split(small)
    strongest = cv2.max(cv2.max(red, green), blue)
    return median((strongest - glare)[judged]) if judged.any() else 0.0


def _legible(pixels: NDArray[np.uint8], seen: Mask) -> Mask:
    """Neither burnt out to white, nor black, nor outside the photo."""
    red, green, blue = cv2.split(pixels)
    strongest, weakest = cv2.max(cv2.max(red, green), blue), cv2.min(cv2.min(red, green), blue)
    burnt = (strongest >= BURNT_STRONGEST) & (weakest >= BURNT_WEAKEST)
    return np.asarray(seen & ~burnt & (strongest >= LEGIBLE_STRONGEST))


def _lit(pixels: NDArray[np.uint8]) -> Grid:
    """Linear light of those of some colours (n, 3) that are neither burnt out nor black."""
    strongest = pixels.max(axis=1)
    return np.asarray(
        SRGB_TO_LINEAR[pixels[(strongest >= LEGIBLE_STRONGEST) & (strongest < BURNT_STRONGEST)]], dtype=np.float32
    )
