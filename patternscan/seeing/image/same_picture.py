"""Whether two pictures are one exposure: saved again, made smaller, mirrored or turned, it is still the same.

A second exposure from the same stand is another picture: its light or its frame differs by a little all over.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import median
from patternscan.seeing.image.fingerprint import SIDE, STEPS, Fingerprint

Levels = NDArray[np.float64]

UNLIKE = 0.25
"""Part of the play of grey all over by which copies differ at most, light and frame allowed for. Of 82 rendered
photographs copies saved at quality 5 to 95, up to a third of the size, differed by 0.2 at most, and two photographs by
0.5 at least."""
SPOT_LEVELS, SPOT_RATIO = 1.5, 15.0
"""A cell that differs by more than this grey, and by so many times what half of the cells differ by, shows another
thing: a print that changed, seen from the same stand. Copies that differed by more than the first had 11 at most; a
darker spot of 3 by 10 hundredths of the picture 60 at least."""
OTHER_LIGHT, OTHER_FRAME_PX = 0.004, 0.25
"""Part of the light, and pixels of the smaller picture, by which two exposures differ at least. On the same photographs
copies of quality 10 and more differed by 0.0026 at most; fresh noise and 2 % more linear light made 0.0047 at least."""
SURE_OF_LIGHT, SURE_OF_FRAME = 15.0, 5.0
"""And by so many standard deviations, since badly saved copies differ by chance: by 11 and 4 at most, fresh exposures
by 39 and by 13 when they were shifted by half a pixel."""
UNLIKE_PLACES, SHIFTED = 0.35, 0.009
"""Part of the play of grey, light allowed for, and of the picture's side, by which what is seen lies elsewhere in
another picture. On 33 photographs (dev, rims, port) copies saved at quality 5 to 90, or made brighter, darker or of
more contrast, differed by 0.30 and 0.0085 at most; those moved by 0.01 of the width by 0.0097 at least."""
FAINT_LEVELS = 1.0
"""Play of grey below which a picture shows nothing that could lie elsewhere."""


def same_picture(one: Fingerprint, other: Fingerprint) -> bool:
    """Whether both are one exposure, whichever way round, whatever their names."""
    width = min(max(one.width_px, one.height_px), max(other.width_px, other.height_px))
    levels = levels_of(one)
    return any(_same(levels, turned, width / SIDE) for turned in _turned(levels_of(other)))


def lies_alike(one: Fingerprint, other: Fingerprint) -> bool:
    """Whether what one picture shows lies at the same places in the other, saved again or in another light."""
    levels, others = levels_of(one), levels_of(other).ravel()
    down, across = np.gradient(levels)
    causes = np.stack([levels.ravel(), np.ones(levels.size), across.ravel(), down.ravel()], axis=1)
    parts = np.linalg.lstsq(causes, others)[0]
    light = max(abs(parts[0]), 1e-9)
    unlike = (others - causes @ parts).std() / max(light * levels.std(), FAINT_LEVELS)
    return bool(unlike < UNLIKE_PLACES and np.hypot(*parts[2:]) / light / SIDE < SHIFTED)


def levels_of(one: Fingerprint) -> Levels:
    """Grey 0..255 of each cell (SIDE, SIDE)."""
    return np.frombuffer(one.steps, dtype="<u2").reshape(SIDE, SIDE) / STEPS


def _turned(levels: Levels) -> Iterator[Levels]:
    for quarters in range(4):
        yield np.rot90(levels, quarters)
        yield np.rot90(levels, quarters).T


def _same(one: Levels, other: Levels, cell_px: float) -> bool:
    """Whether two pictures differ by no more than copies do: least squares for light and frame, and what is left."""
    down, across = np.gradient(one)
    causes = np.stack([one.ravel(), across.ravel(), down.ravel()], axis=1)
    change = (other - one).ravel()
    squares = causes.T @ causes + np.eye(3) * 1e-9
    parts = np.linalg.solve(squares, causes.T @ change)
    left = change - causes @ parts
    spots = np.abs(left)
    if left.std() > UNLIKE * one.std() or spots.max() > max(SPOT_LEVELS, SPOT_RATIO * median(spots)):
        return False
    sure = parts / np.sqrt(np.diag(np.linalg.inv(squares)) * left.var() + 1e-12)
    other_light = abs(parts[0]) > OTHER_LIGHT and abs(sure[0]) > SURE_OF_LIGHT
    other_frame = np.hypot(*parts[1:]) * cell_px > OTHER_FRAME_PX and np.hypot(*sure[1:]) > SURE_OF_FRAME
    return not (other_light or other_frame)
