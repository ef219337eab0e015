"""The parts of teeth as a small neural net sees them: what it is given and what it answers, in training as in use.

It was trained on scenes that the project draws itself, and has never seen a photograph.
"""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.packaged_net import PackagedNet

SIZE_PX, STEP = 320, 4
"""Side of the square pictures that the net is trained on, tip up; it answers for each STEP-th pixel of each STEP-th
row."""
STRIDE = 32
"""Rows and columns of a picture that the net is given are a multiple of this."""
PARTS = ("nothing", "flank", "back flank", "tip land", "root", "end face")
"""What a pixel may show. "flank" is one whose tip points up in the picture, "back flank" one on teeth's other side."""
PART = slice(0, len(PARTS))
MARKED, COMPOUND = len(PARTS), len(PARTS) + 1
"""Logits: whether the flank seen carries compound anywhere, whether there is compound at this pixel."""
PLACE = slice(COMPOUND + 1, COMPOUND + 3)
"""Place on the flank: 0 at its left end to 1 at its right one, 0 at the root edge to 1 at the tip."""
CORNERS = slice(COMPOUND + 3, COMPOUND + 11)
"""x and y from the pixel to the corners of the flank (root left, root right, tip right, tip left), in CORNER_PX."""
PLACE_SPREAD, CORNER_SPREAD = COMPOUND + 11, COMPOUND + 12
"""Logarithms of the mean errors of both."""
MAPS = COMPOUND + 13
CORNER_PX = 32.0
VERSION = 1
"""Of the meaning of input and maps: to be raised when it changes."""


def net_description(weights: bytes) -> dict[str, Any]:
    """What stands in the file beside the net's weights, so that nobody feeds it what it was not trained on."""
    return {
        "format": "patternscan-net",
        "version": VERSION,
        "parts": list(PARTS),
        "size_px": SIZE_PX,
        "step": STEP,
        "sha256": sha256(weights).hexdigest(),
    }


FINDER_NET = PackagedNet("patternscan.seeing.outline_search", "finder_net.onnx", "finder_net.json", net_description)


def tooth_maps(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """The net's maps (MAPS, rows / STEP, columns / STEP) of an sRGB picture (rows, columns, 3) with the tip up, whose
    sides are multiples of STRIDE. Raises BrokenInstallation.
    """
    maps: NDArray[np.float32] = all_tooth_maps(pixels[None])[0]
    return maps


def all_tooth_maps(pictures: NDArray[np.uint8]) -> NDArray[np.float32]:
    """The same (n, MAPS, rows / STEP, columns / STEP) of small pictures (n, rows, columns, 3), quicker at once."""
    net = FINDER_NET.net
    net.setInput((pictures.astype(np.float32) / 127.5 - 1).transpose(0, 3, 1, 2))
    return np.asarray(net.forward(), dtype=np.float32)
