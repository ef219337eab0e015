"""How often something was right, and what the number of machines allows to say about it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

SURE = 0.95
"""Of what is said: 19 cases in 20, the custom of proofs by counting."""
ENOUGH_HALVINGS = 60
"""Halve the range 0..1 down to the last digit of a float."""


@dataclass(frozen=True, slots=True)
class ProvenShare:
    """So many of so many flanks (``right`` of ``flanks``), and ``machines`` to which they belong.

    With as many machines, the true share is at least ``at_least`` in 19 cases of 20; ``at_most`` likewise.
    """

    right: int
    flanks: int
    machines: int
    at_least: float
    at_most: float

    @property
    def share(self) -> float:
        """Right ones over all."""
        return self.right / self.flanks


def prove(results: Iterable[tuple[str, bool]]) -> ProvenShare | None:
    """What ``results`` (machine, right or not) prove; None when there are none.

    The flanks of one machine stand or fall together, so a machine is one trial however many flanks it has: each gives
    the share of its flanks that were right, and the exact binomial bounds (Clopper and Pearson, Biometrika 26, 1934)
    are taken at the sum of the shares, rounded to the unsafe side.
    """
    by_machine: dict[str, list[bool]] = {}
    for machine, right in results:
        by_machine.setdefault(machine, []).append(right)
    if not by_machine:
        return None
    hits = sum(sum(rights) / len(rights) for rights in by_machine.values())
    every = [right for rights in by_machine.values() for right in rights]
    least, most = at_least(math.floor(hits + 1e-9), len(by_machine)), at_most(math.ceil(hits - 1e-9), len(by_machine))
    return ProvenShare(sum(every), len(every), len(by_machine), least, most)


def at_least(hits: int, trials: int) -> float:
    """The smallest share under which so many hits or more still come about in 1 case of 20.

    >>> round(at_least(7, 7), 2)
    0.65
    """
    if hits <= 0:
        return 0.0
    low, high = 0.0, 1.0
    for _ in range(ENOUGH_HALVINGS):
        share = (low + high) / 2
        low, high = (share, high) if _so_many_or_more(hits, trials, share) < 1 - SURE else (low, share)
    return low


def at_most(hits: int, trials: int) -> float:
    """The largest share under which so few hits or fewer still come about in 1 case of 20."""
    return 1 - at_least(trials - hits, trials)


def _so_many_or_more(hits: int, trials: int, share: float) -> float:
    """Probability of ``hits`` or more in ``trials``, by the binomial law."""
    return sum(math.comb(trials, n) * share**n * (1 - share) ** (trials - n) for n in range(hits, trials + 1))
