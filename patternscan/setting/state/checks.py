"""The stations of a setting job that end in a reading, and which event voids which of them, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from patternscan.frame import End
from patternscan.setting.log.events import (
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EndPlay,
    Event,
    LostMotion,
    Occasion,
    Part,
    Pattern,
    Replaced,
    Shaft,
    ShimChange,
    ShimPlace,
)
from patternscan.setting.mechanics.shims import TOLERANCE_MM


class Station(StrEnum):
    """What has to be read before a job can end, in the order of work."""

    WORM_END_PLAY = "worm-end-play"
    WHEEL_END_PLAY = "wheel-end-play"
    ALIGNMENT = "outboard-alignment"
    PATTERN = "pattern"
    BACKLASH = "backlash"


CARRIER_PLACES = {End.A: ShimPlace.CARRIER_A, End.B: ShimPlace.CARRIER_B}
SIDE_PLACES = frozenset(CARRIER_PLACES.values())
"""Places whose shims move the wheel along its shaft."""
CHANGES = (ShimChange, EccentricChange, Replaced)
"""Kinds of event after which the machine is no longer what it was."""


def station_read(event: Event) -> Station | None:
    """The station that an event is a reading of; patterns of the old wheel and of the maker are of none."""
    match event:
        case EndPlay(shaft=Shaft.WORM):
            return Station.WORM_END_PLAY
        case EndPlay():
            return Station.WHEEL_END_PLAY
        case Alignment():
            return Station.ALIGNMENT
        case Pattern(occasion=Occasion.TRIAL):
            return Station.PATTERN
        case Backlash() | LostMotion():
            return Station.BACKLASH
        case _:
            return None


@dataclass(frozen=True, slots=True)
class Void:
    """One way in which readings stop counting.

    ``find`` looks through everything that happened since a reading and gives the place of the event that voids it.
    """

    stations: frozenset[Station]
    because: str
    find: Callable[[Sequence[Event]], int | None]


def _shims(*places: ShimPlace) -> Callable[[Sequence[Event]], int | None]:
    return _first(lambda event: isinstance(event, ShimChange) and event.place in places)


def _replaced(part: Part) -> Callable[[Sequence[Event]], int | None]:
    return _first(lambda event: isinstance(event, Replaced) and event.part is part)


def _kind(kind: type[Event]) -> Callable[[Sequence[Event]], int | None]:
    return _first(lambda event: isinstance(event, kind))


def _first(test: Callable[[Event], bool]) -> Callable[[Sequence[Event]], int | None]:
    return lambda later: next((place for place, event in enumerate(later) if test(event)), None)


def _unbalanced(later: Sequence[Event]) -> int | None:
    """The side-shim change from which on the two sides together no longer hold what they held before."""
    upper = lower = 0.0
    since = None
    for place, event in enumerate(later):
        if isinstance(event, ShimChange) and event.place in SIDE_PLACES:
            upper, lower = upper + event.upper_mm, lower + event.lower_mm
            if max(abs(upper), abs(lower)) <= TOLERANCE_MM:
                since = None
            elif since is None:
                since = place
    return since


_MESH = frozenset({Station.PATTERN, Station.BACKLASH})
VOIDS: tuple[Void, ...] = (
    Void(_MESH, "side shims were changed, so the wheel sits elsewhere", _shims(*SIDE_PLACES)),
    Void(
        frozenset({Station.WHEEL_END_PLAY}),
        "the side shims of both sides together are no longer as thick as before",
        _unbalanced,
    ),
    Void(
        _MESH | {Station.WORM_END_PLAY},
        "worm shims were changed, so the worm has another end play and may lie elsewhere",
        _shims(ShimPlace.WORM),
    ),
    Void(
        _MESH | {Station.ALIGNMENT},
        "shims at the outboard bearing were changed, so the shaft may lie otherwise",
        _shims(ShimPlace.OUTBOARD),
    ),
    Void(
        _MESH | {Station.ALIGNMENT},
        "the eccentric carriers were turned, so the shaft has moved",
        _kind(EccentricChange),
    ),
    Void(
        _MESH | {Station.WORM_END_PLAY},
        "the worm was replaced",
        _replaced(Part.WORM),
    ),
    Void(
        _MESH | {Station.WORM_END_PLAY},
        "the worm's bearings were replaced",
        _replaced(Part.WORM_BEARINGS),
    ),
    Void(
        _MESH | {Station.WHEEL_END_PLAY, Station.ALIGNMENT},
        "the wheel was replaced",
        _replaced(Part.WHEEL),
    ),
    Void(
        _MESH | {Station.WHEEL_END_PLAY, Station.ALIGNMENT},
        "the wheel shaft's bearings were replaced",
        _replaced(Part.WHEEL_BEARINGS),
    ),
    Void(
        _MESH,
        "the housing was closed, and tightening it can move the parts",
        _kind(Closed),
    ),
)
"""Which event voids which readings, one reason each (common practice of setting a worm pair)."""


def find_void(station: Station, later: Sequence[Event]) -> tuple[int, str] | None:
    """Place and reason of the first event among ``later`` that voids a reading of the station, None if it stands."""
    found = [
        (place, void.because) for void in VOIDS if station in void.stations and (place := void.find(later)) is not None
    ]
    return min(found, key=lambda one: one[0], default=None)
