"""The proof of a set of photographs: every flank beside its truth."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.judging.proof.checked_flank import CheckedFlank
from patternscan.judging.proof.figures import Figures, figures_by, figures_of
from patternscan.judging.proof.hand_spread import HandSpread

NOT_TOLD = "not told"


@dataclass(frozen=True, slots=True)
class Proof:
    """The flanks, at least one, in the order of their files, and the flanks that two people painted."""

    flanks: tuple[CheckedFlank, ...]
    hands: tuple[HandSpread, ...] = ()

    @property
    def figures(self) -> Figures:
        """Of all flanks."""
        return figures_of(self.flanks)

    @property
    def by_marking(self) -> dict[str, Figures]:
        """Of each way of marking."""
        return figures_by(self.flanks, lambda one: one.marking.value)

    @property
    def by_compound(self) -> dict[str, Figures]:
        """Of each compound that the truth tells."""
        return figures_by(self.flanks, lambda one: one.compound.value if one.compound else NOT_TOLD)

    @property
    def by_machine(self) -> dict[str, Figures]:
        """Of each machine."""
        return figures_by(self.flanks, lambda one: one.machine)
