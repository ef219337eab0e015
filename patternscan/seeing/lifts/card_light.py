"""The light of a lift against the white card that it lies on.

In linear light a film multiplies what the card sends back, so the logarithm of the card's light over that of a place is
how much the film takes there: its optical density, colour by colour. The lamp falls off smoothly over the card; its
fall-off is taken from the bare card in and round the frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.mapping import FlankMap
from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.quality.light import Grid, Mask

ROWS, COLUMNS = 96, 160
"""Grid of places on the card, the flank and the card round it, of which the lamp's fall-off is taken."""
ROUND_ALONG, ROUND_UP = 0.15, 0.5
"""So much of the card beyond the frame is looked at, in face widths and flank heights."""
CELLS = (128, 256)
"""Rows and columns of the grid on which densities are given."""
NOTHING = 0.004
"""Linear light below which a camera tells no colours; so much is added to all (own guess)."""
BRIGHT = 0.8
"""Part of the places round a lift that are no brighter than its card at first (own guess)."""
TOLERANCES = (0.5, 0.35, 0.25, 0.18, 0.13, 0.1, 0.08, 0.08)
"""Round after round, places whose light lies further off the bare card's are left out, in logarithms of light: the lamp
falls off by less than the first over a card, paper and its stains are evener than the last (own guess)."""
SHINY, AROUND = 0.1, 3
"""A place shows the lamp when it is so much brighter than the card, in logarithms of light, and so do so many cells
round it. Of 68 lifts drawn of dev 66 show nothing above 0.054. With a bright spot added to each, intervals along hold
0.90 of their truths instead of 0.85; more cells widen them and hold no more."""
LEAST_BARE = 50
"""Places of bare card that tell its fall-off."""


@dataclass(frozen=True, slots=True, eq=False)
class CardLight:
    """``density`` (CELLS, 3): of red, green and blue, 0 on bare card; ``seen`` (CELLS): what the picture shows.

    ``bare``: part of the places looked at that are bare card; ``shiny``: part of the flank where the lamp is mirrored,
    as on glossy tape, which is not seen.
    """

    density: Grid
    seen: Mask
    bare: float
    shiny: float


def card_light(photo: Photo, flat: FlankMap) -> CardLight:
    """The densities of a lift in its frame."""
    along, up = _places(ROWS, COLUMNS, ROUND_ALONG, ROUND_UP)
    logs, seen = _logs(photo, flat, along, up)
    fall, bare = _fall_off(logs, _terms(along, up), seen & ~_near_frame(along, up))
    inside = _places(*CELLS, 0, 0)
    own, shown = _logs(photo, flat, *inside)
    density = np.asarray(_terms(*inside) @ fall - own, dtype=np.float32)
    shiny = _shiny(density)
    return CardLight(density, shown & ~shiny, float(bare.mean()), float(shiny.mean()))


def _shiny(density: Grid) -> Mask:
    """Where it is brighter than the bare card in every colour, and round about."""
    brighter = np.asarray(density.max(axis=2) < -SHINY, dtype=np.uint8)
    return np.asarray(cv2.dilate(brighter, np.ones((2 * AROUND + 1, 2 * AROUND + 1), np.uint8)) > 0)


def _fall_off(logs: Grid, terms: NDArray[np.float64], clear: Mask) -> tuple[NDArray[np.floating[Any]], Mask]:
    """The bare card's light as weights (6, 3) of ``terms``, and which of the ``clear`` places are bare card."""
    fall: NDArray[np.floating[Any]] = np.zeros((terms.shape[-1], 3))
    bare = clear
    if not clear.any():
        return fall, clear
    fall[0] = np.quantile(logs[clear], BRIGHT, axis=0)
    for tolerance in TOLERANCES:
        off = logs - terms @ fall
        bare = np.asarray(clear & (np.abs(off).max(axis=2) < tolerance))
        if bare.sum() < LEAST_BARE:
            break
        fall = np.linalg.lstsq(terms[bare], logs[bare], rcond=None)[0]
    return fall, bare


def _places(rows: int, columns: int, beside: float, above: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Along and up of cell centres, (rows, columns) each; row 0 is beyond the tip."""
    along = (np.arange(columns) + 0.5) / columns * (1 + 2 * beside) - beside
    up = 1 + above - (np.arange(rows) + 0.5) / rows * (1 + 2 * above)
    across, down = np.meshgrid(along, up)
    return across, down


def _near_frame(along: NDArray[np.float64], up: NDArray[np.float64]) -> Mask:
    """Places on the frame's lines."""
    ends = np.minimum(np.abs(along), np.abs(along - 1)) < 0.03
    edges = np.minimum(np.abs(up), np.abs(up - 1)) < 0.1
    return np.asarray(ends | edges)


def _terms(along: NDArray[np.float64], up: NDArray[np.float64]) -> NDArray[np.float64]:
    x, y = 2 * along - 1, 2 * up - 1
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)


def _logs(photo: Photo, flat: FlankMap, along: NDArray[np.float64], up: NDArray[np.float64]) -> tuple[Grid, Mask]:
    """Logarithms of linear light at places of the card, (rows, cols, 3), averaged over a cell, and which are seen."""
    at = flat.to_photo(np.column_stack([along.ravel(), up.ravel()])).reshape(*along.shape, 2)
    size = np.array(photo.pixels.shape[1::-1])
    seen = ((at >= 0) & (at <= size - 1)).all(axis=-1)
    low = np.clip(np.floor(at.min(axis=(0, 1))).astype(int) - 4, 0, size - 2)
    high = np.clip(np.ceil(at.max(axis=(0, 1))).astype(int) + 5, low + 2, size)
    part = photo.pixels[low[1] : high[1], low[0] : high[0]]
    cell = float(np.linalg.norm(np.diff(at, axis=1), axis=2).mean())
    light = cv2.LUT(part, SRGB_TO_LINEAR)
    smooth = cv2.GaussianBlur(light, (0, 0), max(0.5 * cell, 0.6))
    grid = (at - low).astype(np.float32)
    sampled = cv2.remap(smooth, grid[..., 0], grid[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(np.log(sampled + np.float32(NOTHING)), dtype=np.float32), np.asarray(seen)
