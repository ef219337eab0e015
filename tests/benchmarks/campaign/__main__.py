"""Throw damage at the tool: ``python -m tests.benchmarks.campaign [--seed N] [--photos N] [--texts N] [--kills N]``.

Also how many leaks there are in what is handed over, and what becomes of entries that ten writers make at once.
"""

from __future__ import annotations

import argparse
import resource
import time
from contextlib import chdir
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.benchmarks.campaign.commands import throw_photos, throw_texts
from tests.benchmarks.campaign.kills import kill_judgements
from tests.benchmarks.campaign.leaks import search_outputs
from tests.benchmarks.campaign.writers import write_at_once


def main() -> None:
    """Run the whole campaign and print its figures; a seed gives the same damage again."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=time.time_ns() % 10**6)
    for kind, number in (("photos", 1000), ("texts", 1000), ("kills", 200), ("entries", 36)):
        parser.add_argument(f"--{kind}", type=int, default=number)
    given = parser.parse_args()
    print(f"seed {given.seed}", flush=True)
    with TemporaryDirectory() as place:
        folder = Path(place)
        with chdir(folder):  # marking pages come where the command runs
            print("texts:", throw_texts(folder, given.texts, Random(given.seed)).told(), flush=True)
            print("photos:", throw_photos(folder, given.photos, Random(given.seed)).told(), flush=True)
            most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
            print(f"most memory: {most_mb} MB", flush=True)
            print("leaks:", search_outputs(folder), flush=True)
        print("writers:", write_at_once(folder, given.entries), flush=True)
        if given.kills:
            print("kills:", dict(sorted(kill_judgements(folder, given.kills, Random(given.seed)).items())))


if __name__ == "__main__":
    main()
