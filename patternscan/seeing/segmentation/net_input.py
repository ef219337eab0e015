"""What the contact net is fed, in training as in use, and what must be known of it to do so."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound, Marking
from patternscan.quantiles import medians
from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS, FlankLight, Grid, Mask

NAMES = (Compound.BLUE, Compound.YELLOW, Compound.WHITE, Compound.RED, Compound.VIOLET)
"""The compounds in the order of the net's answers; the last answer, after these, is "no compound"."""
BESIDE = tuple(f"{place} {what}" for place in ("tip", "root") for what in ("known", "red", "blue"))
"""What is told of the metal beyond the tip and beyond the root, see ``beside_planes``."""
PLANES = (
    *("red", "green", "blue", "strongest", "seen", "height", "marking"),
    *BESIDE,
    *(f"told {name}" for name in NAMES),
)
"""The input planes in their order, see ``input_planes``."""
VERSION = 3
"""Of the planes' meaning: to be raised when one of them is worked out in another way under the same name."""
DARKEST, LEAST_MEAN = 0.02, 1e-4
"""Added to light, in units of its mean, before the logarithm is taken, and to the mean: weaker light tells nothing (own
guess)."""
SMOOTHED = 1.25
"""Spread in cells by which light is smoothed, in training too: finer marks are those of camera, file and polish, and no
drawing has them just so."""
REACH = 4
"""Cells to either side that count in smoothing."""
LEAST_BESIDE = 50
"""Places beyond an edge that must be seen for their colour to be known (own guess)."""


def net_description(weights: bytes) -> dict[str, Any]:
    """What stands in the file beside the net's weights, so that nobody feeds it what it was not trained on."""
    return {
        "format": "patternscan-net",
        "version": VERSION,
        "planes": list(PLANES),
        "rows": WORK_ROWS,
        "columns": WORK_COLUMNS,
        "names": [name.value for name in NAMES],
        "sha256": sha256(weights).hexdigest(),
    }


def net_input(light: FlankLight, marking: Marking, compound: Compound | None) -> Grid:
    """A flank as the net is fed it, float32 (planes, rows, columns); ``compound`` None: nobody told.

    What lies beside is told of prints alone: a brush runs over tip and root too, and paint there, told as metal, made
    the net take a rub-off for a print.
    """
    size = (WORK_COLUMNS, WORK_ROWS)
    pixels = np.asarray(cv2.resize(light.pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    seen = cv2.resize(light.seen.astype(np.float32), size, interpolation=cv2.INTER_AREA) >= 0.5
    planes = input_planes(pixels, np.asarray(seen), marking, compound)
    if marking is Marking.TRANSFER and light.beside:
        first = PLANES.index(BESIDE[0])
        told = np.concatenate([beside_planes(colours) for colours in light.beside])
        planes[first : first + len(BESIDE)] = told[:, None, None]
    return planes


def beside_planes(colours: Grid) -> Grid:
    """What is told of places beyond an edge from their linear light (n, 3), float32 (3,): 1, and the logarithms of red
    and of blue against green in their median light; nought where too few are seen.

    Metal is known from there: on photographs of dev, rims and port its colour beside the flank is that of the bare
    flank, paler by a quarter or a third, and nearer to bare metal than to compound beyond the root on 64 of 65.
    """
    if len(colours) < LEAST_BESIDE:
        return np.zeros(3, dtype=np.float32)
    usual = medians(colours, axis=0)
    red, green, blue = np.log(usual / (usual.mean() + LEAST_MEAN) + DARKEST)
    return np.array([1, red - green, blue - green], dtype=np.float32)


def input_planes(pixels: NDArray[np.uint8], seen: Mask, marking: Marking, compound: Compound | None) -> Grid:
    """PLANES of an sRGB picture (rows, cols, 3) of which ``seen`` (rows, cols) shows the flank, float32.

    Smoothed over what is seen: logarithms of linear red, green and blue against their mean where seen, so that film and
    lamp each add a constant, and the strongest colour, 0..1. Then 1 where seen; height above the middle, -0.5..0.5; 1
    for rub-off and -1 for transfer; nothing of what lies beside; 1 for the compound that was told.
    """
    rows, cols = seen.shape
    planes = np.zeros((len(PLANES), rows, cols), dtype=np.float32)
    red, green, blue = cv2.split(pixels)
    strongest = np.asarray(cv2.max(cv2.max(red, green), blue))
    light = _smoothed(np.dstack([cv2.LUT(pixels, SRGB_TO_LINEAR), strongest / np.float32(255)]), seen)
    planes[:3] = _relative_light(light[..., :3], seen).transpose(2, 0, 1)
    planes[3] = light[..., 3]
    planes[4] = seen
    planes[5] = (0.5 - (np.arange(rows, dtype=np.float32) + 0.5) / rows)[:, None]
    planes[6] = 1 if marking is Marking.RUB_OFF else -1
    if compound is not None:
        planes[PLANES.index(f"told {compound}")] = 1
    return planes


def _smoothed(light: Grid, seen: Mask) -> Grid:
    """The mean of what is seen about each cell, with Gaussian weights; 0 where nothing is seen."""
    there = seen.astype(np.float32)
    size = (2 * REACH + 1, 2 * REACH + 1)
    total, weight = (cv2.GaussianBlur(one, size, SMOOTHED) for one in (light * there[..., None], there))
    return np.asarray(total * (there / np.maximum(weight, np.float32(1e-6)))[..., None], dtype=np.float32)


def _relative_light(linear: Grid, seen: Mask) -> Grid:
    mean = float(linear[seen].mean()) if seen.any() else 0.0
    relative = np.log(linear / np.float32(mean + LEAST_MEAN) + np.float32(DARKEST))
    return np.asarray(relative * seen[..., None], dtype=np.float32)
