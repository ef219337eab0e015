"""The figures of a group of checked flanks: how near, how often held, how often named right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from patternscan.judging.proof.checked_flank import CheckedFlank, Deviation
from patternscan.judging.proof.conformal_margin import conformal_margin
from patternscan.judging.proof.proven_share import ProvenShare, prove

QUANTITIES = ("along", "up", "coverage")
FOUND_OVERLAP = 0.85
"""An outline counts as found when it overlaps with the true one at least so much: then a place is seldom off by more
than the intervals of found outlines allow."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Half of the errors are smaller than ``middle`` and nine in ten smaller than ``nine_in_ten``."""

    middle: float
    nine_in_ten: float


@dataclass(frozen=True, slots=True)
class QuantityFigures:
    """The errors of one number that was read, and how often its interval held the truth.

    ``margin``: by how much either end of further intervals has to be moved outward so that they hold the truth in 9
    cases of 10; None where too few machines tell.
    """

    error: Spread
    held: ProvenShare
    margin: float | None = None


@dataclass(frozen=True, slots=True)
class Figures:
    """A group of flanks: how many, how many were read, and how right they were; None where nothing tells.

    ``overlap``: half of the flanks overlap by more than ``middle``, nine in ten by more than ``nine_in_ten``.
    """

    flanks: int
    read: int
    machines: int
    overlap: Spread | None = None
    along: QuantityFigures | None = None
    up: QuantityFigures | None = None
    coverage: QuantityFigures | None = None
    compound: ProvenShare | None = None
    marking: ProvenShare | None = None
    outline: ProvenShare | None = None


def figures_of(flanks: Sequence[CheckedFlank]) -> Figures:
    """The figures of these flanks, at least one."""
    overlaps = [one.overlap for one in flanks if one.overlap is not None]
    found = [(one.machine, one.outline_overlap) for one in flanks if one.outline_overlap is not None]
    return Figures(
        flanks=len(flanks),
        read=sum(not one.stop for one in flanks),
        machines=len({one.machine for one in flanks}),
        overlap=Spread(*map(float, np.quantile(overlaps, (0.5, 0.1)))) if overlaps else None,
        along=_quantity(flanks, lambda one: one.along),
        up=_quantity(flanks, lambda one: one.up),
        coverage=_quantity(flanks, lambda one: one.coverage),
        compound=prove((one.machine, one.compound_right) for one in flanks if one.compound_right is not None),
        marking=prove((one.machine, one.marking_right) for one in flanks if one.marking_right is not None),
        outline=prove((machine, share >= FOUND_OVERLAP) for machine, share in found),
    )


def figures_by(flanks: Sequence[CheckedFlank], name: Callable[[CheckedFlank], str]) -> dict[str, Figures]:
    """The figures of each group of flanks that have one name, by name."""
    groups: dict[str, list[CheckedFlank]] = {}
    for one in flanks:
        groups.setdefault(name(one), []).append(one)
    return {name: figures_of(groups[name]) for name in sorted(groups)}


def _quantity(
    flanks: Sequence[CheckedFlank], deviation: Callable[[CheckedFlank], Deviation | None]
) -> QuantityFigures | None:
    known = [(one.machine, told) for one in flanks if (told := deviation(one)) is not None]
    held = prove((machine, told.held) for machine, told in known)
    if held is None:
        return None
    errors = np.abs([told.error for _, told in known])
    margin = conformal_margin((machine, told.beyond) for machine, told in known)
    return QuantityFigures(Spread(*map(float, np.quantile(errors, (0.5, 0.9)))), held, margin)
