"""A trained net of the package: its weights, checked against the file that describes them, a copy for each thread."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources
from typing import Any

import cv2
import numpy as np

from patternscan.errors import BrokenInstallation

_own = threading.local()


@dataclass(frozen=True, slots=True)
class NetFiles:
    """Where a net lies: the package, the ONNX file of its weights, and the JSON file that describes them."""

    package: str
    weights: str
    description: str


def net_of_this_thread(files: NetFiles, described: Callable[[bytes], dict[str, Any]]) -> Any:
    """The net, loaded once a thread: it keeps its last picture, so threads must not share one. ``described``: what has
    to stand beside these weights in this version. Raises BrokenInstallation.
    """
    nets = vars(_own).setdefault("nets", {})
    if files not in nets:
        nets[files] = _loaded(files, described)
    return nets[files]


def _loaded(files: NetFiles, described: Callable[[bytes], dict[str, Any]]) -> Any:
    folder = resources.files(files.package)
    try:
        weights = folder.joinpath(files.weights).read_bytes()
        if json.loads(folder.joinpath(files.description).read_bytes()) != described(weights):
            raise BrokenInstallation(
                f"{files.weights} of patternscan is not the one that {files.description} describes or this version "
                "needs.",
                "Install it again.",
            )
        return cv2.dnn.readNetFromONNX(np.frombuffer(weights, dtype=np.uint8))
    except (OSError, ValueError, cv2.error) as error:
        raise BrokenInstallation(
            f"The file {files.weights} or {files.description} of patternscan is missing or damaged.",
            "Install it again.",
        ) from error
