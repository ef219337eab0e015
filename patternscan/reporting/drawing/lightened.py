"""Dark flanks shown lighter, so that an eye can follow what was found on them; the photo itself stays as it is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from patternscan.measuring.reading import Reading
from patternscan.reporting.text.figures.captions import is_dark
from patternscan.seeing.image.lab import SRGB_TO_LINEAR

Levels = NDArray[np.uint8]

SHOWN, BRIGHT_SHARE = 170, 90
"""Level, of 255, at which the flank's bright places are shown, and the part of its places, in %, that are darker."""
AS_IT_IS: Levels = np.arange(256, dtype=np.uint8)


def tone_of(reading: Reading) -> Levels:
    """The sRGB level at which each level of the photo is shown, uint8 (256,): linear light times one number for all
    colours, so that these stay what they are; AS_IT_IS where the flank is not dark.
    """
    if not is_dark(reading):
        return AS_IT_IS
    seen = reading.rectified.pixels[reading.rectified.seen].max(axis=1)
    bright = max(float(np.percentile(seen, BRIGHT_SHARE)), 1.0) if seen.size else SHOWN
    gain = max(SRGB_TO_LINEAR[SHOWN] / np.interp(bright, AS_IT_IS, SRGB_TO_LINEAR), 1.0)
    return np.asarray(np.interp(SRGB_TO_LINEAR * gain, SRGB_TO_LINEAR, AS_IT_IS).round(), dtype=np.uint8)


def tone_of_photo(readings: Sequence[Reading]) -> Levels:
    """The same for a photo with several flanks: as the one of them in the best light is shown."""
    return min(map(tone_of, readings), key=lambda tone: int(tone.sum()))
