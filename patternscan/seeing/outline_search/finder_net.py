"""The parts of teeth as a small neural net sees them, which was trained on scenes that the project draws itself.

It has never seen a photograph.
"""

from __future__ import annotations

import json
import threading
from hashlib import sha256
from importlib import resources
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import BrokenInstallation
from patternscan.seeing.outline_search.net_output import PARTS, SIZE_PX, STEP

WEIGHTS, DESCRIPTION = "finder_net.onnx", "finder_net.json"
VERSION = 1
"""Of the meaning of input and maps: to be raised when it changes."""

_own = threading.local()


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


def tooth_maps(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """The net's maps (MAPS, SIZE_PX / STEP, SIZE_PX / STEP), see ``net_output``, of an sRGB picture (SIZE_PX, SIZE_PX,
    3) with the tip up. Raises BrokenInstallation.
    """
    net = _net()
    net.setInput((pixels.astype(np.float32) / 127.5 - 1).transpose(2, 0, 1)[None])
    maps: NDArray[np.float32] = np.asarray(net.forward(), dtype=np.float32)[0]
    return maps


def _net() -> Any:
    """The net of this thread: it keeps its last picture, so threads must not share one. Raises BrokenInstallation."""
    if not hasattr(_own, "net"):
        _own.net = _loaded_net()
    return _own.net


def _loaded_net() -> Any:
    folder = resources.files("patternscan.seeing.outline_search")
    try:
        weights = folder.joinpath(WEIGHTS).read_bytes()
        described = json.loads(folder.joinpath(DESCRIPTION).read_bytes())
        if described != net_description(weights):
            raise BrokenInstallation(
                f"{WEIGHTS} of patternscan is not the one that {DESCRIPTION} describes or this version needs.",
                "Install it again.",
            )
        return cv2.dnn.readNetFromONNX(np.frombuffer(weights, dtype=np.uint8))
    except (OSError, ValueError, cv2.error) as error:
        raise BrokenInstallation(
            f"The file {WEIGHTS} or {DESCRIPTION} of patternscan is missing or damaged.", "Install it again."
        ) from error
