"""How near the truth photographs are read: `python tests/benchmarks/photographs.py dev2 [--sheet]`.

Each photograph is read through the command line with an outline as a careful person clicks it, both flanks of each
machine are judged, and what was judged before a move is compared with what was judged after it. Numbers are chosen on
`dev`, `rims` and `port`, and reported on `dev2`. Errors are in points: hundredths of face width, flank height and
flank area. `--only WORD` takes the photographs whose name has it.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.cli import main as command_line
from tests.benchmarks.scenes import Pair, Scene, Split, clicked_outline, pairs, scenes, sheet_text

DECLINED = {4: "declined", 5: "declined", 6: "refused"}
"""What exit codes say when a photograph is not read."""
DECIDABLE, NEEDLESS = 0.06, 0.02
"""Shared shift that a fitter would move the wheel for, and below which he would not (fractions of the face width)."""
QUANTITIES = ("along", "up", "coverage")


@dataclass(frozen=True, slots=True)
class Score:
    """One photograph that was read: overlap of contact found and true (intersection over union), errors in points and
    whether the interval holds the truth, both by quantity.
    """

    overlap: float
    error: dict[str, float]
    holds: dict[str, bool]


def run(*words: str) -> tuple[int, dict[str, Any]]:
    """Exit code of the command line with ``--json``, and the result that it prints; empty when it prints none."""
    printed = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True)
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(io.StringIO()):
        try:
            code = command_line([*words, "--json"], standalone_mode=True)
        except SystemExit as end:
            code = end.code
    return int(code or 0), json.loads(printed.buffer.getvalue() or b"{}")


def handed_over(one: Scene, folder: Path, sheet: bool) -> tuple[str, list[str]]:
    """Outline file of a photograph, and the option that hands over the machine sheet when it is asked for."""
    outline, machine = folder / f"{one.name}.outline.json", folder / f"{one.name}.toml"
    outline.write_text(json.dumps(clicked_outline(one)), encoding="utf-8")
    machine.write_text(sheet_text(one), encoding="utf-8")
    return str(outline), ["--sheet", str(machine)] if sheet else []


def read(one: Scene, folder: Path, sheet: bool) -> Score | str:
    """Read a photograph and set it beside its truth; why not, when it is not read."""
    outline, options = handed_over(one, folder, sheet)
    drawn = folder / f"{one.name}.map.png"
    known = ("--flank", one.truth["flank"], "--tip", one.truth["tip"], "--marking", one.truth["marking"])
    code, result = run("read", str(one.photo), *known, "--outline", outline, "--map", str(drawn), *options)
    if code:
        return DECLINED.get(code, f"failed with exit code {code}")
    flank = result["flanks"][0]
    found = {"coverage": flank["coverage"], **(flank["centroid"] or {})}
    error = {key: 100 * (interval["value"] - one.truth[key]) for key, interval in found.items()}
    holds = {key: interval["low"] <= one.truth[key] <= interval["high"] for key, interval in found.items()}
    return Score(overlap(one, drawn), error, holds)


def overlap(one: Scene, drawn: Path) -> float:
    """Contact found and true over contact found or true, where it could be judged."""
    with Image.open(drawn) as image:
        read_map = np.asarray(image)
    judged, found, true = read_map != 128, read_map == 255, one.contact()
    return float((found & true & judged).sum() / max(1, ((found | true) & judged).sum()))


def judge(pair: Pair, folder: Path, sheet: bool) -> str:
    """Right, wrong or silent about a shift that counts; needless or quiet about one that does not."""
    words = ["--marking", pair.left.truth["marking"]]
    for side, one in (("left", pair.left), ("right", pair.right)):
        outline, options = handed_over(one, folder, sheet)
        words += [f"--{side}", str(one.photo), f"--{side}-outline", outline]
    code, result = run("judge", *words, *options)
    kept_result(pair.machine, pair.state, folder).write_text(json.dumps(result), encoding="utf-8")
    move = result["advice"]["move_wheel"] if not code else DECLINED.get(code, f"failed with exit code {code}")
    toward = "toward-B" if pair.shared > 0 else "toward-A"
    if move not in ("toward-A", "toward-B"):
        return "failed" if move.startswith("failed") else "silent" if abs(pair.shared) >= DECIDABLE else "quiet"
    if abs(pair.shared) < NEEDLESS:
        return "needless"
    return "right" if move == toward else "wrong"


def kept_result(machine: str, state: str, folder: Path) -> Path:
    """Where the result of a machine in one state is kept."""
    return folder / f"{machine}_{state}.json"


def compare(before: Pair, after: Pair, folder: Path) -> str:
    """Right, wrong or silent about a change that counts; needless or quiet about one that does not."""
    code, result = run("compare", *(str(kept_result(one.machine, one.state, folder)) for one in (before, after)))
    nearer = abs(before.shared) - abs(after.shared)
    verdict, true = result.get("verdict", f"exit code {code}"), "better" if nearer > 0 else "worse"
    if verdict not in ("better", "worse"):
        return "silent" if abs(nearer) >= DECIDABLE else "quiet"
    if abs(nearer) < NEEDLESS:
        return "needless"
    return "right" if verdict == true else "wrong"


def figures(title: str, results: Sequence[Score | str]) -> Iterator[str]:
    """The lines that say how a group of photographs was read."""
    read_ones = [one for one in results if isinstance(one, Score)]
    others = Counter(one for one in results if isinstance(one, str))
    yield f"{title}: {len(results)} photographs, read {len(read_ones)}" + "".join(
        f", {what} {count}" for what, count in sorted(others.items())
    )
    if not read_ones:
        return
    worst, middle = np.quantile([one.overlap for one in read_ones], (0.1, 0.5))
    yield f"  overlap   median {middle:.3f}   9 in 10 above {worst:.3f}"
    for key in QUANTITIES:
        sizes = [abs(one.error[key]) for one in read_ones if key in one.error]
        if sizes:
            middle, most = np.quantile(sizes, (0.5, 0.9))
            held = np.mean([one.holds[key] for one in read_ones if key in one.holds])
            yield f"  {key:9} median {middle:5.2f}   9 in 10 within {most:5.2f}   interval holds {held:.2f}"


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("split", choices=get_args(Split))
    parser.add_argument("--sheet", action="store_true", help="hand over the gear data too")
    parser.add_argument("--only", default="", metavar="WORD")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        chosen = [one for one in scenes(asked.split) if asked.only in one.name]
        results = {one.name: read(one, folder, asked.sheet) for one in chosen}
        hard = {one.name for one in chosen if one.truth["hard"]}
        for title, group in (
            ("ordinary", [result for name, result in results.items() if name not in hard]),
            ("hard", [result for name, result in results.items() if name in hard]),
        ):
            print("\n".join(figures(title, group)))
        judged = [pair for pair in pairs(asked.split) if asked.only in pair.left.name]
        moves = Counter(judge(pair, folder, asked.sheet) for pair in judged)
        visits = {(pair.machine, pair.state): pair for pair in judged}
        both = [(pair, visits[machine, "after"]) for (machine, state), pair in visits.items() if state == "before"]
        changes = Counter(compare(before, after, folder) for before, after in both)
    for title, verdicts in (("direction", moves), ("comparison", changes)):
        print(f"{title}: " + ", ".join(f"{what} {count}" for what, count in sorted(verdicts.items())))


if __name__ == "__main__":
    main()
