"""How much wider intervals have to be so that they hold the truth on a machine of which there is no truth yet.

Conformal prediction for groups: a margin that would have held on nine in ten of the machines so far, the new one
counted among them as missed, holds on the new one in 9 cases of 10, whatever the law of the errors and however alike
the flanks of one machine are, as long as the new machine comes from where those came from. Sources (from memory):
Romano, Patterson and Candes, Conformalized quantile regression, NeurIPS 2019 (the score: how far the truth lies beyond
the interval); Dunn, Wasserman and Ramdas, Distribution-free prediction sets for two-layer hierarchical models, JASA
2022, and Lee, Barber and Willett, Distribution-free inference with hierarchical data, 2023 (the weights by group).
"""

from __future__ import annotations

from collections.abc import Iterable

HELD = 0.9
"""What intervals promise: 9 cases in 10."""
LEAST_MACHINES = 9
"""With fewer the one to come is more than one in ten, and no margin is known to hold on it."""
ROUNDING = 1e-9


def conformal_margin(scores: Iterable[tuple[str, float]]) -> float | None:
    """The step by which either end of an interval is moved outward. None with fewer than LEAST_MACHINES.

    ``scores`` are machine and how far the truth lay beyond the interval, at most 0 when it was held. With n machines
    each flank of a machine with m flanks weighs 1 / ((n + 1) m), and 1 / (n + 1) stands for the new machine, of which
    the worst is taken; the margin is the smallest score up to which the weights come to 0.9, and never below 0.
    """
    by_machine: dict[str, list[float]] = {}
    for machine, score in scores:
        by_machine.setdefault(machine, []).append(max(score, 0.0))
    weighted = sorted((score, 1 / len(own)) for own in by_machine.values() for score in own)
    wanted, reached = HELD * (len(by_machine) + 1) - ROUNDING, 0.0
    for score, weight in weighted:
        reached += weight
        if reached >= wanted:
            return score
    return None
