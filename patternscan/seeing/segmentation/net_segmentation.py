"""A second pair of eyes: a small neural net that was trained on pictures which the project draws itself.

It looks at shapes, streaks and sheen, where the parting of colours looks at each place by itself; so the two go wrong
on different photos. It has never seen a photograph. How it was made: ``sample_images/contact_net``.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass
from importlib import resources
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import BrokenInstallation
from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.segmentation.film import SRGB_TO_LINEAR, WORK_COLUMNS, WORK_ROWS, Grid, Mask

NAMES = (Compound.BLUE, Compound.YELLOW, Compound.WHITE, Compound.RED)
"""The compounds in the order of the net's answers; the last answer, after these, is "no compound"."""
WEIGHTS = "contact_net.onnx"
DARKEST = 0.02
"""Added to light, in units of its mean, before the logarithm is taken, as when the net was trained."""

_own = threading.local()


@dataclass(frozen=True, slots=True, eq=False)
class LearnedLook:
    """What the net sees; grids are (WORK_ROWS, WORK_COLUMNS), row 0 = tip, column 0 = end A.

    ``leaning``: float32 logarithm of the odds that the worm touched there. ``film``: float32 0..1, how much compound
    lies there. ``bare``: how likely there is no compound at all; ``names``: if there is, how likely each.
    """

    leaning: Grid
    film: Grid
    names: dict[Compound, float]
    bare: float


def look_learned(flank: RectifiedFlank, marking: Marking, compound: Compound | None) -> LearnedLook:
    """Let the net look at a flank; ``compound`` None means that nobody told which. Raises BrokenInstallation."""
    net = _net()
    net.setInput(_planes(flank, marking, compound))
    maps, answers = net.forward(["maps", "name"])
    leaning, film = np.asarray(maps, dtype=np.float32)[0]
    odds = np.exp(np.clip(np.asarray(answers, dtype=np.float64)[0], -30, 30))
    *named, bare = (float(share) for share in odds / odds.sum())
    names = {name: share / max(1 - bare, 1e-9) for name, share in zip(NAMES, named, strict=True)}
    return LearnedLook(leaning, np.asarray(1 / (1 + np.exp(-np.clip(film, -30, 30))), dtype=np.float32), names, bare)


def _net() -> Any:
    """The net of this thread: it keeps its last picture, so threads must not share one. Raises BrokenInstallation."""
    if not hasattr(_own, "net"):
        try:
            weights = resources.files("patternscan.seeing.segmentation").joinpath(WEIGHTS).read_bytes()
            _own.net = cv2.dnn.readNetFromONNX(np.frombuffer(weights, dtype=np.uint8))
        except (OSError, cv2.error) as error:
            raise BrokenInstallation(
                f"The file {WEIGHTS} of patternscan is missing or damaged.", "Install it again."
            ) from error
    return _own.net


def _planes(flank: RectifiedFlank, marking: Marking, compound: Compound | None) -> Grid:
    """What the net is shown, float32 (1, 11, WORK_ROWS, WORK_COLUMNS).

    Logarithms of red, green and blue light against their mean; the strongest colour; what is seen; height above the
    root; marking; and the compound as told, all zero when not.
    """
    size = (WORK_COLUMNS, WORK_ROWS)
    pixels = np.asarray(cv2.resize(flank.pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    seen = cv2.resize(flank.seen.astype(np.float32), size, interpolation=cv2.INTER_AREA) >= 0.5
    planes = np.zeros((11, WORK_ROWS, WORK_COLUMNS), dtype=np.float32)
    planes[:3] = _light(pixels, seen).transpose(2, 0, 1)
    planes[3] = pixels.max(axis=2) * seen / np.float32(255)
    planes[4] = seen
    planes[5] = (0.5 - (np.arange(WORK_ROWS, dtype=np.float32) + 0.5) / WORK_ROWS)[:, None]
    planes[6] = 1 if marking is Marking.RUB_OFF else -1
    if compound is not None:
        planes[7 + NAMES.index(compound)] = 1
    return planes[None]


def _light(pixels: NDArray[np.uint8], seen: Mask) -> Grid:
    linear = cv2.LUT(pixels, SRGB_TO_LINEAR)
    mean = float(linear[seen].mean()) if seen.any() else 0.0
    return np.asarray(
        np.log(linear / np.float32(mean + 1e-4) + np.float32(DARKEST)) * seen[..., None], dtype=np.float32
    )
