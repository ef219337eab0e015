"""What a calibrated number does: `python tests/study/scan.py NAME` prints the figures that values around it move."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.study.changed import NUMBERS, changed, scaled, value_of
from tests.study.floors import FIGURES, places

FACTORS = (0.5, 2 / 3, 0.8, 1.0, 1.25, 4 / 3, 2.0)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("name", choices=sorted(NUMBERS), metavar="NAME")
    print("\n".join(lines(parser.parse_args().name)))


def lines(name: str) -> Iterator[str]:
    """What the number is, and a row for every figure that moves with it."""
    chosen, value, moved = NUMBERS[name], value_of(name), places(name)
    yield f"{name} = {value} ({chosen.unit}); {chosen.origin.chosen_on}, {chosen.origin.scenes} independent scenes"
    columns = []
    for factor in FACTORS:
        with changed(name, factor):
            columns.append({key: found for place in moved for key, found in FIGURES[place]().items()})
    yield f"{'':44}" + "".join(f"{scaled(value, factor)!s:>12.11}" for factor in FACTORS)
    for key in dict.fromkeys(key for column in columns for key in column):
        row = [column.get(key, float("nan")) for column in columns]
        if any(found != row[FACTORS.index(1.0)] for found in row):
            yield f"{key:44.44}" + "".join(f"{found:12.4f}" for found in row)


if __name__ == "__main__":
    main()
