"""Which figures show what the numbers of a floor or room do."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from tests.study.changed import users
from tests.study.estimate_figures import estimate_figures
from tests.study.judging_figures import judging_figures
from tests.study.marking_figures import contact_figures, marking_figures
from tests.study.measuring_figures import measuring_figures
from tests.study.pairing_figures import pairing_figures
from tests.study.quality_figures import light_figures, occlusion_figures, photo_quality_figures
from tests.study.setting_figures import setting_figures

FIGURES: dict[str, Callable[[], dict[str, float]]] = {
    "patternscan.seeing.quality.photo_quality": photo_quality_figures,
    "patternscan.seeing.quality.light": light_figures,
    "patternscan.seeing.quality.detected_occlusion": occlusion_figures,
    "patternscan.seeing.segmentation.marking_signs": marking_figures,
    "patternscan.seeing.segmentation": contact_figures,
    "patternscan.measuring": measuring_figures,
    "patternscan.judging": judging_figures,
    "patternscan.judging.estimate": estimate_figures,
    "patternscan.judging.pattern_table": estimate_figures,
    "patternscan.setting": setting_figures,
    "patternscan.workflow.pairing": pairing_figures,
}
"""By the name of the floor, room or module that uses a number; the most exact name counts."""


def places(name: str) -> list[str]:
    """The floors and rooms whose figures a number must move: those that use it."""
    found = (max(filter(module.__name__.startswith, FIGURES), key=len, default=None) for module in users(name))
    return [place for place in dict.fromkeys(found) if place is not None]


@cache
def usual(place: str) -> dict[str, float]:
    """The figures of a floor with its numbers as they are."""
    return FIGURES[place]()
