"""The film of compound on a lift, told from white card, shadows and dust by the colour that it takes from the light.

Shadow, fold, dust and pencil take all colours alike; compound takes some more than others. So the mean over the colours
is left out of a density, and what remains points, on the film, in the compound's own direction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound
from patternscan.quantiles import median, quantile
from patternscan.seeing.lifts.card_light import CardLight
from patternscan.seeing.quality.light import Grid, Mask
from patternscan.seeing.segmentation.film_split import otsu_threshold

Direction = NDArray[np.float64]

HUES: Sequence[tuple[Compound, tuple[float, float, float]]] = (
    (Compound.BLUE, (0.75, -0.08, -0.66)),
    (Compound.YELLOW, (-0.48, -0.34, 0.81)),
    (Compound.RED, (-0.61, -0.17, 0.78)),
    (Compound.RED, (-0.80, 0.25, 0.55)),
    (Compound.VIOLET, (-0.17, 0.78, -0.60)),
)
"""What films of usual pigments take of red, green and blue, less the mean of the three, of length 1: worked out over
white card by the law of Kubelka and Munk, orange and red apart. White takes nothing."""
FAINTEST = 0.1
"""Density, over the mean of the colours, of the strongest film of a lift below which there is no telling it from paper
that is tinted or soiled."""
SMALLEST = 0.002
"""Part of the flank that the densest film covers at least."""
RIM_COLUMNS, RIM_ROWS = 4, 5
"""Cells along the ends and along root and tip over which the drawn frame runs: they are taken to carry what lies
inside."""
LEAST, MOST = 0.2, 0.65
"""Film and bare card are parted between these parts of the film's density, where the two groups part best."""


NEARLY = 0.985
"""Of two names whose colours lie as near as this (cosine) to the film's as the nearest does, either may be right."""
FAINT = 0.25
"""Film less dense than this is thin (own guess)."""


@dataclass(frozen=True, slots=True, eq=False)
class LiftedFilm:
    """``share`` (rows, cols) as float32: 0 on bare card, 0.5 where film begins, 1 on full film. ``compound``: the
    likeliest by its colour, and a ``rival`` nearly as likely, if any; ``strength``: density of the film, over the mean
    of the colours.
    """

    share: Grid
    compound: Compound
    rival: Compound | None
    strength: float

    @property
    def there(self) -> Mask:
        """Where film lies."""
        return np.asarray(self.share > 0.5)


def lifted_film(card: CardLight) -> LiftedFilm | None:
    """The film in the frame; None where nothing coloured lies on the card."""
    colours = card.density - card.density.mean(axis=2, keepdims=True)
    colours = _without_rim(cv2.GaussianBlur(colours, (0, 0), 0.7))
    strong = _strong(np.linalg.norm(colours, axis=2), card.seen)
    if strong.mean() < SMALLEST:
        return None
    direction = colours[strong].mean(axis=0)
    direction /= max(float(np.linalg.norm(direction)), 1e-9)
    tone = np.asarray(colours @ direction, dtype=np.float32)
    strength = median(tone[strong])
    return None if strength < FAINTEST else LiftedFilm(_share(tone, card.seen, strength), *_named(direction), strength)


def _strong(size: Grid, seen: Mask) -> Mask:
    """The places of the densest film."""
    densest = quantile(size[seen], 0.98) if seen.any() else 0.0
    return np.asarray(seen & (size > max(FAINTEST, 0.5 * densest)))


def _share(tone: Grid, seen: Mask, full: float) -> Grid:
    """Share of a full film, 0.5 where film and bare card part best."""
    parted = otsu_threshold(np.clip(tone[seen], 0, full))
    parted = min(max(parted, LEAST * full), MOST * full)
    below, above = 0.5 * tone / parted, 0.5 + 0.5 * (tone - parted) / (full - parted)
    return np.asarray(np.where(tone < parted, below, above), dtype=np.float32)


def _named(direction: Direction) -> tuple[Compound, Compound | None]:
    """The name by the colour that film takes, and another one that fits nearly as well."""
    fits = sorted(((float(np.dot(hue, direction)), name) for name, hue in HUES), reverse=True)
    best, name = fits[0]
    return name, next((other for fit, other in fits if other is not name and fit > NEARLY * best), None)


def _without_rim(grid: NDArray[np.float32]) -> Grid:
    inner = grid[RIM_ROWS:-RIM_ROWS, RIM_COLUMNS:-RIM_COLUMNS]
    rims = (RIM_ROWS, RIM_ROWS, RIM_COLUMNS, RIM_COLUMNS)
    return np.asarray(cv2.copyMakeBorder(inner, *rims, cv2.BORDER_REPLICATE), np.float32)
