"""What a proof on some machines is worth on others: `python tests/benchmarks/proven.py CHOSEN REPORTED`.

Both are folders of painted truth (`painted_truth.py`): what CHOSEN proves widens the intervals on REPORTED, and how
often they hold before and after is counted. Then machines of both are drawn again and again: so many prove, a further
one is read; with intervals as they are, and with ones half as wide, as if the tool were far too sure of itself.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import PatternscanError
from patternscan.judging.proof.conformal_margin import conformal_margin
from patternscan.judging.proof.proven_share import prove
from patternscan.measuring.interval import Interval
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.inputs.settings import ReadingSettings
from patternscan.workflow.proof.witnesses import find_witnesses
from patternscan.workflow.read import read_outlined

ROUNDS = 4000
QUANTITIES = ("along", "up", "coverage")


class Told(NamedTuple):
    """One number of one flank: what was read, what is true."""

    machine: str
    quantity: str
    read: Interval
    true: float

    def beyond(self, times: float = 1.0) -> float:
        """How far the truth lies beyond the interval, stretched so many times."""
        read = self.read.stretched(times)
        return max(read.low - self.true, self.true - read.high)


def told_in(folder: Path) -> Iterator[Told]:
    """Every number of every flank that is read."""
    for one in find_witnesses(folder):
        photo = load_photo(one.photo)
        for truth, *_ in one.truths:
            try:
                settings = ReadingSettings(Sheet(gear=one.gear), one.pair, truth.marking)
                measured = read_outlined(photo, truth.outline, settings).measurement
            except PatternscanError:
                continue
            yield Told(one.machine, "coverage", measured.coverage, truth.coverage)
            if truth.centroid is not None and measured.along is not None and measured.up is not None:
                yield Told(one.machine, "along", measured.along, truth.centroid.along)
                yield Told(one.machine, "up", measured.up, truth.centroid.up)


def kept_on_others(chosen: Sequence[Told], reported: Sequence[Told]) -> None:
    """What the chosen prove, and how often the reported hold before and after."""
    print("quantity  machines  margin   held before  after   half width before  after")
    for name in QUANTITIES:
        scores = [(one.machine, one.beyond()) for one in chosen if one.quantity == name]
        margin, others = conformal_margin(scores) or 0.0, [one for one in reported if one.quantity == name]
        before, after = (sum(one.beyond() <= more for one in others) for more in (0.0, margin))
        width = float(np.mean([one.read.half_width for one in others]))
        machines = len({machine for machine, _ in scores})
        held = f"{before:4} of {len(others)}  {after:5}"
        print(f"{name:9} {machines:8}  {margin:.4f}  {held}   {width:17.4f}  {width + margin:.4f}")


def by_machine(told: Sequence[Told], quantity: str, times: float) -> list[list[float]]:
    """How far truths lie beyond, machine by machine."""
    machines: dict[str, list[float]] = {}
    for one in told:
        if one.quantity == quantity:
            machines.setdefault(one.machine, []).append(one.beyond(times))
    return list(machines.values())


def drawn_again(told: Sequence[Told], number: int, times: float) -> None:
    """So many machines prove; how often a further one's intervals hold, and how often the stated share is true."""
    chance = np.random.default_rng(number)
    for name in QUANTITIES:
        machines = by_machine(told, name, times)
        true = float(np.mean([np.mean(np.array(own) <= 0) for own in machines]))
        before = after = stated = 0.0
        for _ in range(ROUNDS):
            fresh, *own = (machines[k] for k in chance.permutation(len(machines))[: number + 1])
            scores = [(str(k), score) for k, scores in enumerate(own) for score in scores]
            share, margin = prove((machine, score <= 0) for machine, score in scores), conformal_margin(scores) or 0.0
            before += float(np.mean(np.array(fresh) <= 0))
            after += float(np.mean(np.array(fresh) <= margin))
            stated += share is not None and share.at_least <= true
        print(
            f"{name:9} width x {times:.1f}  {number:3} of {len(machines)} machines prove: the further one holds "
            f"{before / ROUNDS:.3f}, widened {after / ROUNDS:.3f}; 'at least' is true in {stated / ROUNDS:.3f}"
        )


def main() -> None:
    """Read both folders and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("chosen", type=Path)
    parser.add_argument("reported", type=Path)
    asked = parser.parse_args()
    chosen, reported = list(told_in(asked.chosen)), list(told_in(asked.reported))
    kept_on_others(chosen, reported)
    for times in (1.0, 0.5):
        for number in (9, 20):
            drawn_again([*chosen, *reported], number, times)


if __name__ == "__main__":
    main()
