"""Whether a found flank carries compound and is outlined well: signs in its colours and in how the net saw it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.closer_look import INNER, FoundFlank
from patternscan.seeing.outline_search.compound_colours import likeness_to_compound
from patternscan.seeing.outline_search.image_features import looked_up

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
