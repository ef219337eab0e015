"""Which way to move the wheel. The one home of the sign rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from patternscan.cautions import Caution, Finding
from patternscan.frame import End
from patternscan.judging.comparison import Comparison


class Move(StrEnum):
    """What to do with the wheel."""

    TOWARD_A = "toward-A"
    TOWARD_B = "toward-B"
    STAY = "stay"
    CANNOT_SAY = "cannot-say"


class ShimChange(StrEnum):
    """What to do with the shims under the named carrier."""

    ADD = "add"
    REMOVE = "remove"
    NONE = "none"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class ShimRule:
    """What one more shim does on this machine: adding under ``carrier`` moves the wheel toward ``adding_moves_toward``."""

    carrier: End
    adding_moves_toward: End


@dataclass(frozen=True, slots=True)
class ShimAdvice:
    """The shim side of the advice; ``carrier`` is None when the sheet does not say what a shim does."""

    carrier: End | None
    change: ShimChange
    amount_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Advice:
    """The opinion: a move or CANNOT_SAY, the shims, one sentence why, and what else the pattern shows."""

    move: Move
    shims: ShimAdvice
    because: str
    findings: tuple[Finding, ...] = ()


def advise(comparison: Comparison, doubts: Sequence[Caution], shim_rule: ShimRule | None) -> Advice:
    """The advice for a comparison; ``doubts`` are the cautions of all readings."""
    raise NotImplementedError
