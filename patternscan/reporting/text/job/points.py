"""The points of a setting job's actions and effects, each in a sentence by its code."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from patternscan.cautions import Caution, Statement
from patternscan.reasons import Reason
from patternscan.reporting.text.cautions import caution_message
from patternscan.reporting.text.job.point_texts.begun import BEGUN_POINTS
from patternscan.reporting.text.job.point_texts.closing import CLOSING_POINTS
from patternscan.reporting.text.job.point_texts.entries import ENTRY_POINTS
from patternscan.reporting.text.job.point_texts.pattern import PATTERN_POINTS
from patternscan.reporting.text.job.point_texts.readings import READING_POINTS
from patternscan.reporting.text.job.point_texts.shims import SHIM_POINTS
from patternscan.reporting.text.job.words import CHECKS, JOB_FORMS
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.wording import filled
from patternscan.units import length_words

POINTS: Mapping[str, str] = {
    **BEGUN_POINTS,
    **READING_POINTS,
    **PATTERN_POINTS,
    **SHIM_POINTS,
    **CLOSING_POINTS,
    **ENTRY_POINTS,
}
"""Points by their code."""


def points_sentence(points: Iterable[Statement]) -> str:
    """The points one after the other; one that ends with a comma or a colon runs on into the next."""
    words = ""
    for one in points:
        sentence = point_sentence(one)
        runs_on = words.endswith(",")
        words += f" {sentence[:1].lower() if runs_on else sentence[:1]}{sentence[1:]}"
    return words.strip()


def point_sentence(point: Statement) -> str:
    """One point."""
    if isinstance(point, Reason):
        return reason_sentence(point)
    if isinstance(point, Caution):
        return caution_message(point)
    if point.code in ("above-limit", "below-limit"):
        return _miss(point)
    if point.code == "no-pack":
        return _no_pack(dict(point.values))
    return filled(POINTS[point.code], point, JOB_FORMS)


def at_each_place(words: str, places: int) -> str:
    """What holds for one place, said for so many alike."""
    return f"At each of {places} places: {words}" if places > 1 else words


def _miss(point: Statement) -> str:
    value: dict[str, Any] = dict(point.values)
    reading, limit = length_words(value["reading_mm"]), length_words(value["limit_mm"])
    just = "just " if reading == limit else ""
    side = "more than the maker's most" if point.code == "above-limit" else "less than the maker's least"
    return f"The {CHECKS[value['check']].name} is {reading}, {just}{side}, {limit}."


def _no_pack(value: dict[str, Any]) -> str:
    nearest = [
        f"nearest {side} is {length_words(value[f'{side}_mm'])}: {value[side]}"
        for side in ("below", "above")
        if value[side] is not None
    ]
    listed = "; ".join(nearest) or "there are no shims to choose from"
    return f"{length_words(value['wanted_mm'])} cannot be made from these shims. {listed[:1].upper()}{listed[1:]}."
