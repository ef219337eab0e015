"""What becomes of outlines marked at a wrong place, and of another machine's sheet.

`python tests/benchmarks/mismarked.py dev [--sheet] [--pairings]` (or rims, port; dev2 to report).

Each photograph is marked as a careful person clicks it, and again with each slip. It is counted how many outlines are
refused, how many get a caution and which, and how many are believed; no contact is read. `--pairings` holds each
photograph against the sheets of all other machines whose hand is the same.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import get_args

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import PatternscanError
from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.camera import Lens, lens_of
from patternscan.seeing.geometry.mapping import map_flank
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline, resampled
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.marked_edges import look_at_edges, refuse_beside_tooth, refuse_no_tooth
from patternscan.seeing.outline_search.marked_flank import (
    doubtful_ends,
    doubtful_heights,
    edge_gaps,
    refuse_other_place,
)
from tests.benchmarks.scenes import Scene, Split, clicked_outline, gear_of, scenes

Edges = dict[str, NDArray[np.float64]]
OPPOSITE = {"root": "tip", "tip": "root", "end_a": "end_b", "end_b": "end_a"}
PATTERN, BESIDE_PATTERN = (0.01, 0.99), 0.03
"""So much of the pattern's columns and rows a line drawn round it takes in, and so far it runs outside them."""
BEFORE_CORNER = 0.1
"""An edge goes on beyond its corner as it ran in this part of it."""


def longer(edge: NDArray[np.float64], at_a: float, at_b: float) -> NDArray[np.float64]:
    """An edge (n, 2) that begins and stops so many face widths further out, the points as many and as even."""
    places = np.linspace(-at_a, 1 + at_b, len(edge))
    inside = resampled(edge, np.clip(places, 0, 1))
    first, second, before, last = resampled(edge, np.array([0, BEFORE_CORNER, 1 - BEFORE_CORNER, 1.0]))
    beyond_a, beyond_b = np.minimum(places, 0)[:, None], np.maximum(places - 1, 0)[:, None]
    moved: NDArray[np.float64] = inside + (beyond_a * (second - first) + beyond_b * (last - before)) / BEFORE_CORNER
    return moved


def ends_moved(edges: Edges, at_a: float, at_b: float) -> Edges:
    """The outline with its ends so many face widths further out."""
    root, tip = (longer(edges[name], at_a, at_b) for name in ("root", "tip"))
    moved = {"root": root, "tip": tip}
    for name, corner in (("end_a", 0), ("end_b", -1)):
        share = np.linspace(0, 1, len(edges[name]))[:, None]
        low, high = (line[corner] - edges[edge][corner] for line, edge in ((root, "root"), (tip, "tip")))
        moved[name] = edges[name] + (1 - share) * low + share * high
    return moved


def raised(edges: Edges, at_root: float, at_tip: float) -> Edges:
    """The outline with root and tip so many flank heights further up."""
    even = {name: resampled(edges[name], np.linspace(0, 1, len(edges["root"]))) for name in ("root", "tip")}
    height = even["tip"] - even["root"]
    root, tip = even["root"] + at_root * height, even["tip"] + at_tip * height
    ends = {name: np.linspace(root[k], tip[k], len(edges[name])) for name, k in (("end_a", 0), ("end_b", -1))}
    return {"root": root, "tip": tip, **ends}


def enlarged(edges: Edges, share: float) -> Edges:
    """The outline larger all round by a part of its size."""
    middle = np.mean([edges[name][place] for name in ("root", "tip") for place in (0, -1)], axis=0)
    return {name: middle + (1 + share) * (edge - middle) for name, edge in edges.items()}


def round_compound(one: Scene, lens: Lens) -> Edges | None:
    """The outline that a person draws round the pattern in place of the flank; None where there is none."""
    rows, columns = np.nonzero(one.contact())
    if not len(rows):
        return None
    (left, right), (low, high) = np.quantile(columns, PATTERN) / 255, 1 - np.quantile(rows, PATTERN[::-1]) / 127
    (left, right), (low, high) = (
        (left - BESIDE_PATTERN, right + BESIDE_PATTERN),
        (low - BESIDE_PATTERN, high + BESIDE_PATTERN),
    )
    true = {name: np.asarray(one.truth["outline"][name], dtype=float) for name in EDGE_NAMES}
    flank_map, _ = map_flank(checked_outline(true, Flank(one.truth["flank"])), gear_of(one).worm_pair(), lens)
    along, up = np.linspace(left, right, 9), np.linspace(low, high, 4)
    lines = {"root": (along, low), "tip": (along, high), "end_a": (left, up), "end_b": (right, up)}
    return {name: flank_map.to_photo(np.stack(np.broadcast_arrays(*line), axis=1)) for name, line in lines.items()}


SLIPS: Mapping[str, Callable[[Edges], Edges]] = {
    "as it is": lambda edges: edges,
    "end A 10 % out": lambda edges: ends_moved(edges, 0.1, 0),
    "end A 10 % in": lambda edges: ends_moved(edges, -0.1, 0),
    "end B 10 % out": lambda edges: ends_moved(edges, 0, 0.1),
    "end B 10 % in": lambda edges: ends_moved(edges, 0, -0.1),
    "root 12 % low": lambda edges: raised(edges, -0.12, 0),
    "root 25 % low": lambda edges: raised(edges, -0.25, 0),
    "root 12 % high": lambda edges: raised(edges, 0.12, 0),
    "tip 15 % low": lambda edges: raised(edges, 0, -0.15),
    "tip 25 % high": lambda edges: raised(edges, 0, 0.25),
    "all 30 % up": lambda edges: raised(edges, 0.3, 0.3),
    "all 30 % down": lambda edges: raised(edges, -0.3, -0.3),
    "10 % larger": lambda edges: enlarged(edges, 0.1),
    "20 % larger": lambda edges: enlarged(edges, 0.2),
    "10 % smaller": lambda edges: enlarged(edges, -0.1),
    "20 % smaller": lambda edges: enlarged(edges, -0.2),
    "half a turn": lambda edges: {name: edges[OPPOSITE[name]][::-1] for name in EDGE_NAMES},
}
"""Slips of a hand by name. By the last one root and tip, and end A and end B, are taken for one another."""


def outcome(photo: Photo, edges: Edges, flank: Flank, pair: WormPair | None) -> str:
    """Refused, the codes of its cautions, or believed."""
    try:
        outline: Outline = checked_outline(edges, flank)
        seen = look_at_edges(photo, outline)
        refuse_beside_tooth(seen, photo.name)
        gaps = edge_gaps(photo, outline)
        refuse_other_place(gaps, photo.name)
        refuse_no_tooth(seen, photo.name)
        _, cautions = map_flank(outline, pair, lens_of(photo))
    except PatternscanError:
        return "refused"
    told = (*cautions, *doubtful_ends(seen, gaps), *doubtful_heights(gaps))
    return " and ".join(sorted({one.code for one in told})) or "believed"


def edges_of(one: Scene) -> Edges:
    """The edges as a careful person clicks them."""
    clicked = clicked_outline(one)["flanks"][0]
    return {name: np.array(clicked[name]) for name in EDGE_NAMES}


def pairings(all_scenes: list[Scene]) -> tuple[Counter[str], list[float]]:
    """Outcomes with the sheets of all other machines of the same hand, and by how many points of the face width each
    moves the middle of the pattern from where the machine's own sheet has it.
    """
    sheets = {one.machine: gear_of(one) for one in all_scenes}
    results: Counter[str] = Counter()
    moves: list[float] = []
    for one in all_scenes:
        photo, flank = load_photo(one.photo), Flank(one.truth["flank"])
        for machine, gear in sheets.items():
            if machine != one.machine and gear.hand == gear_of(one).hand:
                told = outcome(photo, edges_of(one), flank, gear.worm_pair())
                results[told] += 1
                if told != "refused":
                    moves.append(moved_by(one, photo, gear.worm_pair()))
    return results, moves


def moved_by(one: Scene, photo: Photo, pair: WormPair) -> float:
    """How far apart two sheets see the true middle of the pattern, points of the face width."""
    outline = checked_outline(edges_of(one), Flank(one.truth["flank"]))
    middle = np.array([[one.truth["along"], one.truth["up"]]])
    own, other = (
        map_flank(outline, each, lens_of(photo))[0].to_photo(middle) for each in (gear_of(one).worm_pair(), pair)
    )
    return 100 * float(np.linalg.norm(own - other)) / outline.width_px


def main() -> None:
    """Print the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("split", choices=get_args(Split))
    parser.add_argument("--sheet", action="store_true", help="hand over the gear data too")
    parser.add_argument("--pairings", action="store_true", help="other machines' sheets in place of slips")
    asked = parser.parse_args()
    if asked.pairings:
        results, moves = pairings(scenes(asked.split))
        print("another machine's sheet:", dict(results.most_common()))
        print(
            "points moved, median {:.1f}, 9 in 10 within {:.1f}, most {:.1f}".format(*np.quantile(moves, (0.5, 0.9, 1)))
        )
        return
    counts: dict[str, Counter[str]] = {name: Counter() for name in (*SLIPS, "round compound")}
    for one in scenes(asked.split):
        photo, edges, flank = load_photo(one.photo), edges_of(one), Flank(one.truth["flank"])
        pair = gear_of(one).worm_pair() if asked.sheet else None
        for name, slip in SLIPS.items():
            counts[name][outcome(photo, slip(edges), flank, pair)] += 1
        drawn = round_compound(one, lens_of(photo))
        if drawn is not None:
            counts["round compound"][outcome(photo, drawn, flank, pair)] += 1
    for name, found in counts.items():
        print(f"{name:15}", dict(found.most_common()))


if __name__ == "__main__":
    main()
