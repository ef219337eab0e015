"""Which entries an action asks for: the kind, and what of it is known beforehand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from patternscan.cautions import Statement
from patternscan.setting.log.questions import Values
from patternscan.setting.log.words import Shaft, ShimPlace
from patternscan.setting.rules.action import Action, Priority
from patternscan.setting.state.checks import Check


@dataclass(frozen=True, slots=True)
class EntryDue:
    """An entry that is due: its word, and the answers that are known."""

    word: str
    known: Values = field(default_factory=dict)


READINGS = {
    Check.WORM_END_PLAY: EntryDue("end-play", {"shaft": Shaft.WORM}),
    Check.WHEEL_END_PLAY: EntryDue("end-play", {"shaft": Shaft.WHEEL}),
    Check.ALIGNMENT: EntryDue("alignment"),
    Check.BACKLASH: EntryDue("backlash"),
}
"""How the reading of a check is entered."""
SHIMS_OF = {Check.WORM_END_PLAY: ShimPlace.WORM, Check.ALIGNMENT: ShimPlace.OUTBOARD}
"""Whose shims set what a check reads."""


def entries_due(action: Action) -> tuple[EntryDue, ...]:
    """The entries that follow when the action is done, in the order of its points; none where photos are judged."""
    found = [entry for point in action.points if point.code in ASKED for entry in ASKED[point.code](dict(point.values))]
    return tuple(entry for place, entry in enumerate(found) if entry not in found[:place])


@dataclass(frozen=True, slots=True)
class Asked:
    """A question that an action asks: its points, and the two entries that answer it; none where no answer is known."""

    points: tuple[Statement, ...]
    replies: tuple[EntryDue, ...] = ()


def questions_in(action: Action) -> Iterator[Asked]:
    """What an action asks, one question after the other; nothing of an action that asks none."""
    asked: list[Statement] = []
    for point in action.points:
        if point.code == "to-answer":
            yield Asked(tuple(asked), tuple(_answers(dict(point.values))))
            asked = []
        else:
            asked.append(point)
    if asked and action.priority is Priority.ASK:
        yield Asked(tuple(asked))


Entries = Iterator[EntryDue]
Following = Callable[[dict[str, Any]], Entries]


def _just(word: str, **known: Any) -> Following:
    return lambda _: iter((EntryDue(word, known),))


def _reading(values: dict[str, Any]) -> Entries:
    yield READINGS[values["check"]]


def _set_by_shims(values: dict[str, Any]) -> Entries:
    if values["check"] in SHIMS_OF:
        yield EntryDue("shims", {"place": SHIMS_OF[values["check"]]})


def _shims(values: dict[str, Any]) -> Entries:
    yield EntryDue("shims", {"place": values["place"]})


def _shims_found(values: dict[str, Any]) -> Entries:
    yield from (EntryDue("shims-found", {"place": place}) for place in values["places"])


def _measured(values: dict[str, Any]) -> Entries:
    yield from (EntryDue("measured", {"what": what}) for what in values["what"])


def _answers(values: dict[str, Any]) -> Entries:
    yield from (EntryDue("answer", {"entry": values["entry"], "reply": values[way]}) for way in ("stands", "falls"))


TURNED = ("turn-carriers", "turn-carriers-apart", "turn-carriers-either-way", "turn-carriers-contradicted")
UNLIKE = ("carriers-turned-unlike", "carriers-stand-unlike")
MOVED = ("under-carrier", "other-side-less", "other-side-more", "upper-bolts-more", "lower-bolts-more")
ASKED: Mapping[str, Following] = {
    "secure": _just("secured"),
    "shims-not-noted": _just("shims-found"),
    "shims-not-noted-at": _shims_found,
    "stand-not-marked": _just("pieces", place=ShimPlace.OUTBOARD),
    "marks-not-noted": _just("eccentrics-found"),
    "read": _reading,
    "read-again": _reading,
    "how-to-set": _set_by_shims,
    "log-geometry": _measured,
    "to-answer": _answers,
    "close-housing": _just("closed"),
    "clean-and-sign": _just("sign-off"),
    **dict.fromkeys((*TURNED, *UNLIKE), _just("eccentrics")),
    **dict.fromkeys(MOVED, _shims),
}
"""By the code of a point what it asks to be entered."""
