"""Photos drawn with a known print on a slanted flank, for tests of the whole way."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.seeing.geometry.mapping import map_outline
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.image.photo import Photo

BRONZE = (176.0, 128.0, 78.0)
BLUE = (34.0, 70.0, 150.0)
WIDTH_PX, HEIGHT_PX = 900, 640


def slanted_outline(flank: Flank = Flank.RIGHT) -> Outline:
    """A tilted, curved, four-sided flank, tip up; end A on the left for the right flank, on the right for the left."""
    along = np.linspace(0, 1, 9)
    sag = 4 * along * (1 - along)
    root = np.stack([120 + 640 * along, 430 + 70 * along - 28 * sag], axis=1)
    tip = np.stack([150 + 600 * along, 190 + 50 * along + 34 * sag], axis=1)
    if flank is Flank.LEFT:
        root, tip = root[::-1].copy(), tip[::-1].copy()
    ends = {"end_a": [root[0], tip[0]], "end_b": [root[-1], tip[-1]]}
    return checked_outline({"root": root, "tip": tip, **ends}, flank)


def drawn_photo(
    outline: Outline, print_at: tuple[float, float, float, float], name: str = "drawn.png", tooth: int = 0
) -> Photo:
    """A bronze flank on a grey ground with one blue print at (along low, along high, up low, up high).

    The lamp stands a little nearer for left flanks, and their metal has another grain, so that the two are two flanks;
    so has that of each tooth.
    """
    rng = np.random.default_rng((11 if outline.flank is Flank.RIGHT else 12) + 2 * tooth)
    ground = np.full((HEIGHT_PX, WIDTH_PX, 3), 96.0)
    border = np.round(outline.border).astype(np.int32)
    cv2.fillPoly(ground, [border], BRONZE)
    low, high, bottom, top = print_at
    corners = _loop(low, high, bottom, top)
    cv2.fillPoly(ground, [np.round(map_outline(outline).to_photo(corners)).astype(np.int32)], BLUE)
    shading = (0.85 if outline.flank is Flank.RIGHT else 0.88) + 0.3 * np.linspace(0, 1, WIDTH_PX)[None, :, None]
    grain = rng.normal(0, 3.0, (HEIGHT_PX, WIDTH_PX, 1))
    smooth = cv2.GaussianBlur(ground * shading + grain, (0, 0), 1.0)
    return Photo(name, np.clip(smooth, 0, 255).astype(np.uint8))


def _loop(low: float, high: float, bottom: float, top: float) -> NDArray[np.float64]:
    """The border of a block on the flank, finely divided, (n, 2) as along, up."""
    step = np.linspace(0, 1, 40)[:, None]
    turns = np.array([[low, bottom], [high, bottom], [high, top], [low, top], [low, bottom]])
    return np.concatenate([turns[k] + step * (turns[k + 1] - turns[k]) for k in range(4)])
