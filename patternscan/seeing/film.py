"""Light from a flank as shade and colour: what a film of compound changes, whatever the lamp's strength.

In linear light a film multiplies each colour by what it lets back. Ratios of colours cancel shading and the
lamp's strength; what remains is ``warmth`` ln(red/green) and ``depth`` ln(green/blue). Bare bronze lies warm and
moderately deep, and deeper where one flank mirrors the next, because each bounce multiplies by its colour again.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound

Grid = NDArray[np.float32]
Mask = NDArray[np.bool_]

WORK_COLUMNS = 256
"""Columns of the grid the colours are weighed on; a flank in a photo is seldom larger."""
WORK_ROWS = 128
"""Rows of the grid the colours are weighed on."""


@dataclass(frozen=True, slots=True)
class FilmColour:
    """Where a compound lies in colour: (warmth, depth) of a full film, its spread, and the way it leads off metal.

    ``ceiling``: warmth and depth beyond these speak of mirrored bronze only, not of more or less film.
    ``rarity``: unlikeliness before looking; white is seldom used and thin blue comes near it.
    """

    warmth: float
    depth: float
    warmth_spread: float
    depth_spread: float
    direction: tuple[float, float] = (0.0, 0.0)
    ceiling: tuple[float, float] = (3.5, 4.0)
    rarity: float = 0.0

    def tone(self, light: FlankLight) -> Grid:
        """How far each place lies along the way from metal to film."""
        warmth, depth = np.minimum(light.warmth, self.ceiling[0]), np.minimum(light.depth, self.ceiling[1])
        return np.asarray(self.direction[0] * warmth + self.direction[1] * depth, dtype=np.float32)

    @property
    def half_tone(self) -> float:
        """Tone half-way between bare bronze and a full film."""
        across, down = self.direction
        return 0.5 * (across * (self.warmth + BARE_BRONZE.warmth) + down * (self.depth + BARE_BRONZE.depth))

    @property
    def expected_step(self) -> float:
        """Tone of a full film above bare bronze."""
        across, down = self.direction
        return across * (self.warmth - BARE_BRONZE.warmth) + down * (self.depth - BARE_BRONZE.depth)

    def unlikeliness(self, warmth: float, depth: float) -> float:
        """Half the squared distance in spreads: ``rarity`` for the expected colour."""
        across = (warmth - self.warmth) / self.warmth_spread
        down = (depth - self.depth) / self.depth_spread
        return self.rarity + 0.5 * (across * across + down * down)


BARE_BRONZE = FilmColour(0.75, 1.2, 0.4, 0.6)
"""Machined gear bronze in white light, neighbouring flanks mirrored in it."""

FILM_COLOURS = {
    Compound.BLUE: FilmColour(-0.35, -0.5, 0.45, 0.6, (-1.0, -0.5), (1.5, 1.8)),
    Compound.WHITE: FilmColour(0.15, 0.25, 0.2, 0.3, (-1.0, -0.5), (1.5, 1.8), rarity=1.5),
    Compound.YELLOW: FilmColour(0.55, 2.8, 0.3, 1.0, (-2.2, 1.0)),
    Compound.RED: FilmColour(1.8, 1.2, 0.5, 0.7, (1.0, -0.4)),
}
"""Common pigments in white light: Prussian blue, titanium white, chrome or iron yellow, red lead and orange."""


@dataclass(frozen=True, slots=True, eq=False)
class FlankLight:
    """Linear light of a flank on the work grid (WORK_ROWS, WORK_COLUMNS), noise smoothed out.

    ``warmth``, ``depth``: colour ratios as logarithms; ``brightness``: linear, 0..1; ``judged``: colour is readable.
    """

    warmth: Grid
    depth: Grid
    brightness: Grid
    judged: Mask


def weigh_light(pixels: NDArray[np.uint8], seen: Mask) -> FlankLight:
    """Turn sRGB pixels (rows, cols, 3) into shade and colour; the curve is that of IEC 61966-2-1."""
    size = (WORK_COLUMNS, WORK_ROWS)
    small = cv2.resize(_SRGB_TO_LINEAR[pixels], size, interpolation=cv2.INTER_AREA)
    judged = np.asarray(
        cv2.resize(_readable(pixels, seen).astype(np.float32), size, interpolation=cv2.INTER_AREA) > 0.5
    )
    smooth = cv2.GaussianBlur(small, (0, 0), 1.0)
    brightness = np.asarray(smooth @ np.array([0.2126, 0.7152, 0.0722]), dtype=np.float32)
    floor = 0.002 + 0.01 * float(np.median(brightness))
    logs = np.log(smooth + floor).astype(np.float32)
    return FlankLight(logs[..., 0] - logs[..., 1], logs[..., 1] - logs[..., 2], brightness, judged)


def _readable(pixels: NDArray[np.uint8], seen: Mask) -> Mask:
    """Neither burnt out to white, nor black, nor outside the photo."""
    strongest, weakest = pixels.max(axis=2), pixels.min(axis=2)
    burnt = (strongest >= 250) & (weakest >= 220)
    return np.asarray(seen & ~burnt & (strongest >= 10))


def _linear_table() -> Grid:
    code = np.arange(256, dtype=np.float64) / 255
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype(np.float32)


_SRGB_TO_LINEAR = _linear_table()
