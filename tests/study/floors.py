"""Which figures show what the numbers of a floor or room do."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from tests.study.changed import users
from tests.study.measuring_figures import measuring_figures

FIGURES: dict[str, Callable[[], dict[str, float]]] = {
    "patternscan.measuring": measuring_figures,
}
"""By the beginning of a module's name."""


def places(name: str) -> list[str]:
    """The floors and rooms whose figures a number must move: those that use it."""
    used_in = [module.__name__ for module in users(name)]
    return [place for place in FIGURES if any(module.startswith(place) for module in used_in)]


@cache
def usual(place: str) -> dict[str, float]:
    """The figures of a floor with its numbers as they are."""
    return FIGURES[place]()
