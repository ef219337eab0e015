"""The parts of teeth as a small neural net sees them, which was trained on scenes that the project draws itself.

It has never seen a photograph.
"""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.outline_search.net_output import PARTS, SIZE_PX, STEP
from patternscan.seeing.packaged_net import PackagedNet

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
    """The net's maps (MAPS, rows / STEP, columns / STEP), see ``net_output``, of an sRGB picture (rows, columns, 3)
    with the tip up, whose sides are multiples of STRIDE. Raises BrokenInstallation.
    """
    net = FINDER_NET.net
    net.setInput((pixels.astype(np.float32) / 127.5 - 1).transpose(2, 0, 1)[None])
    maps: NDArray[np.float32] = np.asarray(net.forward(), dtype=np.float32)[0]
    return maps
