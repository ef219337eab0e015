"""Before and after: did the last move help?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from patternscan.cautions import Caution
from patternscan.frame import Compound, Flank, Marking
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


def compare_states(before: JudgedState, after: JudgedState) -> Change:
    """Compare two judged states. The verdict speaks of the shared shift's distance from its target only."""
    raise NotImplementedError


def _reasons(before: JudgedState, after: JudgedState) -> Sequence[str]:
    raise NotImplementedError
