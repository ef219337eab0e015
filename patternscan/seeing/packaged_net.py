"""A trained net of the package: its weights, checked against the file that describes them, a copy for each thread."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from contextlib import suppress
from functools import cached_property
from pkgutil import get_data
from typing import Any

import cv2
import numpy as np

from patternscan.errors import BrokenInstallation


class PackagedNet(threading.local):
    """A net keeps its last picture, so each thread has its own copy, loaded when it is first used there.

    ``package``: where its files lie; ``weights``: the ONNX file; ``description``: the JSON file beside it;
    ``described``: what has to stand in that file for such weights in this version.
    """

    def __init__(
        self, package: str, weights: str, description: str, described: Callable[[bytes], dict[str, Any]]
    ) -> None:
        self.package, self.weights, self.description, self.described = package, weights, description, described
        self._coming: _Coming | None = None

    @property
    def sha256(self) -> str:
        """Digest of the weights as the description tells it. Raises BrokenInstallation."""
        try:
            return str(self._told["sha256"])
        except (OSError, ValueError, LookupError) as error:
            raise BrokenInstallation(
                f"The file {self.description} of patternscan is missing or damaged.", "Install it again."
            ) from error

    @cached_property
    def net(self) -> Any:
        """The net of this thread. Raises BrokenInstallation."""
        if self._coming is not None:
            self._coming.join()
        return self._loaded() if self._coming is None or self._coming.net is None else self._coming.net

    def fetch(self) -> None:
        """Begin to load the net of this thread, beside what the thread does until it needs it."""
        if self._coming is None and "net" not in vars(self):
            self._coming = _Coming(self._loaded)
            self._coming.start()

    def _loaded(self) -> Any:
        try:
            weights = self._content(self.weights)
            if self._told != self.described(weights):
                raise BrokenInstallation(
                    f"{self.weights} of patternscan is not the one that {self.description} describes or this version "
                    "needs.",
                    "Install it again.",
                )
            return cv2.dnn.readNetFromONNX(np.frombuffer(weights, dtype=np.uint8))
        except (OSError, ValueError, cv2.error) as error:
            raise BrokenInstallation(
                f"The file {self.weights} or {self.description} of patternscan is missing or damaged.",
                "Install it again.",
            ) from error

    @property
    def _told(self) -> Any:
        return json.loads(self._content(self.description))

    def _content(self, name: str) -> bytes:
        content = get_data(self.package, name)
        if content is None:
            raise FileNotFoundError(name)
        return content


class _Coming(threading.Thread):
    """A net on its way; None also where it cannot be loaded, so that whoever needs it is told why."""

    def __init__(self, load: Callable[[], Any]) -> None:
        super().__init__()
        self.load, self.net = load, None

    def run(self) -> None:
        """Load it."""
        with suppress(BrokenInstallation):
            self.net = self.load()
