"""Doors of rooms: a module behind one is loaded when it is first used, so that a command loads only what it needs."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from types import ModuleType


def door(room: str, *modules: str) -> Callable[[str], ModuleType]:
    """The ``__getattr__`` (PEP 562) of a room, a package, that has these modules behind its door."""

    def opened(name: str) -> ModuleType:
        """The module of that name. Raises AttributeError."""
        if name not in modules:
            raise AttributeError(f"module {room!r} has no attribute {name!r}")
        return import_module(f"{room}.{name}")

    return opened
