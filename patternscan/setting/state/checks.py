"""What has to be read in a setting job, its current reading, and which event invalidates which of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.frame import End
from patternscan.setting.log.events import (
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EndPlay,
    Event,
    LostMotion,
    Pattern,
    Replaced,
    ShimChange,
)
from patternscan.setting.log.words import Occasion, Part, Shaft, ShimPlace
from patternscan.setting.machine.sheet import Limit, Sheet


class Check(StrEnum):
    """What has to be read before a job can end, in the order of work."""

    WORM_END_PLAY = "worm-end-play"
    WHEEL_END_PLAY = "wheel-end-play"
    ALIGNMENT = "outboard-alignment"
    PATTERN = "pattern"
    BACKLASH = "backlash"


CARRIER_PLACES = {End.A: ShimPlace.CARRIER_A, End.B: ShimPlace.CARRIER_B}
SIDE_PLACES = frozenset(CARRIER_PLACES.values())
"""Places whose shims move the wheel along its shaft."""
MEASURED = (Check.WORM_END_PLAY, Check.WHEEL_END_PLAY, Check.ALIGNMENT, Check.BACKLASH)
"""Checks whose reading is a length, in the order of work."""
CHANGES = (ShimChange, EccentricChange, Replaced)
"""Kinds of event after which the machine is no longer what it was."""


def limit_of(check: Check, sheet: Sheet) -> Limit | None:
    """The maker's limit for the check; None when the sheet gives none, and for a pattern."""
    limits = sheet.limits
    most_mm = limits.outboard_alignment_mm
    return {
        Check.WORM_END_PLAY: limits.worm_end_play,
        Check.WHEEL_END_PLAY: limits.wheel_end_play,
        Check.ALIGNMENT: None if most_mm is None else Limit(0.0, most_mm),
        Check.BACKLASH: limits.backlash,
    }.get(check)


def shimmed_place(sheet: Sheet) -> ShimPlace | None:
    """The place whose shims move the wheel; None when the sheet names no carrier."""
    return None if sheet.shims.carrier is None else CARRIER_PLACES[sheet.shims.carrier]


def thickest_at(place: ShimPlace, sheet: Sheet) -> float:
    """The thickest pack that a place takes, in mm; infinite when the sheet does not say."""
    thickest_mm = sheet.shims.thickest_mm
    return math.inf if thickest_mm is None or place is not shimmed_place(sheet) else thickest_mm


def check_read(event: Event) -> Check | None:
    """The check that an event is a reading of; patterns of the old wheel and of the maker are of none."""
    match event:
        case EndPlay(shaft=Shaft.WORM):
            return Check.WORM_END_PLAY
        case EndPlay():
            return Check.WHEEL_END_PLAY
        case Alignment():
            return Check.ALIGNMENT
        case Pattern(occasion=Occasion.TRIAL):
            return Check.PATTERN
        case Backlash() | LostMotion():
            return Check.BACKLASH
        case _:
            return None


@dataclass(frozen=True, slots=True)
class Invalidation:
    """One way in which readings stop counting.

    ``find`` looks through everything that happened since a reading and gives the place of the event that does it.
    """

    code: str
    checks: frozenset[Check]
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
            if max(abs(upper), abs(lower)) <= PACK_TOLERANCE_MM:
                since = None
            elif since is None:
                since = place
    return since


_MESH = frozenset({Check.PATTERN, Check.BACKLASH})
_SHAFT = _MESH | {Check.WHEEL_END_PLAY, Check.ALIGNMENT}
INVALIDATIONS: tuple[Invalidation, ...] = (
    Invalidation("side-shims-changed", _MESH, _shims(*SIDE_PLACES)),
    Invalidation("side-shims-unbalanced", frozenset({Check.WHEEL_END_PLAY}), _unbalanced),
    Invalidation("worm-shims-changed", _MESH | {Check.WORM_END_PLAY}, _shims(ShimPlace.WORM)),
    Invalidation("outboard-shims-changed", _MESH | {Check.ALIGNMENT}, _shims(ShimPlace.OUTBOARD)),
    Invalidation("carriers-turned", _MESH | {Check.ALIGNMENT}, _kind(EccentricChange)),
    Invalidation("worm-replaced", _MESH | {Check.WORM_END_PLAY}, _replaced(Part.WORM)),
    Invalidation("worm-bearings-replaced", _MESH | {Check.WORM_END_PLAY}, _replaced(Part.WORM_BEARINGS)),
    Invalidation("wheel-replaced", _SHAFT, _replaced(Part.WHEEL)),
    Invalidation("wheel-bearings-replaced", _SHAFT, _replaced(Part.WHEEL_BEARINGS)),
    Invalidation("wheel-shaft-replaced", _SHAFT, _replaced(Part.WHEEL_SHAFT)),
    Invalidation("carriers-replaced", _SHAFT, _replaced(Part.CARRIERS)),
    Invalidation("outboard-bearing-replaced", _MESH | {Check.ALIGNMENT}, _replaced(Part.OUTBOARD_BEARING)),
    Invalidation("housing-closed", _MESH, _kind(Closed)),
)
"""Which event invalidates which readings (common practice of setting a worm pair)."""


def find_invalidation(check: Check, later: Sequence[Event]) -> tuple[int, str] | None:
    """Place and code of the first event among ``later`` that invalidates a reading of the check, None if it counts."""
    found = [
        (place, one.code) for one in INVALIDATIONS if check in one.checks and (place := one.find(later)) is not None
    ]
    return min(found, key=lambda one: one[0], default=None)


def find_play_set(events: Sequence[Event], place: int, sheet: Sheet) -> int | None:
    """Place of an end play within its limit, read after the event at ``place``, when it was beyond that limit."""
    for check in (Check.WORM_END_PLAY, Check.WHEEL_END_PLAY):
        limit = limit_of(check, sheet)
        plays = [(at, one) for at, one in enumerate(events) if isinstance(one, EndPlay) and check_read(one) is check]
        if limit is None or not plays or plays[-1][0] < place:
            continue
        then = max((at for at, _ in plays if at < place), default=place)
        right = [limit.holds((one.reading_mm,)) for at, one in plays if at >= then]
        if right[-1] and not all(right):
            return plays[-1][0]
    return None
