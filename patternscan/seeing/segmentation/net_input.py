"""What the contact net is fed, in training as in use, and what must be known of it to do so."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound, Marking
from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS, FlankLight, Grid, Mask

NAMES = (Compound.BLUE, Compound.YELLOW, Compound.WHITE, Compound.RED, Compound.VIOLET)
"""The compounds in the order of the net's answers; the last answer, after these, is "no compound"."""
PLANES = ("red", "green", "blue", "strongest", "seen", "height", "marking", *(f"told {name}" for name in NAMES))
"""The input planes in their order, see ``input_planes``."""
VERSION = 2
"""Of the planes' meaning: to be raised when one of them is worked out in another way under the same name."""
DARKEST, LEAST_MEAN = 0.02, 1e-4
"""Added to light, in units of its mean, before the logarithm is taken, and to the mean: weaker light tells nothing (own
guess)."""
SMOOTHED = 1.25
"""Spread in cells of a Gaussian that smooths photographs, which have finer marks than what is drawn: those of file,
camera and polish. Ordinary flanks of dev, rims and port are then placed within 2.07 points, 9 in 10, before 2.15; 1.6
did as much."""


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
    """A flank as the net is fed it, smoothed, float32 (planes, rows, columns); ``compound`` None: nobody told."""
    size = (WORK_COLUMNS, WORK_ROWS)
    small = cv2.resize(light.pixels, size, interpolation=cv2.INTER_AREA)
    pixels = np.asarray(cv2.GaussianBlur(small, (0, 0), SMOOTHED), dtype=np.uint8)
    seen = cv2.resize(light.seen.astype(np.float32), size, interpolation=cv2.INTER_AREA) >= 0.5
    return input_planes(pixels, np.asarray(seen), marking, compound)


def input_planes(pixels: NDArray[np.uint8], seen: Mask, marking: Marking, compound: Compound | None) -> Grid:
    """PLANES of an sRGB picture (rows, cols, 3) of which ``seen`` (rows, cols) shows the flank, float32.

    Logarithms of linear red, green and blue against their mean where seen, so that film and lamp each add a constant;
    the strongest colour, 0..1; 1 where seen; height above the middle, -0.5..0.5; 1 for rub-off and -1 for transfer; 1
    for the compound that was told.
    """
    rows, cols = seen.shape
    planes = np.zeros((len(PLANES), rows, cols), dtype=np.float32)
    planes[:3] = _relative_light(pixels, seen).transpose(2, 0, 1)
    planes[3] = pixels.max(axis=2) * seen / np.float32(255)
    planes[4] = seen
    planes[5] = (0.5 - (np.arange(rows, dtype=np.float32) + 0.5) / rows)[:, None]
    planes[6] = 1 if marking is Marking.RUB_OFF else -1
    if compound is not None:
        planes[PLANES.index(f"told {compound}")] = 1
    return planes


def _relative_light(pixels: NDArray[np.uint8], seen: Mask) -> Grid:
    linear = cv2.LUT(pixels, SRGB_TO_LINEAR)
    mean = float(linear[seen].mean()) if seen.any() else 0.0
    relative = np.log(linear / np.float32(mean + LEAST_MEAN) + np.float32(DARKEST))
    return np.asarray(relative * seen[..., None], dtype=np.float32)
