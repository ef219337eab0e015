"""The code that lets other devices in, and who may come in without it."""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from ipaddress import ip_address

DIGITS = 6
WRONG_TRIES = 5
WAIT_SECONDS = 60.0
"""After so many wrong tries from one device nothing more is heard from it for so long."""
WRONG_FROM_ALL = 50
"""Wrong tries from all devices together within WAIT_SECONDS, after which every stranger waits."""


def new_code() -> str:
    """A fresh code."""
    return f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"


def is_this_computer(address: str | None) -> bool:
    """Whether a request comes from the computer that serves the pages."""
    try:
        return ip_address(address or "").is_loopback
    except ValueError:
        return False


@dataclass(slots=True)
class Doorkeeper:
    """Compares codes, and lets whoever guesses wait."""

    code: str
    clock: Callable[[], float] = time.monotonic
    _wrong: dict[str, list[float]] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def wait_seconds(self, address: str) -> float:
        """How long this device has to wait before it is heard again; 0 for not at all."""
        with self._lock:
            now = self.clock()
            self._forget(now)
            tries = self._wrong.get(address, [])
            everybody = [one for times in self._wrong.values() for one in times]
            waits = [times for times, most in ((tries, WRONG_TRIES), (everybody, WRONG_FROM_ALL)) if len(times) >= most]
            return max((max(times) + WAIT_SECONDS - now for times in waits), default=0.0)

    def lets_in(self, address: str, code: str) -> bool:
        """Whether the code is right; a device that has to wait is not even heard."""
        if self.wait_seconds(address):
            return False
        right = secrets.compare_digest(code.encode(), self.code.encode())
        with self._lock:
            if right:
                self._wrong.pop(address, None)
            else:
                self._wrong.setdefault(address, []).append(self.clock())
        return right

    def _forget(self, now: float) -> None:
        for address, times in list(self._wrong.items()):
            if now - times[-1] > WAIT_SECONDS:
                del self._wrong[address]
