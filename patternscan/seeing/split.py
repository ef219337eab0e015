"""Film or metal: two groups of colour on one flank, each allowed to drift slowly along it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from patternscan.frame import Compound
from patternscan.seeing.film import BARE_BRONZE, FILM_COLOURS, FlankLight, Grid, Mask

SMALLEST_STEP = 0.45
"""A film changes the logarithm of a colour ratio at least this much; less is shading, tarnish or noise."""


@dataclass(frozen=True, slots=True, eq=False)
class FilmSplit:
    """One compound's reading of a flank. ``share``: 0 at local bare metal, 1 at local full film.

    ``step``: how far film and metal lie apart; ``separation``: that over the spread inside the groups.
    ``unlikeliness``: how badly the colours fit this compound on bronze; smaller is better.
    """

    compound: Compound
    share: Grid
    step: float
    separation: float
    unlikeliness: float


def split_film(light: FlankLight, compound: Compound) -> FilmSplit | None:
    """Split a flank into film and metal along a compound's own direction; None without two distinct groups."""
    colour = FILM_COLOURS[compound]
    across, down = colour.direction
    tone = np.asarray(across * light.warmth + down * np.clip(light.depth, -2.5, 4.5), dtype=np.float32)
    film = light.judged & (tone > parting(tone[light.judged]))
    metal = light.judged & ~film
    if min(film.sum(), metal.sum()) < 0.01 * film.size:
        return None
    low, high = local_mean(tone, metal), local_mean(tone, film)
    for _ in range(2):
        film = light.judged & (tone > (low + high) / 2)
        metal = light.judged & ~film
        low, high = local_mean(tone, metal), local_mean(tone, film)
    if min(film.sum(), metal.sum()) < 0.01 * film.size:
        return None
    step = float(np.median(tone[film]) - np.median(tone[metal]))
    spread = float(np.sqrt(0.5 * (np.var(tone[film]) + np.var(tone[metal])))) + 1e-6
    if step < SMALLEST_STEP or step / spread < 2:
        return None
    share = np.asarray((tone - low) / np.maximum(high - low, 0.25 * step), dtype=np.float32)
    unlikeliness = colour.unlikeliness(_middle(light.warmth, film), _middle(light.depth, film))
    unlikeliness += BARE_BRONZE.unlikeliness(_middle(light.warmth, metal), _middle(light.depth, metal))
    return FilmSplit(compound, share, step, step / spread, unlikeliness)


def parting(values: Grid) -> float:
    """The value that parts two groups with the least variance inside them.

    Source: N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC 9 (1979).
    """
    low, high = np.percentile(values, [0.5, 99.5])
    counts, edges = np.histogram(values, bins=128, range=(float(low), float(high) + 1e-6))
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    with np.errstate(divide="ignore", invalid="ignore"):
        gap = sums / below - (sums[-1] - sums) / above
        between = np.nan_to_num(below * above * gap * gap)
    return float(edges[1 + int(np.argmax(between))])


def local_mean(tone: Grid, members: Mask, reach_px: float = 40.0) -> Grid:
    """The members' tone around each place, leaning on their median where few are near."""
    middle = float(np.median(tone[members]))
    weight = members.astype(np.float32)
    small = (tone.shape[1] // 8, tone.shape[0] // 8)
    near = cv2.resize(weight, small, interpolation=cv2.INTER_AREA)
    off = cv2.resize((tone - middle) * weight, small, interpolation=cv2.INTER_AREA)
    near, off = (cv2.GaussianBlur(g, (0, 0), reach_px / 8, borderType=cv2.BORDER_REFLECT) for g in (near, off))
    drift = cv2.resize(off / (near + 0.1), (tone.shape[1], tone.shape[0]), interpolation=cv2.INTER_LINEAR)
    return np.asarray(middle + drift, dtype=np.float32)


def _middle(grid: Grid, members: Mask) -> float:
    return float(np.median(grid[members]))
