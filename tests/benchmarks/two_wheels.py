"""How far the shape of the teeth differs between two visits to one machine, and between two machines.

`python tests/benchmarks/two_wheels.py dev rims port` (dev2 to report).

Of each machine in each of its states both flanks are clicked five times, with care and without; the mean of both is
what `compare` holds one result against another by. Printed are the differences between two states of one machine, of
both flanks and of one flank alone, and how many pairs of two machines differ by more than the limit.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from pathlib import Path
from typing import get_args

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.calibration.judging import UNLIKE_FLANKS, UNLIKE_TEETH
from patternscan.errors import PatternscanError
from patternscan.frame import Flank
from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.geometry.mapping import map_flank
from patternscan.seeing.geometry.outline import EDGE_NAMES, checked_outline
from patternscan.seeing.image.photo import load_photo
from tests.benchmarks.scenes import OFF, Scene, Split, clicked_outline, pairs

TIMES = 5
SHARES = (0.5, 0.9, 0.99, 1.0)
Visits = Mapping[str, Mapping[str, Sequence[float]]]
"""Face width over height as it was clicked, by machine and state."""


def slendernesses(one: Scene, off: float) -> Iterator[float]:
    """Face width over height of the flank, as each of its outlines alone fits it."""
    photo = load_photo(one.photo)
    for again in range(TIMES):
        clicked = clicked_outline(one, off=off, again=again)["flanks"][0]
        try:
            outline = checked_outline({name: clicked[name] for name in EDGE_NAMES}, Flank(clicked["flank"]))
            pose = map_flank(outline, None, lens_of(photo))[0].pose
        except PatternscanError:
            continue
        if pose is not None:
            yield pose.slenderness


def of_one_machine(visits: Visits) -> list[float]:
    """Differences between two states of each machine."""
    return [
        abs(first - second)
        for states in visits.values()
        for one, other in combinations(states.values(), 2)
        for first, second in product(one, other)
    ]


def of_two_machines(visits: Visits) -> list[float]:
    """Differences between any two machines."""
    told = [[each for state in states.values() for each in state] for states in visits.values()]
    return [abs(first - second) for one, other in combinations(told, 2) for first, second in product(one, other)]


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("splits", nargs="+", choices=get_args(Split))
    splits = parser.parse_args().splits
    for off in (OFF, 2 * OFF):
        both, alone = defaultdict[str, dict[str, list[float]]](dict), defaultdict[str, dict[str, list[float]]](dict)
        for pair in (pair for split in splits for pair in pairs(split)):
            left, right = ([*slendernesses(one, off)] for one in (pair.left, pair.right))
            both[pair.machine][pair.state] = [(one + other) / 2 for one, other in zip(left, right, strict=False)]
            alone[f"{pair.machine} left"][pair.state], alone[f"{pair.machine} right"][pair.state] = left, right
        print(f"clicked off by {off}; median, 9 in 10, 99 in 100 and all within")
        for name, visits in (("both flanks", both), ("one flank", alone)):
            same = of_one_machine(visits)
            quantiles = ", ".join(f"{each:.3f}" for each in np.quantile(same, SHARES))
            print(f"  {name}, one machine before and after, {len(same)} pairs: {quantiles}")
        apart = np.array(of_two_machines(both))
        shares = ", ".join(f"{limit}: {np.mean(apart > limit):.2f}" for limit in (UNLIKE_TEETH, 0.3, UNLIKE_FLANKS))
        print(f"  two machines, {len(both)} of them, {len(apart)} pairs, part beyond {shares}")


if __name__ == "__main__":
    main()
