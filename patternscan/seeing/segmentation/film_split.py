"""Film or metal: two groups of colour on one flank, parted by a threshold, each allowed to drift slowly along it."""

from __future__ import annotations

from dataclasses import dataclass
from math import dist, log

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.marking import LIKE_METAL
from patternscan.quantiles import median, quantile
from patternscan.seeing.segmentation.film import FlankColours, Grid, Mask, Pigment, beyond_mirrored

LEAST_SEPARATION = 2.2
"""Groups nearer to each other than this many spreads are one group cut in two (a single normal cut at its middle
gives 2.6, but with no crisp border)."""
LEAST_SCORE = -2.0
"""Colours that fit so badly, for so faint a border, are no compound on bronze."""
FAINT_SCORE = -1.05
"""What the rest must be worth where the border is fainter than that of most films."""
PREFERENCE = 0.03
"""A later first threshold must be worth this much more than an earlier one, which is the plainer choice."""
SMALLEST_GROUP = 0.01
"""Film or metal below this part of the flank is no group."""
PLAIN_METAL = 0.25
"""What lies no further beyond mirrored metal than this, and is parted by no colour either, is metal: print-shaped
tarnish on 15 drawn bare flanks lay within 0.06; of the five flanks of dev, rims and port whose compound only the net
sees, one in the dark lay at 0.08, which is refused, and the others 0.33 and more beyond."""
LOCAL_GRID = (32, 16)
"""Columns and rows of the coarse grid that carries the slow drift of film and metal along the flank."""
LOCAL_REACH = 5.0
"""Spread of the mean taken there, in its cells."""
TONE_LEVELS = 128
"""Levels of tone among which a threshold is sought."""


@dataclass(frozen=True, slots=True, eq=False)
class FilmSplit:
    """One compound's reading of a flank. ``share``: 0 at local bare metal, 1 at local full film, 0.5 where they part.

    ``start``: tone of the first threshold.
    ``step``: how far film and metal lie apart; ``separation``: that over the spread inside the groups.
    ``crispness``: part of the step that happens within a few cells of the border; shading is never crisp.
    ``matness``: logarithm of how much livelier the light plays on the metal than on the film.
    ``beyond``: how far the film's colour lies from that of metal mirrored in metal.
    ``brightness``: logarithm of the film's brightness over the metal's.
    ``unlikeliness``: how badly the colours fit this compound on bronze; smaller is better.
    """

    pigment: Pigment
    start: float
    share: Grid
    step: float
    separation: float
    crispness: float
    matness: float
    beyond: float
    brightness: float
    unlikeliness: float

    @property
    def film(self) -> Mask:
        """Where film covers the metal."""
        return np.asarray(self.share > 0.5)

    @property
    def rise(self) -> float:
        """Crisp part of the step, as a part of the step expected of a full film."""
        return self.step * self.crispness / self.pigment.expected_step

    @property
    def present(self) -> bool:
        """Whether there are really two groups, and not one metal in changing colours."""
        if self.separation < LEAST_SEPARATION or self.mirrored:
            return False
        plain = self.rise / self.pigment.least_rise
        return self.score > (LEAST_SCORE if plain > 1 else FAINT_SCORE) and plain > 0.6

    @property
    def mirrored(self) -> bool:
        """Whether bare metal mirrored in its neighbour explains the film as well."""
        return self.beyond < self.pigment.metal_below and self.brightness < self.pigment.mirror_dark

    @property
    def contrast(self) -> float:
        """How plainly the groups part: a crisp step of the size expected of the compound, and tight groups."""
        return 1.5 * log(max(self.rise, 1e-3)) + log(max(self.separation, 1e-3))

    @property
    def score(self) -> float:
        """How well this compound explains the flank: plain groups of likely colours."""
        return self.contrast - 0.5 * self.unlikeliness + 0.5 * self.matness


def split_film(colours: FlankColours, pigment: Pigment) -> FilmSplit | None:
    """Split a flank into film and metal along a pigment's own direction; None without two groups.

    Several thresholds are tried, because a print that is small, or metal that is not all one colour, misleads one.
    """
    tone = pigment.tone(colours.warmth, colours.depth)
    values = tone[colours.readable]
    if values.size < 0.2 * tone.size:
        return None
    best, best_worth = None, -np.inf
    for start in _starts(values, pigment):
        split = _settle(colours, pigment, start)
        worth = -np.inf if split is None else split.contrast - 0.1 * split.unlikeliness
        if split is not None and worth > best_worth + (PREFERENCE if best is not None else 0.0):
            best, best_worth = split, worth
    return best


def refine_split(colours: FlankColours, coarse: FilmSplit) -> FilmSplit | None:
    """The same split, from the same first threshold, on a finer grid of the same flank; None if it does not hold."""
    return _settle(colours, coarse.pigment, coarse.start)


def _starts(values: NDArray[np.float32], pigment: Pigment) -> list[float]:
    """First thresholds worth trying: of all tones, and of those above that, and the same from the expected colours."""
    middle, half = otsu_threshold(values), pigment.half_tone
    above = [values[values > start] for start in (middle, half)]
    return [middle, half, *(otsu_threshold(part) for part in above if part.size > SMALLEST_GROUP * values.size)]


def _settle(colours: FlankColours, pigment: Pigment, start: float) -> FilmSplit | None:
    """Let a first threshold settle on the local tones of film and metal."""
    tone = pigment.tone(colours.warmth, colours.depth)
    film, share = colours.readable & (tone > start), tone
    metal = colours.readable & ~film
    for _ in range(3):
        if _too_small(film, metal):
            return None
        share, before = _share(tone, film, metal), film
        film = colours.readable & (share > 0.5)
        metal = colours.readable & ~film
        if np.array_equal(film, before):
            break
    if _too_small(film, metal):
        return None
    middle = median(tone[film])
    full = film & (tone >= middle)
    step = middle - median(tone[metal])
    film_colour, metal_colour = middle_colour(colours, full), middle_colour(colours, metal)
    return FilmSplit(
        pigment=pigment,
        start=start,
        share=share,
        step=step,
        separation=step / float(np.sqrt(0.5 * (np.var(tone[film]) + np.var(tone[metal]))) + 1e-6),
        crispness=_border_rise(tone, film, metal) / max(step, 1e-6),
        matness=_matness(colours.brightness, film, metal),
        beyond=beyond_mirrored(film_colour, metal_colour),
        brightness=log((_median(colours.brightness, full) + 1e-3) / (_median(colours.brightness, metal) + 1e-3)),
        unlikeliness=pigment.unlikeliness(film_colour, metal_colour),
    )


def _too_small(film: Mask, metal: Mask) -> bool:
    return bool(min(np.count_nonzero(film), np.count_nonzero(metal)) < SMALLEST_GROUP * film.size)


def otsu_threshold(values: NDArray[np.float32]) -> float:
    """The value that divides two groups with the least variance inside them; the outermost 0.5 % do not count.

    Source: N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC 9 (1979).
    """
    low, high = (quantile(values, share) for share in (0.005, 0.995))
    step = (high - low + 1e-6) / TONE_LEVELS
    levels = np.floor((values[(values >= low) & (values <= high)] - low) / step).astype(np.uint8)
    level, _ = cv2.threshold(levels, 0, TONE_LEVELS, cv2.THRESH_OTSU)
    return float(low + (level + 1) * step)


def _matness(brightness: Grid, film: Mask, metal: Mask) -> float:
    play = [float(np.std(np.log(brightness[m] + 1e-3))) for m in (metal, film)]
    return float(np.clip(log((play[0] + 0.1) / (play[1] + 0.1)), -1, 1))


def _share(tone: Grid, film: Mask, metal: Mask) -> Grid:
    """Share of film between the local tones of film and metal."""
    metal_middle, film_middle = median(tone[metal]), median(tone[film])
    around = local_mean(tone, film, film_middle), local_mean(tone, metal, metal_middle)
    return _share_between(tone, (film, metal), around, film_middle - metal_middle)


def local_mean(tone: Grid, members: Mask, middle: float) -> Grid:
    """The members' tone around each place, leaning on their median ``middle`` where few are near."""
    rows, cols = tone.shape
    weight = members.astype(np.float32)
    near = cv2.resize(weight, LOCAL_GRID, interpolation=cv2.INTER_AREA)
    off = cv2.resize((tone - middle) * weight, LOCAL_GRID, interpolation=cv2.INTER_AREA)
    near, off = (cv2.GaussianBlur(g, (0, 0), LOCAL_REACH, borderType=cv2.BORDER_REFLECT) for g in (near, off))
    drift = cv2.resize(off / (near + 0.3), (cols, rows), interpolation=cv2.INTER_LINEAR)
    return np.asarray(middle + drift, dtype=np.float32)


def middle_colour(colours: FlankColours, members: Mask) -> tuple[float, float]:
    """Median warmth and depth of the members."""
    return _median(colours.warmth, members), _median(colours.depth, members)


def unlike_beside(colours: FlankColours, part: Mask) -> float:
    """How much further a part of the flank lies from the colours of tip land and root than the rest does, which is bare
    metal if the part is compound; 0 where nothing is known.
    """
    part, rest = colours.readable & part, colours.readable & ~part
    if not colours.beside or _too_small(part, rest):
        return 0.0
    inner, outer = middle_colour(colours, part), middle_colour(colours, rest)
    return float(np.mean([dist(inner, beside) - dist(outer, beside) for beside in colours.beside]))


def like_metal(colours: FlankColours, part: Mask) -> bool:
    """Whether a part of the flank is more like tip land and root, which are bare metal, than the rest is."""
    return unlike_beside(colours, part) < -LIKE_METAL


def plain_metal(colours: FlankColours, part: Mask) -> bool:
    """Whether a part of the flank is no brighter than the rest and shows no other colour than that one mirrored in
    itself, or tarnished, would: each bounce takes light.
    """
    part, rest = colours.readable & part, colours.readable & ~part
    if _too_small(part, rest) or _median(colours.brightness, part) > _median(colours.brightness, rest):
        return False
    return beyond_mirrored(middle_colour(colours, part), middle_colour(colours, rest)) < PLAIN_METAL


def _median(values: Grid, members: Mask) -> float:
    return median(values[members])


def _spread(values: Grid, members: Mask) -> float:
    """Standard deviation of the members' values."""
    return float(cv2.meanStdDev(values, mask=members.view(np.uint8))[1][0, 0])


def _share_between(tone: Grid, groups: tuple[Mask, Mask], around: tuple[Grid, Grid], step: float) -> Grid:
    """Share of film between the local tones ``around`` of film and metal; 0.5 where they part.

    The looser group gets more room on its side. The local tones count as no nearer than a part of ``step``, which is
    how far the groups lie apart on the whole.
    """
    (film, metal), (high, low) = groups, around
    loose_film, loose_metal = _spread(tone - high, film), _spread(tone - low, metal)
    part = min(max(loose_metal / (loose_metal + loose_film + 1e-6), 0.4), 0.6)
    raw = (tone - low) / np.maximum(np.maximum(high - low, 0.4 * step), 1e-3)
    bent = np.where(raw < part, 0.5 * raw / part, 0.5 + 0.5 * (raw - part) / (1 - part))
    return np.asarray(bent, dtype=np.float32)


def _border_rise(tone: Grid, film: Mask, metal: Mask) -> float:
    """How much the tone rises across the film's border, within a fortieth of the face width on either side."""
    reach = tone.shape[1] // 40
    window = (2 * reach + 1, 2 * reach + 1)
    near_film, near_metal = (cv2.blur(m.astype(np.float32), window) for m in (film, metal))
    inner, outer = (cv2.blur(np.where(m, tone, 0).astype(np.float32), window) for m in (film, metal))
    border = (near_film > 0.3) & (near_metal > 0.3)
    if not border.any():
        return 0.0
    return median(inner[border] / near_film[border] - outer[border] / near_metal[border])
