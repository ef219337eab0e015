"""Whether a found flank carries compound and is outlined well: signs in its colours and in how the net saw it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.closer_look import INNER, FoundFlank
from patternscan.seeing.outline_search.compound_colours import colour_maps
from patternscan.seeing.outline_search.image_features import looked_up

Numbers = NDArray[np.float64]

LEAST_COMPOUND, LEAST_SHARE = 0.03, 0.55
"""Likeness to compound that a further marked flank has at least, and as a part of the best one's."""
LEAST_INSIDE = 0.6
"""Part of a flank that must lie in the photo."""
BIAS, WEIGHTS = -19.75, (9.0, 3.2, 5.7, 1.57)
"""Of the signs in ``Signs.numbers`` in the logit of confidence: logistic regression on 317 flanks, marked and bare, of
82 rendered photographs of 49 machines. Left out by machine in turn, 52 of 65 marked photographs were found so, none but
one of them wrong, and on 15 of 16 without compound no flank was trusted."""


@dataclass(frozen=True, slots=True)
class Signs:
    """What speaks for a flank. ``compound``: mean likeness of its colours to compound, 0..1; ``colours``: spread of its
    b* (CIELAB, 5th to 95th percentile); ``agreement`` of both looks, 0..1; ``pixels`` that showed it; ``inside``: part
    that lies in the photo.
    """

    compound: float
    colours: float
    agreement: float
    pixels: int
    inside: float

    @property
    def numbers(self) -> tuple[float, ...]:
        """The signs as they are weighed."""
        return (self.compound, self.colours / 50, self.agreement, float(np.log(self.pixels)))

    @property
    def confidence(self) -> float:
        """Probability that the outline covers a marked flank by 0.7 or more (overlap over union)."""
        if self.inside < LEAST_INSIDE:
            return 0.0
        logit = BIAS + sum(weight * number for weight, number in zip(WEIGHTS, self.numbers, strict=True))
        return float(1 / (1 + np.exp(-logit)))


def as_marked(signs: Signs, best: Signs) -> bool:
    """Whether a further flank carries about as much compound as the one that is surely marked."""
    return signs.compound > max(LEAST_COMPOUND, LEAST_SHARE * best.compound)


def signs_of(flank: FoundFlank, photo: Photo) -> Signs:
    """The signs for one flank of a photo."""
    shown = flank.shown(INNER)
    seen = flank.window.in_photo(shown)
    inside = ((seen >= 0) & (seen < photo.held_px)).all(axis=1)
    if not inside.any():
        return Signs(0.0, 0.0, 0.0, 1, 0.0)
    colours = colour_maps(flank.window.picture(photo))
    x, y = shown[inside].T.astype(np.float32)[:, None]
    compound, yellow = (looked_up(values, x, y) for values in (colours.compound, colours.yellow))
    spread = float(np.subtract(*np.percentile(yellow, [95, 5])))
    return Signs(float(compound.mean()), spread, flank.agreement, len(flank.near.pixels), float(inside.mean()))
