"""What pulling rough outlines onto the edges is worth: `python tests/benchmarks/snap.py` prints one table.

The true outlines of the sample photos are roughened, corners by up to 3 % of the face width and the points between by
up to 1.5 %, several times each, and read before and after they are pulled. "With gear data" are the photos whose sheet
is among the samples. The last line of each table is that of a steady hand (0.4 %), which has nothing to gain. Ends with
1 when pulling does not help a rough hand, or does harm to a steady one.

`python tests/benchmarks/snap.py dev2` (or dev, rims, port) prints how photographs with known truth are read whose
corners alone were marked, each a little off (``scenes.OFF``), or the corners with the middle of the root edge, beside
outlines of 22 points.
"""

from __future__ import annotations

import contextlib
import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

import numpy as np

from patternscan.errors import NoCompound
from patternscan.frame import Flank, Marking
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.marked_flank import snap_marked
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.workflow.read import read_flank

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.scenes import CLICKS, Split, clicked_outline, scenes  # noqa: E402
from tests.seeing.rough_outline import overlap_of, roughened  # noqa: E402

SAMPLES = ROOT / "sample_images"
SEEDS = 3
HANDS = {"rough": (0.03, 0.015), "steady": (0.007, 0.007)}
"""Farthest stray of a corner and of the points between; 0.4 % a coordinate is up to 0.7 % evenly over a disc."""
GAIN_WANTED, HARM_ALLOWED = 0.015, 0.01
"""Overlap with the true outline that a rough hand must gain and a steady one may lose, in the median."""
FINGERS = {
    "4 points: the corners": {"root": 2, "tip": 2, "end_a": 2, "end_b": 2},
    "5: and the root's middle": {"root": 3, "tip": 2, "end_a": 2, "end_b": 2},
    "22: all edges": CLICKS,
}
"""Points that a person drags on the marking page, edge by edge."""
SHEET_OF = "goods_lift"


@dataclass(frozen=True, slots=True)
class Trial:
    """One outline against the truth: overlap, and errors of the reading along the face and in coverage."""

    overlap: float
    along: float
    coverage: float


def marked(name: str, split: Split) -> list[Trial]:
    """All ordinary photographs of a set, read as the command line reads outlines of so many points."""
    made, clicks = [], FINGERS[name]
    for one in (one for one in scenes(split) if not one.truth["hard"]):
        photo, truth = load_photo(one.photo), one.truth
        edges = clicked_outline(one, clicks)["flanks"][0]
        rough = checked_outline(edges, Flank(truth["flank"]))
        drawn = snap_marked(photo, rough, None)[0] if rough.corners_only else rough
        true = checked_outline(truth["outline"], rough.flank)
        with contextlib.suppress(NoCompound):
            made.append(trial(photo, drawn, truth | {"outline": true}, None))
    return made


def trial(photo: Photo, outline: Outline, truth: dict[str, Any], pair: WormPair | None) -> Trial:
    """Read an outline and set it beside the true one."""
    size = (photo.width_px, photo.height_px)
    measured = read_flank(photo, outline, Marking(truth["marking"]), None, pair).measurement
    along = float("nan") if measured.along is None else measured.along.value - truth["along"]
    return Trial(
        overlap_of(outline, truth["outline"], size), abs(along), abs(measured.coverage.value - truth["coverage"])
    )


def trials(hand: str, pair: WormPair | None) -> tuple[list[Trial], list[Trial], int]:
    """All samples (those of the known gear when ``pair`` is given) before and after, and how many were pulled."""
    before, after, pulled = [], [], 0
    truths = json.loads((SAMPLES / "truth" / "truth.json").read_text(encoding="utf-8"))
    for number, (name, truth) in enumerate(truths.items()):
        if pair is not None and not name.startswith(SHEET_OF):
            continue
        photo = load_photo(SAMPLES / f"{name}.jpg")
        true = read_outline_file(SAMPLES / f"{name}.outline.json").outlines[0]
        for seed in range(SEEDS):
            rough = roughened(true, np.random.default_rng([number, seed]), *HANDS[hand])
            drawn, _ = snap_marked(photo, rough, pair)
            pulled += drawn.pulled
            before.append(trial(photo, rough, truth | {"outline": true}, pair))
            after.append(trial(photo, drawn, truth | {"outline": true}, pair))
    return before, after, pulled


def line(name: str, shown: list[Trial]) -> str:
    """One line of the table: medians and the worst or best tenth."""
    overlap = np.array([one.overlap for one in shown])
    along, coverage = (100 * np.array([getattr(one, key) for one in shown]) for key in ("along", "coverage"))
    cells = (
        f"{np.median(overlap):.3f} / {np.quantile(overlap, 0.1):.3f}",
        *(f"{np.nanmedian(error):.1f} / {np.nanquantile(error, 0.9):.1f}" for error in (along, coverage)),
    )
    return f"{name:28}" + "".join(f"{cell:>18}" for cell in cells)


def photographed(split: Split) -> None:
    """Print the table of photographs."""
    print(head(f"{split}, without gear data"))
    for name in FINGERS:
        made = marked(name, split)
        print(line(name, made) + f"   {len(made)} read")


def head(title: str) -> str:
    """The head of a table, two lines."""
    names, parts = ("outline overlap", "along, points", "coverage, points"), ("10th", "90th", "90th")
    said = "".join(f"{name:>18}" for name in names), "".join(f"{f'median / {part}':>18}" for part in parts)
    return f"\n{title:28}{said[0]}\n{'':28}{said[1]}"


def main() -> int:
    """Print the tables; 1 when pulling does not do what it should."""
    if len(sys.argv) > 1:
        photographed(next(split for split in get_args(Split) if split == sys.argv[1]))
        return 0
    well = True
    for title, pair in (
        ("without gear data", None),
        ("with gear data", read_sheet(SAMPLES / f"{SHEET_OF}.toml").gear.worm_pair()),
    ):
        print(head(title))
        for hand in HANDS:
            before, after, pulled = trials(hand, pair)
            print(line(f"{hand} hand, as clicked", before))
            print(line(f"{hand} hand, pulled", after) + f"   {pulled} of {len(after)} pulled")
            gain = float(np.median([one.overlap for one in after]) - np.median([one.overlap for one in before]))
            well &= gain >= (GAIN_WANTED if hand == "rough" else -HARM_ALLOWED)
    print("\nPulling helps." if well else "\nPulling does not do what it should.")
    return 0 if well else 1


if __name__ == "__main__":
    sys.exit(main())
