"""The truth painted as by hand: `python tests/benchmarks/painted_truth.py dev2 FOLDER [--only WORD]`.

Lays down each photograph with its truth file as a person would have painted it: the border of the true contact runs off
its place by 3 points of face width and flank height (one standard deviation, own guess), evenly over a fifth of the
flank. `patternscan proof FOLDER` then does what a user does with photographs of his own.
"""

from __future__ import annotations

import argparse
import shutil
import sys
from pathlib import Path

import cv2
import msgspec
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.reporting.documents.truth import truth_document
from patternscan.seeing.geometry.outline import checked_outline
from tests.benchmarks.scenes import Scene, Split, clicked_outline, scenes

HAND, REACH = 0.03, 0.2
"""Spread of a painted border in face widths and flank heights, and over what part of the flank it keeps its way."""


def painted(one: Scene, hand: int = 0) -> Truth:
    """The truth of a photograph as person number ``hand`` paints it; the same at every call."""
    (flank,) = clicked_outline(one)["flanks"]
    contact = shaky(one.contact(), np.random.default_rng([hand, *one.name.encode()]))
    return Truth(
        one.photo.name,
        checked_outline(flank, Flank(one.truth["flank"])),
        Marking(one.truth["marking"]),
        Compound(one.truth["compound"]),
        contact,
        np.ones_like(contact),
        f"person {hand + 1}",
        f"2026-03-0{hand + 1}T12:00:00+01:00",
    )


def shaky(contact: NDArray[np.bool_], chance: np.random.Generator) -> NDArray[np.bool_]:
    """The contact (TRUTH_ROWS, TRUTH_COLUMNS) with a border that runs off its place as a hand's does."""
    size = TRUTH_COLUMNS, TRUTH_ROWS
    rows, columns = np.mgrid[:TRUTH_ROWS, :TRUTH_COLUMNS].astype(np.float32)
    knots = chance.normal(0, 1, (2, round(1 / REACH) + 1, round(1 / REACH) + 1)).astype(np.float32)
    across, down = (cv2.resize(each, size, interpolation=cv2.INTER_CUBIC) for each in knots)
    off = [
        HAND * length * step / max(float(step.std()), 1e-6) for length, step in zip(size, (across, down), strict=True)
    ]
    moved = cv2.remap(contact.astype(np.float32), columns + off[0], rows + off[1], cv2.INTER_LINEAR)
    return np.asarray(moved > 0.5)


def lay_down(split: Split, folder: Path, only: str = "") -> None:
    """A folder for each machine with its photographs and what one person painted."""
    for one in scenes(split):
        if only in one.name:
            place = folder / one.machine
            place.mkdir(parents=True, exist_ok=True)
            shutil.copy(one.photo, place)
            document = truth_document([painted(one)], one.machine)
            (place / f"{one.name}.truth.json").write_bytes(msgspec.json.encode(document))


def main() -> None:
    """Lay the folder down."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("split", choices=("dev", "rims", "port", "dev2"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", default="", metavar="WORD")
    asked = parser.parse_args()
    lay_down(asked.split, asked.folder, asked.only)


if __name__ == "__main__":
    main()
