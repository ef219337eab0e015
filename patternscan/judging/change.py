"""Before and after: did the last move help?"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from patternscan.cautions import Caution
from patternscan.errors import DoNotBelongTogether
from patternscan.frame import Compound, Flank, Marking, percent
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval


@dataclass(frozen=True, slots=True)
class FlankState:
    """One flank of a judged state: plain numbers pooled over its teeth."""

    along: Interval
    up: Interval
    coverage: Interval


@dataclass(frozen=True, slots=True)
class JudgedState:
    """What ``judge --json`` kept of one state of a machine. None where there was nothing to compare."""

    shared: Interval | None
    opposed: Interval | None
    left: FlankState | None
    right: FlankState | None
    marking: Marking | None
    compounds: frozenset[Compound]
    machine: str | None
    target: Target = field(default_factory=Target)
    grave_cautions: tuple[Caution, ...] = ()


class Verdict(StrEnum):
    """Whether the shared shift came nearer to its target."""

    BETTER = "better"
    WORSE = "worse"
    NO_DIFFERENCE = "no-difference"
    NOT_COMPARABLE = "not-comparable"


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """One number before and after, and how much it changed (after minus before)."""

    before: Interval
    after: Interval
    change: Interval


@dataclass(frozen=True, slots=True)
class FlankChange:
    """The numbers of one flank before and after."""

    flank: Flank
    coverage: BeforeAfter
    along: BeforeAfter
    up: BeforeAfter


@dataclass(frozen=True, slots=True)
class Change:
    """The verdict on two states and what it rests on."""

    shared: BeforeAfter | None
    opposed: BeforeAfter | None
    left: FlankChange | None
    right: FlankChange | None
    position_comparable: bool
    coverage_comparable: bool
    why: tuple[str, ...]
    verdict: Verdict
    because: str
    cautions: tuple[Caution, ...] = ()


FILM_CAUTION = Caution(
    "film-unknown",
    "Coverage hangs on how thick the compound lay, and that is not known.",
    "Judge by the place of the pattern; paint equally thin before and after.",
)
WRONG_WAY_CAUTION = Caution(
    "wrong-way",
    "The pattern lies further off centre after the move than before.",
    "Stop. Look again which end face carries the letter A and which way the wheel was really moved.",
)


def compare_states(before: JudgedState, after: JudgedState) -> Change:
    """Compare two judged states. The verdict speaks of the shared shift's distance from its target only.

    Raises DoNotBelongTogether when the two states name different machines.
    """
    _refuse_other_machine(before, after)
    against_place, against_coverage = _against_place(before, after), _against_coverage(before, after)
    verdict, because = Verdict.NOT_COMPARABLE, _first(against_place)
    shared = _pair(before.shared, after.shared)
    if shared is not None and not against_place:
        verdict, because = _verdict(shared)
    cautions = (FILM_CAUTION, WRONG_WAY_CAUTION) if verdict is Verdict.WORSE else (FILM_CAUTION,)
    return Change(
        shared=shared,
        opposed=_pair(before.opposed, after.opposed),
        left=_flank_change(Flank.LEFT, before.left, after.left),
        right=_flank_change(Flank.RIGHT, before.right, after.right),
        position_comparable=not against_place,
        coverage_comparable=not against_coverage,
        why=(*against_place, *against_coverage),
        verdict=verdict,
        because=because,
        cautions=cautions,
    )


def _refuse_other_machine(before: JudgedState, after: JudgedState) -> None:
    if before.machine and after.machine and before.machine != after.machine:
        raise DoNotBelongTogether(
            f"The two results are of different machines: {before.machine} and {after.machine}.",
            "Give two results of the same machine.",
        )


def _against_place(before: JudgedState, after: JudgedState) -> tuple[str, ...]:
    """Reasons why the places of the patterns cannot be compared."""
    reasons = []
    for name, state in (("before", before), ("after", after)):
        if state.shared is None:
            reasons.append(f"The result {name} does not have both flanks.")
        if state.grave_cautions:
            reasons.append(f"A photo {name} is too poor: {state.grave_cautions[0].message}")
    if before.target != after.target:
        reasons.append("The two results were judged against different targets: judge both with the same machine sheet.")
    return tuple(reasons)


def _against_coverage(before: JudgedState, after: JudgedState) -> tuple[str, ...]:
    """Reasons why the coverages cannot be compared."""
    reasons = []
    if before.marking is not after.marking:
        reasons.append("The teeth were marked in different ways, so coverage cannot be compared.")
    if before.compounds != after.compounds:
        reasons.append("Different compounds were used, so coverage cannot be compared.")
    return tuple(reasons)


def _verdict(shared: BeforeAfter) -> tuple[Verdict, str]:
    """Better or worse only when the distance from target changed by more than its doubt."""
    distance_before, distance_after = abs(shared.before.value), abs(shared.after.value)
    doubt = math.hypot(shared.before.half_width, shared.after.half_width)
    numbers = f"{_percent(shared.before.value)} before and {_percent(shared.after.value)} after"
    if abs(distance_before - distance_after) <= doubt:
        return (
            Verdict.NO_DIFFERENCE,
            f"Taken together the flanks lie {numbers}; the difference is within the doubt of the readings.",
        )
    if distance_after < distance_before:
        crossed = " It now lies on the other side of it." if shared.before.value * shared.after.value < 0 else ""
        return Verdict.BETTER, f"The pattern came nearer to its place: {numbers}.{crossed}"
    return Verdict.WORSE, f"The pattern went further from its place: {numbers}."


def _percent(shift: float) -> str:
    size = percent(shift)
    if size == "0 %":
        return "0 % off"
    return f"{size} toward end {'B' if shift > 0 else 'A'}"


def _first(reasons: tuple[str, ...]) -> str:
    return reasons[0] if reasons else "The two results cannot be compared."


def _pair(before: Interval | None, after: Interval | None) -> BeforeAfter | None:
    if before is None or after is None:
        return None
    value = after.value - before.value
    below = math.hypot(after.value - after.low, before.high - before.value)
    above = math.hypot(after.high - after.value, before.value - before.low)
    return BeforeAfter(before, after, Interval(value, value - below, value + above))


def _flank_change(flank: Flank, before: FlankState | None, after: FlankState | None) -> FlankChange | None:
    if before is None or after is None:
        return None
    coverage, along, up = (
        _pair(before.coverage, after.coverage),
        _pair(before.along, after.along),
        _pair(before.up, after.up),
    )
    if coverage is None or along is None or up is None:
        return None
    return FlankChange(flank, coverage, along, up)
