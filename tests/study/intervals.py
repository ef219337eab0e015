"""How wide intervals have to be, and how often they hold on new machines: `python tests/study/intervals.py` prints it.

Every photograph of dev, rims and port is read with its outline clicked, with and without gear data, and once more with
the outline found. How far an interval has to be stretched to hold the truth is its need. Machines are independent of
each other, photographs of one machine are not: each machine counts once, with its photographs and readings in equal
parts. A stretch is chosen so that a machine drawn at random holds CHOSEN_TO_HOLD (conformal prediction over groups;
Vovk, Gammerman and Shafer 2005, from memory). How often that holds is told by leaving one machine out: the others
choose, it is held against their choice.
At last the numbers that stand in the package are reported on dev2, on which nothing is chosen.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.calibration import measuring
from patternscan.errors import PatternscanError
from patternscan.measuring.interval import Interval
from patternscan.seeing.image.threads import use_one_thread
from tests.benchmarks.scenes import Scene, Split, gear_of, scene, scenes
from tests.study.photographed import read

CHOSEN_ON: tuple[tuple[Split, ...], ...] = (("dev",), ("dev", "rims", "port"))
"""The machines that were looked at most while the seeing of contact was made, and all on which its numbers were chosen.
Whichever asks for the wider interval is heard."""
CHOSEN_TO_HOLD = 0.93
"""A little more than the 9 in 10 that are promised."""
QUANTITIES = {"along": "STRETCH_ALONG", "up": "STRETCH_UP", "coverage": "STRETCH_COVERAGE"}


@dataclass(frozen=True, slots=True)
class Held:
    """One quantity of one reading: the stretch that its interval needs to hold the truth, 1 for as it is; its width and
    how far the value is off, as fractions.
    """

    machine: str
    need: float
    width: float
    error: float


def need_of(interval: Interval, truth: float) -> float:
    """How many times as wide an interval has to be to just hold the truth."""
    off = truth - interval.value
    reach = interval.high - interval.value if off > 0 else interval.value - interval.low
    return abs(off) / max(reach, 1e-9)


def stretch_for(held: Sequence[Held], share: float) -> float:
    """The least stretch with which a further machine may be expected to hold that share; infinite when none does."""
    machines = {one.machine for one in held}
    asked = share * (1 + 1 / len(machines))
    for stretch in sorted({one.need for one in held}):
        if share_held(held, stretch) >= asked:
            return stretch
    return float("inf")


def share_held(held: Iterable[Held], stretch: float = 1.0) -> float:
    """Mean over the machines of the part of their readings that hold the truth when stretched so far."""
    by_machine: dict[str, list[bool]] = {}
    for one in held:
        by_machine.setdefault(one.machine, []).append(one.need <= stretch)
    return float(np.mean([np.mean(part) for part in by_machine.values()]))


def left_out(held: Sequence[Held], share: float) -> float:
    """Part of the machines' readings that hold the truth when all the other machines choose the stretch."""
    parts = []
    for machine in sorted({one.machine for one in held}):
        stretch = stretch_for([one for one in held if one.machine != machine], share)
        parts.append(share_held([one for one in held if one.machine == machine], stretch))
    return float(np.mean(parts))


def read_one(asked: tuple[Split, str, bool, bool]) -> dict[str, Held] | None:
    """What one photograph's intervals need, by quantity; None when it is declined or shows no contact."""
    use_one_thread()
    split, name, found_alone, gear_known = asked
    one = scene(split, name)
    try:
        found = read(one, gear_of(one).worm_pair() if gear_known else None, found_alone).measurement
    except PatternscanError:
        return None
    known = {key: getattr(found, key) for key in QUANTITIES}
    return {key: held(one, interval, key) for key, interval in known.items() if interval is not None}


def held(one: Scene, interval: Interval, key: str) -> Held:
    """One quantity of a photograph, beside its truth."""
    truth = float(one.truth[key])
    return Held(one.machine, need_of(interval, truth), interval.width, abs(interval.value - truth))


def read_all(splits: Iterable[Split], found_alone: bool = False, processes: int = 2) -> dict[str, list[Held]]:
    """All photographs of these sets, read with and without gear data, by quantity; their outlines clicked or found."""
    asked = [
        (split, one.name, found_alone, known)
        for split in splits
        for one, known in product(scenes(split), (False, True))
    ]
    with ProcessPoolExecutor(processes) as pool:
        read_ones = [one for one in pool.map(read_one, asked, chunksize=4) if one is not None]
    return {key: [one[key] for one in read_ones if key in one] for key in QUANTITIES}


def lines(title: str, by_key: dict[str, list[Held]], numbers: Mapping[str, str] | None = None) -> Iterator[str]:
    """One line a quantity, with the number of machines; ``numbers``: names of the stretches that are to be chosen."""
    for key, ones in by_key.items():
        machines = len({one.machine for one in ones})
        width, error = 100 * np.median([one.width for one in ones]), 100 * np.quantile([one.error for one in ones], 0.9)
        told = f"{title:15} {key:9} {machines:3} machines, {len(ones):3} readings: "
        told += f"holds {share_held(ones):.3f}, width {width:5.1f}, 9 in 10 off by less than {error:4.1f} points"
        if numbers is not None:
            number = getattr(measuring, numbers[key])
            told += f"; {numbers[key]} is {number:.2f}, asked for {number * stretch_for(ones, CHOSEN_TO_HOLD):.2f}"
            told += f"; left out {left_out(ones, CHOSEN_TO_HOLD):.3f} hold"
        yield told


def main() -> None:
    """Print the tables."""
    for splits in CHOSEN_ON:
        print("\n".join(lines(", ".join(splits), read_all(splits), QUANTITIES)))
    print("\n".join(lines("outlines found", read_all(CHOSEN_ON[-1], found_alone=True))))
    print("\n".join(lines("dev2", read_all(("dev2",)))))
    print("\n".join(lines("dev2, found", read_all(("dev2",), found_alone=True))))


if __name__ == "__main__":
    main()
