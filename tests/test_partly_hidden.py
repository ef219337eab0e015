"""A flank that something stands in front of: what is seen is measured, and the doubt grows by what is not."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest

from patternscan.frame import Marking
from patternscan.gearing.pair import WormPair
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline, resampled
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.workflow.read import read_flank

SAMPLES = Path(__file__).parent.parent / "sample_images"
NAME = "goods_lift_before_left"
PAIR = read_sheet(SAMPLES / "goods_lift.toml").gear.worm_pair()
OUTLINE = read_outline_file(SAMPLES / f"{NAME}.outline.json").outlines[0]
TRUTH = json.loads((SAMPLES / "truth" / "truth.json").read_text(encoding="utf-8"))[NAME]
CELLS = np.stack(np.meshgrid(np.linspace(0.01, 0.99, 50), np.linspace(0.01, 0.99, 50)), axis=-1).reshape(-1, 2)
PORT = (105, 110, 112)
"""Grey paint of a housing."""


def drawn_along(first: float, last: float) -> Outline:
    """The outline as a person draws it who sees only this part of the face."""
    edges = {name: getattr(OUTLINE, name) for name in EDGE_NAMES}
    edges |= {name: resampled(edges[name], np.linspace(first, last, 9)) for name in ("root", "tip")}
    for end, place in (("end_a", 0), ("end_b", -1)):
        if (first, last)[place] != (0, 1)[place]:
            edges[end] = np.linspace(edges["root"][place], edges["tip"][place], 4)
    return checked_outline(edges, OUTLINE.flank)


@cache
def reading(first: float, last: float) -> Reading:
    """The sample read with a housing in front of all but a part of the face."""
    photo = load_photo(SAMPLES / f"{NAME}.jpg")
    outline = drawn_along(first, last)
    pixels = photo.pixels.copy()
    if (first, last) != (0, 1):
        whole, seen = np.zeros(pixels.shape[:2], np.uint8), np.zeros(pixels.shape[:2], np.uint8)
        cv2.fillPoly(whole, [np.rint(OUTLINE.border).astype(np.int32)], (1,))
        cv2.fillPoly(seen, [np.rint(outline.border).astype(np.int32)], (1,))
        hidden = cv2.dilate(whole, np.ones((41, 41), np.uint8)) > seen
        near = cv2.dilate((whole > seen).astype(np.uint8), np.ones((25, 25), np.uint8)) > 0
        pixels[hidden & near & (seen == 0)] = PORT
    return read_flank(replace(photo, pixels=pixels), outline, Marking.TRANSFER, None, PAIR)


@pytest.mark.parametrize(("first", "last"), [(0.2, 1.0), (0.0, 0.8)])
def test_the_place_of_the_contact_is_still_right(first: float, last: float) -> None:
    """The part that is seen keeps its place on the whole face, and the brackets hold the truth."""
    part, whole = reading(first, last), reading(0, 1)
    measured, along = part.measurement, part.measurement.along
    assert "end-unseen" in [caution.code for caution in part.cautions]
    assert measured.judged_fraction == pytest.approx(last - first, abs=0.05)
    assert along is not None
    assert whole.measurement.along is not None
    assert along.holds(TRUTH["along"])
    assert along.width > whole.measurement.along.width
    assert measured.coverage.holds(TRUTH["coverage"])
    assert measured.coverage.width > whole.measurement.coverage.width


@pytest.mark.parametrize("pair", [PAIR, None], ids=["gear known", "gear unknown"])
@pytest.mark.parametrize(("rows", "code"), [(260, "cut-off"), (340, "much-cut-off")])
def test_what_the_border_of_the_photo_cuts_off_is_not_judged(rows: int, code: str, pair: WormPair | None) -> None:
    """End B lies above the first row that is left, and the outline runs along the border there."""
    photo = load_photo(SAMPLES / f"{NAME}.jpg")
    fine = {name: resampled(getattr(OUTLINE, name), np.linspace(0, 1, 200)) for name in ("root", "tip")}
    edges = {name: edge[edge[:, 1] >= rows][::10] for name, edge in fine.items()}
    for edge in edges.values():
        edge[-1, 1] = rows
    edges |= {"end_a": OUTLINE.end_a, "end_b": np.linspace(edges["root"][-1], edges["tip"][-1], 4)}
    cut = checked_outline({name: edge - [0, rows] for name, edge in edges.items()}, OUTLINE.flank)
    found = read_flank(replace(photo, pixels=photo.pixels[rows:].copy()), cut, Marking.TRANSFER, None, pair)
    measured, along = found.measurement, found.measurement.along
    places = reading(0, 1).flank_map.to_photo(CELLS)
    assert measured.judged_fraction == pytest.approx((places[:, 1] >= rows).mean(), abs=0.05)
    assert code in [caution.code for caution in found.cautions]
    assert along is not None
    assert along.holds(TRUTH["along"])
    assert measured.coverage.holds(TRUTH["coverage"])


def test_nothing_is_hidden_on_the_whole_flank() -> None:
    assert reading(0, 1).measurement.judged_fraction > 0.95
    assert {"end-unseen", "left-out", "behind-next-tooth"}.isdisjoint(
        caution.code for caution in reading(0, 1).cautions
    )
