"""How wide intervals of prints on tape and paper have to be: `python tests/study/lift_intervals.py` prints it.

As `intervals.py` does it for flanks, machine by machine: a lift of every photograph's true contact is drawn under
either marking and read in its clicked frame. Chosen on dev, rims and port, whichever asks for the wider interval;
reported on dev2.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from itertools import product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import PatternscanError
from patternscan.frame import Marking
from patternscan.seeing.image.threads import use_one_thread
from patternscan.workflow.read import read_flank
from tests.benchmarks.lifts import drawn_lift
from tests.benchmarks.scenes import Split, scene, scenes
from tests.study.intervals import CHOSEN_ON, QUANTITIES, Held, held, lines

LIFTED = {key: f"LIFT_{name}" for key, name in QUANTITIES.items()}


def read_one(asked: tuple[Split, str, Marking]) -> dict[str, Held] | None:
    """What the intervals of one lift need, by quantity; None when it is declined."""
    use_one_thread()
    split, name, marking = asked
    one = scene(split, name)
    drawn = drawn_lift(one, marking)
    try:
        found = read_flank(drawn.photo, drawn.frame, marking).measurement
    except PatternscanError:
        return None
    known = {key: getattr(found, key) for key in QUANTITIES}
    return {key: held(one, interval, key) for key, interval in known.items() if interval is not None}


def read_all(splits: Iterable[Split], processes: int = 2) -> dict[str, list[Held]]:
    """The lifts of all photographs of these sets, under both markings, by quantity."""
    asked = [(split, one.name, marking) for split in splits for one, marking in product(scenes(split), Marking)]
    with ProcessPoolExecutor(processes) as pool:
        read_ones = [one for one in pool.map(read_one, asked, chunksize=4) if one is not None]
    return {key: [one[key] for one in read_ones if key in one] for key in QUANTITIES}


def main() -> None:
    """Print the tables."""
    for splits in CHOSEN_ON:
        print("\n".join(lines(", ".join(splits), read_all(splits), LIFTED)))
    print("\n".join(lines("dev2", read_all(("dev2",)))))


if __name__ == "__main__":
    main()
