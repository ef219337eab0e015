"""Every compound told of every photograph: `python tests/benchmarks/miscalled.py dev rims port` (dev2 to report).

Printed is how many flanks were refused, read with a grave caution, or believed, of those told rightly and wrongly, and
of how many machines; and how far the middle of what was believed lies off, points of the face width.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path
from typing import cast

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import PatternscanError
from patternscan.frame import Compound, Marking
from patternscan.measuring.reading import Reading
from patternscan.seeing.image.photo import load_photo
from patternscan.workflow.read import read_flank
from tests.benchmarks.scenes import Scene, Split, scenes
from tests.benchmarks.second_exposures import edges_of, outlined


def outcome(one: Scene, told: Compound) -> str | Reading:
    """Why the flank was refused, that its compound is doubted, or the reading without such a doubt."""
    try:
        marking = Marking(one.truth["marking"])
        reading = read_flank(load_photo(one.photo), outlined(one, edges_of(one)), marking, told)
    except PatternscanError as stop:
        return type(stop).__name__
    doubted = any(caution.code == "compound-wrong" for caution in reading.cautions)
    other = any(caution.grave for caution in reading.cautions)
    return "compound doubted" if doubted else "other grave caution" if other else reading


def main() -> None:
    """Print the figures of the sets that are named."""
    found = [one for split in sys.argv[1:] for one in scenes(cast(Split, split))]
    for rightly in (True, False):
        flanks: dict[str, list[str]] = defaultdict(list)
        off = []
        for one, told in ((one, told) for one in found for told in Compound):
            if (told == one.truth["compound"]) is not rightly:
                continue
            result = outcome(one, told)
            flanks["believed" if isinstance(result, Reading) else result].append(one.machine)
            if isinstance(result, Reading) and result.measurement.along is not None:
                off.append(100 * abs(result.measurement.along.value - one.truth["along"]))
        print("told rightly" if rightly else "told wrongly", f"({sum(map(len, flanks.values()))}):")
        for name, machines in flanks.items():
            print(f"  {name}: {len(machines)} of {len(set(machines))} machines")
        print(
            f"  believed ones off by {max(off, default=0):.1f} at most, {sum(each > 6 for each in off)} by more than 6"
        )


if __name__ == "__main__":
    main()
