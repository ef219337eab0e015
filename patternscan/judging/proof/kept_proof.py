"""What is kept of a proof for readings to come: it widens their intervals and raises doubts, and does nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from patternscan.cautions import Caution, caution
from patternscan.judging.proof.conformal_margin import HELD, LEAST_MACHINES
from patternscan.judging.proof.figures import QuantityFigures
from patternscan.measuring.widening import Widening

QUIET_CODES = frozenset({"proof-widened", "proof-few", "proof-outdated"})
"""Cautions of a proof that take no direction away; a comparison of two states repeats them."""


@dataclass(frozen=True, slots=True)
class KeptProof:
    """The figures of each number on a person's own photographs, None where none told. ``made_with``: another version
    of the tool with which the proof was made, None for this one.

    Raises ValueError for a margin below 0 and for one of too few machines.
    """

    along: QuantityFigures | None
    up: QuantityFigures | None
    coverage: QuantityFigures | None
    made_with: str | None = None

    def __post_init__(self) -> None:
        for one in (self.along, self.up, self.coverage):
            if one is None:
                continue
            if (one.margin is None) is not (one.held.machines < LEAST_MACHINES):
                raise ValueError(f"a margin takes {LEAST_MACHINES} machines, found {one.held.machines}")
            if not _margin(one) >= 0:
                raise ValueError(f"a margin is 0 or more, found {one.margin}")

    @property
    def widening(self) -> Widening:
        """What is added to further intervals; nothing where too few machines tell."""
        return Widening(self.machines, _margin(self.along), _margin(self.up), _margin(self.coverage))

    @property
    def machines(self) -> int:
        """As many as tell of each number."""
        return min(0 if one is None else one.held.machines for one in (self.along, self.up, self.coverage))

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The doubts that go with every reading."""
        return tuple(self._cautions())

    def _cautions(self) -> Iterator[Caution]:
        widening = self.widening
        if any(widening.steps):
            along, up, coverage = widening.steps
            yield caution("proof-widened", machines=widening.machines, along=along, up=up, coverage=coverage)
        if self.machines < LEAST_MACHINES:
            yield caution("proof-few", machines=self.machines)
        if self.along is not None and self.along.margin is None and self.along.held.at_most < HELD:
            held = self.along.held
            yield caution("proof-missed", right=held.right, flanks=held.flanks, machines=held.machines)
        if self.made_with is not None:
            yield caution("proof-outdated", made_with=self.made_with)


def _margin(figures: QuantityFigures | None) -> float:
    return 0.0 if figures is None or figures.margin is None else figures.margin
