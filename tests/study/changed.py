"""One calibrated number, changed in every module that uses it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType
from typing import Any, get_type_hints

import pytest

from patternscan.calibration import judging, marking, measuring, quality, setting
from patternscan.calibration.origin import Chosen

TABLES = (measuring, judging, quality, marking, setting)
NUMBERS: dict[str, Chosen] = {
    name: hint.__metadata__[0]
    for table in TABLES
    for name, hint in get_type_hints(table, include_extras=True).items()
    if isinstance(getattr(hint, "__metadata__", (None,))[0], Chosen)
}
"""Every calibrated number by its name."""


def users(name: str) -> list[ModuleType]:
    """The modules of the package, as far as they are loaded, that use a number, and not something else of its name."""
    loaded = [module for key, module in sys.modules.items() if key.startswith("patternscan.")]
    number = value_of(name)
    return [module for module in loaded if vars(module).get(name) is number and module not in TABLES]


def value_of(name: str) -> Any:
    """What a number is."""
    return next(getattr(table, name) for table in TABLES if name in vars(table))


def scaled(value: Any, factor: float) -> Any:
    """A number, or each of several, times a factor; a whole number stays whole and changes by one at least."""
    if isinstance(value, tuple):
        return tuple(scaled(one, factor) for one in value)
    if isinstance(value, int):
        return value + (max(1, round(value * (factor - 1))) if factor > 1 else min(-1, round(value * (factor - 1))))
    return value * factor


@contextmanager
def changed(name: str, factor: float) -> Iterator[None]:
    """While this lasts, the number is so many times what it is."""
    with pytest.MonkeyPatch.context() as patch:
        for module in users(name):
            patch.setattr(module, name, scaled(getattr(module, name), factor))
        yield
