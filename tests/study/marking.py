"""How surely a wrong marking is noticed: `python tests/study/marking.py` weighs the signs of it anew and prints both.

The photographs of dev, rims and port, and their flanks marked anew with other patterns, are read under either
marking. Readings that are not refused are weighed by logistic regression, each machine left out in turn, print and
paint alike; a flank marked anew counts ANEW_COUNTS of a photographed one, by what tells photographs that were left
out best. Then it is told how many readings would be doubted for what is compound by other limits: good ones, and
those that are misplaced or of a bare flank. At last the numbers that stand in the package are reported on dev2, on
which nothing is chosen. A reading is believed that is neither refused nor carries a grave caution.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.calibration.marking import FILM, HIDDEN, LIKE_METAL, PAINT, RAISED, RUBBED, UNCLEAR_IOU, WHOLE
from patternscan.frame import Marking
from patternscan.seeing.segmentation.marking_signs import MarkingSigns, other_marking_logit
from tests.study.marked import SPLITS, Marked, Told, marked_anew, photographed

Numbers = NDArray[np.float64]

NAMES = {
    "RUBBED": RUBBED,
    "HIDDEN": HIDDEN,
    "FILM": FILM,
    "WHOLE": WHOLE,
    "PAINT": PAINT,
}
ANEW_COUNTS = 0.02
COUNTS = (0.005, 0.01, 0.02, 0.05, 0.1, 0.25, 1.0)
RIDGE = 0.5
"""Penalty of a weight, in spreads of its sign, squared: so that few machines do not make it large."""
ROUNDS = 50
RAISES = (0.0, 0.3, 0.7, 1.0, 1.5)
UNCLEAR_IOUS = (0.0, 0.45, 0.55, 0.65, 0.75, 0.85)
LIKE_METALS = (0.0, 0.12, 0.25, 0.4, 0.6, 1.0)
MISPLACED = 0.06
"""A reading further off along the face than this (face widths) is misplaced: so much forbids to say that a wheel is
right."""


def numbers(signs: MarkingSigns) -> list[float]:
    """The signs as they are weighed, and 1 for the constant."""
    return [signs.rubbed, signs.hidden, signs.film, signs.whole, 1.0]


def rows(flanks: Sequence[Marked]) -> Iterator[tuple[Marked, Told]]:
    """Every reading of a marked flank that was not refused."""
    yield from ((one, told) for one in flanks for told in one.told if one.marking and told.signs)


def weigh(flanks: Sequence[Marked], anew_counts: float = ANEW_COUNTS) -> Numbers:
    """Weights (5,) of the signs and the constant, as in ``numbers``: logistic regression by Newton's method."""
    pairs = list(rows(flanks))
    signs = np.array([numbers(told.signs) for _, told in pairs if told.signs])
    paint = np.array([one.marking is Marking.RUB_OFF for one, _ in pairs])
    counts = np.array([anew_counts if one.anew else 1.0 for one, _ in pairs])
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


def left_out(flanks: Sequence[Marked], anew_counts: float = ANEW_COUNTS) -> dict[str, Numbers]:
    """The weights that all other machines choose, by machine."""
    machines = sorted({one.machine for one in flanks})
    return {machine: weigh([one for one in flanks if one.machine != machine], anew_counts) for machine in machines}


def log_loss(photos: Sequence[Marked], others: Mapping[str, Numbers]) -> float:
    """Mean of minus the logarithm of what the truth was given, over prints and over paint, by machine."""
    losses: dict[Marking, list[float]] = {marking: [] for marking in Marking}
    for one, told in rows(photos):
        if one.marking and told.signs:
            paint = float(np.dot(numbers(told.signs), others[one.machine]))
            losses[one.marking].append(float(np.logaddexp(0, -paint if one.marking is Marking.RUB_OFF else paint)))
    return float(np.mean([np.mean(found) for found in losses.values()]))


def unclear(told: Told, least_iou: float = UNCLEAR_IOU, like_metal: float = LIKE_METAL) -> bool:
    """Whether it is doubted what is compound, by these limits."""
    return (told.disputed and told.expected_iou < least_iou) or told.unlike < -like_metal


def outcome(told: Told, other_marking: float) -> str:
    """What becomes of a reading of these odds of the other marking."""
    if told.signs is None:
        return "refused"
    doubted = told.grave or other_marking > 0 or unclear(told)
    return "grave" if doubted else "believed"


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
    """The grave cautions on flanks told rightly."""
    rightly = [reading for one in flanks for reading in one.told if reading.marking is one.marking and reading.signs]
    told = Counter(code for reading in rightly for code in reading.grave)
    told["marking"] = sum(in_package(None, reading) > 0 for reading in rightly)
    told["what is compound"] = sum(unclear(reading) for reading in rightly)
    return "    grave, told rightly, for: " + ", ".join(f"{code} {n}" for code, n in told.items())


def by_limits(flanks: Sequence[Marked]) -> Iterator[str]:
    """How many readings, good and misplaced, told wrongly, and of bare flanks, other limits would doubt."""
    read = [(one, told) for one in flanks for told in one.told if told.signs]
    groups = {
        "good": [told for one, told in read if told.marking is one.marking and told.off <= MISPLACED],
        "misplaced": [told for one, told in read if told.marking is one.marking and told.off > MISPLACED],
        "told wrongly": [told for one, told in read if one.marking not in (None, told.marking)],
        "bare": [told for one, told in read if one.marking is None],
    }
    for limits in (*((iou, np.inf) for iou in UNCLEAR_IOUS), *((0.0, like) for like in LIKE_METALS)):
        found = (
            f"{sum(unclear(told, *limits) for told in part)} of {len(part)} {kind}" for kind, part in groups.items()
        )
        yield "  UNCLEAR_IOU {}, LIKE_METAL {}: doubted are ".format(*limits) + ", ".join(found)


def by_weights(weights: Callable[[Marked], Numbers], raised: float) -> Callable[[Marked, Told], float]:
    """Odds of the other marking by some weights for each flank."""

    def odds(one: Marked, told: Told) -> float:
        paint = float(np.dot(numbers(told.signs), weights(one))) if told.signs else 0.0
        return raised + (paint if told.marking is Marking.TRANSFER else -paint)

    return odds


def in_package(_: Marked | None, told: Told) -> float:
    """Odds of the other marking by the numbers that stand in the package."""
    return other_marking_logit(told.signs, told.marking) if told.signs else 0.0


def main() -> None:
    """Print weights and tables."""
    photos, anew = [one for split in SPLITS for one in photographed(split)], marked_anew()
    chosen, others = weigh([*photos, *anew]), left_out([*photos, *anew])
    for counts in COUNTS:
        loss = log_loss(photos, left_out([*photos, *anew], counts))
        print(f"marked anew counts {counts}: loss on photographs {loss:.3f}")
    for (name, stands), asked in zip(NAMES.items(), chosen, strict=True):
        print(f"{name} is {stands:.2f}, asked for {asked:.2f}")
    for raised in RAISES:
        print(f"each machine left out, raised by {raised} (RAISED is {RAISED})")
        odds = by_weights(lambda one: others[one.machine], raised)
        print("\n".join((line("  photographs", photos, odds), line("  marked anew", anew, odds))))
    print("what is compound, by other limits", *by_limits([*photos, *anew]), sep="\n")
    print("the numbers of the package")
    for title, flanks in (("  photographs", photos), ("  marked anew", anew), ("  dev2", photographed("dev2"))):
        print(line(title, flanks, in_package), doubts(flanks), sep="\n")


if __name__ == "__main__":
    main()
