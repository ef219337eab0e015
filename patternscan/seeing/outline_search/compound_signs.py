"""Whether a found flank carries compound and is outlined well: signs in its colours and in how the net saw it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import median, quantile
from patternscan.seeing.image.lab import lab
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.closer_look import INNER, FoundFlank
from patternscan.seeing.outline_search.image_features import Map, looked_up, shrunk

Numbers = NDArray[np.float64]

LEAST_SHARE = 0.55
"""Likeness to compound that a further marked flank has at least, as a part of the best one's."""
LEAST_INSIDE, LEAST_PIXELS = 0.6, 100
"""Part of a flank that must lie in the photo, and pixels of the net's maps that must show it in its own window: the
least of 141 marked ones had 170 (dev, rims, port)."""
BIAS, WEIGHTS = -12.64, (8.39, 13.33, 3.08, 0.78)
"""Of the signs in ``Signs.numbers`` in the logit of confidence: logistic regression on 490 flanks, marked and bare, of
82 rendered photographs of 49 machines (dev, rims, port, bare), as an earlier net saw them. As the net of now sees
them 60 of 66 marked photographs are trusted so, none wrongly, and none of 16 without compound; so they are when the
signs are weighed anew."""
BRIGHT, BRIGHT_PERCENT, LARGEST_GAIN = 200.0, 95, 12.0
"""Of the middle of a picture so many pixels in a hundred are to be darker than this, of 255; and the most that it is
brightened for that."""
BLUE_SHARE = 0.008
"""Part of the wheel that must look blue for other colours to be left out of account."""
SURELY_BLUE = -4.0
"""Largest b* (CIELAB) of a colour that no bronze has, not even in the shade."""
HUE_SLOPE = (-0.4, 0.0)
"""Bronze that mirrors bronze grows stronger in colour and redder: change of hue (degrees) per chroma (CIELAB)."""


@dataclass(frozen=True, slots=True)
class Signs:
    """What speaks for a flank. ``compound``: how surely the net sees some on it, 0..1; ``colours``: how much its
    colours are like compound, 0..1; ``agreement`` of both looks, 0..1; ``pixels`` that showed it; ``inside``: part that
    lies in the photo.
    """

    compound: float
    colours: float
    agreement: float
    pixels: int
    inside: float

    @property
    def numbers(self) -> tuple[float, ...]:
        """The signs as they are weighed."""
        return (self.compound, self.colours, self.agreement, float(np.log(self.pixels)))

    @property
    def confidence(self) -> float:
        """Probability that the outline covers a marked flank by 0.7 or more (overlap over union)."""
        if self.inside < LEAST_INSIDE or self.pixels < LEAST_PIXELS:
            return 0.0
        logit = BIAS + sum(weight * number for weight, number in zip(WEIGHTS, self.numbers, strict=True))
        return float(1 / (1 + np.exp(-logit)))


def as_marked(signs: Signs, best: Signs) -> bool:
    """Whether a further flank carries about as much compound as the one that is surely marked."""
    return signs.colours > LEAST_SHARE * best.colours


def signs_of(flank: FoundFlank, photo: Photo) -> Signs:
    """The signs for one flank of a photo."""
    shown = flank.shown(INNER)
    seen = flank.window.in_photo(shown)
    inside = ((seen >= 0) & (seen < photo.held_px)).all(axis=1)
    if not inside.any():
        return Signs(0.0, 0.0, 0.0, 1, 0.0)
    x, y = shown[inside].T.astype(np.float32)[:, None]
    colours = looked_up(likeness_to_compound(flank.picture), x, y)
    near = flank.near
    return Signs(near.compound, float(colours.mean()), flank.agreement, len(near.pixels), float(inside.mean()))


def likeness_to_compound(pixels: NDArray[np.uint8]) -> Map:
    """How much each pixel of an sRGB picture (rows, cols, 3), a dark one brightened, looks like compound, 0..1."""
    rows, cols = pixels.shape[:2]
    return np.asarray(cv2.resize(_compound(shrunk(lab(_brightened(pixels)), 2)), (cols, rows)), np.float32)


def _brightened(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """A picture whose middle is dark as a longer exposure would show it."""
    rows, cols = pixels.shape[:2]
    middle = pixels[rows // 4 : 3 * rows // 4 : 2, cols // 4 : 3 * cols // 4 : 2].max(axis=2)
    bright = max(quantile(middle, BRIGHT_PERCENT / 100), 1.0)
    gain = min(max(BRIGHT / bright, 1.0), LARGEST_GAIN)
    return pixels if gain == 1 else np.asarray(cv2.convertScaleAbs(pixels, alpha=gain))


def _compound(colours: Map) -> Map:
    """Where compound may lie, float32 (rows, cols), 0..1."""
    size = max(colours.shape)
    red, yellow = (_blurred(colours[..., k], 0.6) for k in (1, 2))
    chroma, hue = np.hypot(red, yellow), np.degrees(np.arctan2(yellow, red))
    bronze = ((chroma > 12) & (hue > 30) & (hue < 105)).astype(np.float32)
    wheel = _closed(bronze, size)
    inner = np.asarray(cv2.erode(wheel, _disc(size / 50)))
    plain = (bronze > 0) & (inner > 0)
    if plain.sum() < 50:
        return np.zeros_like(bronze)
    usual_hue, usual_chroma = (median(m[plain]) for m in (hue, chroma))
    blue = inner * _ramp(0.35 * usual_chroma * np.sin(np.radians(usual_hue)) - yellow, 2, 10) * (colours[..., 0] < 85)
    strange_hue = hue - _hue_slope(hue[plain], chroma[plain]) * chroma
    strange_hue -= median(strange_hue[plain])
    vivid = _ramp(chroma / usual_chroma, 1.1, 1.4)
    strange = inner * vivid * np.maximum(_ramp(strange_hue, 8, 14), _ramp(-strange_hue, 12, 20))
    surely_blue = blue * (yellow < SURELY_BLUE)
    paint = (
        blue if surely_blue.sum() > max(BLUE_SHARE * inner.sum(), 0.5 * strange.sum()) else np.maximum(blue, strange)
    )
    return np.asarray(paint, dtype=np.float32)


def _hue_slope(hue: Map, chroma: Map) -> float:
    """How much the hue of bronze changes with its chroma, by least squares, within what is likely."""
    away = chroma - chroma.mean()
    return float(np.clip((away @ hue) / max(float(away @ away), 1e-6), *HUE_SLOPE))


def _closed(bronze: Map, size_px: int) -> Map:
    """Bronze with its gaps filled, where compound, glare and shade lie; lone specks are dropped.

    The wide gaps are filled on a copy half as large, which takes a sixteenth of the time.
    """
    cleared = cv2.morphologyEx(bronze, cv2.MORPH_OPEN, _disc(size_px / 200))
    filled = cv2.morphologyEx(shrunk(np.asarray(cleared, np.float32), 2), cv2.MORPH_CLOSE, _disc(size_px / 22))
    whole = cv2.resize(filled, bronze.shape[::-1]) > 0.5
    return np.maximum(whole, cleared).astype(np.float32)


def _disc(radius_px: float) -> NDArray[np.uint8]:
    reach = 2 * max(1, round(radius_px)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)), dtype=np.uint8)


def _ramp(values: Map | NDArray[np.float64], low: float, high: float) -> Map:
    ramp: Map = np.clip((values - low) / (high - low), 0, 1).astype(np.float32)
    return ramp


def _blurred(values: Map, blur_px: float) -> Map:
    return np.asarray(cv2.GaussianBlur(values, (0, 0), blur_px), dtype=np.float32)
