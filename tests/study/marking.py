"""How surely a wrong marking is noticed: `python tests/study/marking.py` weighs the signs of it anew and prints both.

The photographs of dev, rims and port, and their flanks marked anew with other patterns, are read under either marking.
Readings that are not refused are weighed by logistic regression, each machine left out in turn; a flank marked anew
counts a quarter of a photographed one, and print and paint count alike. At last the numbers that stand in the package
are reported on dev2, on which nothing is chosen. A reading is believed that is neither refused nor carries a grave
caution.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.calibration.marking import FILM, HIDDEN, PAINT, RAISED, RUBBED, SURER, WHOLE
from patternscan.frame import Marking
from patternscan.seeing.segmentation.marking_signs import MarkingSigns, other_marking_logit
from tests.study.marked import SPLITS, Marked, Told, marked_anew, photographed

Numbers = NDArray[np.float64]

NAMES = {"RUBBED": RUBBED, "SURER": SURER, "HIDDEN": HIDDEN, "FILM": FILM, "WHOLE": WHOLE, "PAINT": PAINT}
ANEW_COUNTS = 0.25
RIDGE = 0.5
"""Penalty of a weight, in spreads of its sign, squared: so that few machines do not make it large."""
ROUNDS = 50
RAISES = (0.0, 0.3, 0.7, 1.0, 1.5)


def numbers(signs: MarkingSigns) -> list[float]:
    """The signs as they are weighed, and 1 for the constant."""
    return [signs.rubbed, signs.surer, signs.hidden, signs.film, signs.whole, 1.0]


def rows(flanks: Sequence[Marked]) -> Iterator[tuple[Marked, Told]]:
    """Every reading of a marked flank that was not refused."""
    yield from ((one, told) for one in flanks for told in one.told if one.marking and told.signs)


def weigh(flanks: Sequence[Marked]) -> Numbers:
    """Weights (6,) of the signs and the constant, as in ``numbers``: logistic regression by Newton's method."""
    pairs = list(rows(flanks))
    signs = np.array([numbers(told.signs) for _, told in pairs if told.signs])
    paint = np.array([one.marking is Marking.RUB_OFF for one, _ in pairs])
    counts = np.array([ANEW_COUNTS if one.anew else 1.0 for one, _ in pairs])
    for kind in (paint, ~paint):
        counts[kind] /= counts[kind].sum() / len(pairs)
    penalty = np.diag(RIDGE * np.append(signs[:, :-1].var(axis=0), 1e-6))
    weights = np.zeros(len(NAMES))
    for _ in range(ROUNDS):
        likely = 1 / (1 + np.exp(-np.clip(signs @ weights, -30, 30)))
        slope = signs.T @ (counts * (likely - paint)) + penalty @ weights
        bend = (signs * (counts * likely * (1 - likely))[:, None]).T @ signs + penalty
        weights = weights - np.linalg.solve(bend, slope)
    return np.asarray(weights, dtype=np.float64)


def left_out(flanks: Sequence[Marked]) -> dict[str, Numbers]:
    """The weights that all other machines choose, by machine."""
    machines = sorted({one.machine for one in flanks})
    return {machine: weigh([one for one in flanks if one.machine != machine]) for machine in machines}


def outcome(told: Told, other_marking: float) -> str:
    """What becomes of a reading of these odds of the other marking."""
    if told.signs is None:
        return "refused"
    return "grave" if told.grave or other_marking > 0 else "believed"


def line(title: str, flanks: Sequence[Marked], other_marking: Callable[[Marked, Told], float]) -> str:
    """Outcomes of flanks told rightly, told wrongly, and of bare ones; in brackets how many machines."""
    told: dict[str, list[str]] = {"rightly": [], "wrongly": [], "bare": []}
    for one in flanks:
        for reading in one.told:
            kind = "bare" if one.marking is None else "rightly" if reading.marking is one.marking else "wrongly"
            told[kind].append(outcome(reading, other_marking(one, reading) if reading.signs else 0.0))
    parts = [
        f"{kind} {len(found)}: " + ", ".join(f"{what} {found.count(what)}" for what in ("refused", "grave", "believed"))
        for kind, found in told.items()
        if found
    ]
    return f"{title:24} ({len({one.machine for one in flanks})}) " + "; ".join(parts)


def doubts(flanks: Sequence[Marked]) -> str:
    """The grave cautions on flanks told rightly, but that of the marking."""
    rightly = (reading for one in flanks for reading in one.told if reading.marking is one.marking)
    told = Counter(code for reading in rightly for code in reading.grave)
    return "    grave for other reasons, told rightly: " + (
        ", ".join(f"{code} {n}" for code, n in told.items()) or "none"
    )


def by_weights(weights: Callable[[Marked], Numbers], raised: float) -> Callable[[Marked, Told], float]:
    """Odds of the other marking by some weights for each flank."""

    def odds(one: Marked, told: Told) -> float:
        paint = float(np.dot(numbers(told.signs), weights(one))) if told.signs else 0.0
        return raised + (paint if told.marking is Marking.TRANSFER else -paint)

    return odds


def in_package(_: Marked, told: Told) -> float:
    """Odds of the other marking by the numbers that stand in the package."""
    return other_marking_logit(told.signs, told.marking) if told.signs else 0.0


def main() -> None:
    """Print weights and tables."""
    photos, anew = [one for split in SPLITS for one in photographed(split)], marked_anew()
    chosen, others = weigh([*photos, *anew]), left_out([*photos, *anew])
    for (name, stands), asked in zip(NAMES.items(), chosen, strict=True):
        print(f"{name} is {stands:.2f}, asked for {asked:.2f}")
    for raised in RAISES:
        print(f"each machine left out, raised by {raised} (RAISED is {RAISED})")
        odds = by_weights(lambda one: others[one.machine], raised)
        print("\n".join((line("  photographs", photos, odds), line("  marked anew", anew, odds))))
    print("the numbers of the package")
    for title, flanks in (("  photographs", photos), ("  marked anew", anew), ("  dev2", photographed("dev2"))):
        print(line(title, flanks, in_package), doubts(flanks), sep="\n")


if __name__ == "__main__":
    main()
