"""What is asked back before it is kept, and what is not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from patternscan.frame import End
from patternscan.judging.advice import Move, ShimRule
from patternscan.setting.log.events import (
    Alignment,
    Backlash,
    EndPlay,
    Event,
    LostMotion,
    Measured,
    ShimChange,
    ShimsFound,
)
from patternscan.setting.log.words import (
    Geometry,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.doubtful_entry import doubts_about
from tests.setting.job_entries import BLANK, HEAVY_AT_A, HEAVY_AT_B, READ, SHEET, blued, log, side_move

A, B = ShimPlace.CARRIER_A, ShimPlace.CARRIER_B
INCH = 25.4


def doubts(event: Event, *before: Event, sheet: Sheet = SHEET) -> dict[str, dict[str, Any]]:
    return {one.code: dict(one.values) for one in doubts_about(event, log(*before), sheet)}


@pytest.mark.parametrize(
    ("event", "sheet", "codes"),
    [
        (EndPlay(Shaft.WORM, 0.10 * INCH), SHEET, ["far-beyond", "perhaps-inches"]),
        (EndPlay(Shaft.WORM, 0.40), SHEET, ["far-beyond", "perhaps-inches"]),  # the maker's most is 0.13 mm
        (EndPlay(Shaft.WHEEL, 0.10 * INCH), BLANK, ["far-beyond", "perhaps-inches"]),
        (Alignment(0.02 * INCH), SHEET, ["far-beyond", "perhaps-inches"]),
        (Measured(Geometry.SQUARENESS, 0.05 * INCH), SHEET, ["far-beyond", "perhaps-inches"]),
        (Backlash((4.0, 4.0, 4.0, 4.0), 424.0), SHEET, ["far-beyond", "perhaps-inches"]),  # 2 mm at the pitch radius
        (Backlash((0.6, 0.6, 0.06 * INCH * 2, 0.6), 424.0), BLANK, ["unlike-fellows"]),
        (Backlash((0.6, 0.6), 260.0), SHEET, ["other-radius"]),
        (LostMotion((2.0, 2.5, 20.0)), SHEET, ["angle-unlike-fellows"]),
        (ShimsFound(A, 0.5 * INCH, 0.5 * INCH), SHEET, ["thick-pack", "perhaps-inches"]),
        (ShimsFound(ShimPlace.WORM, 0.5 * INCH, 0.3), BLANK, ["thick-pack", "perhaps-inches"]),
        (ShimChange(ShimPlace.WORM, 0.1 * INCH, 0.1 * INCH), SHEET, ["large-change", "perhaps-inches"]),
    ],
)
def test_what_looks_like_a_slip_is_asked_back(event: Event, sheet: Sheet, codes: list[str]) -> None:
    assert list(doubts(event, sheet=sheet)) == codes


@pytest.mark.parametrize(
    ("event", "sheet"),
    [
        (EndPlay(Shaft.WORM, 0.38), SHEET),
        (EndPlay(Shaft.WHEEL, 0.9), BLANK),
        (Alignment(0.14), SHEET),
        (Measured(Geometry.SQUARENESS, 0.3), SHEET),
        (Measured(Geometry.CENTRE_DISTANCE, 252.0), SHEET),
        (Backlash((1.0, 0.4, 0.0, 1.1), 424.2), SHEET),
        (Backlash((9.0,), 260.0), BLANK),
        (LostMotion((2.0, 5.0)), SHEET),
        (ShimsFound(A, 3.0, 3.0), SHEET),
        (ShimsFound(B, 4.5, 4.5), SHEET),
        (ShimChange(ShimPlace.WORM, 0.1, 0.1), SHEET),
    ],
)
def test_what_may_be_is_kept(event: Event, sheet: Sheet) -> None:
    assert doubts(event, sheet=sheet) == {}


@pytest.mark.parametrize(("pattern", "advised_mm"), [(HEAVY_AT_B, 0.17), (HEAVY_AT_A, -0.17)])
@pytest.mark.parametrize(("place", "way"), [(A, 1), (B, -1)])
def test_shims_against_the_advice_just_given(pattern: Event, advised_mm: float, place: ShimPlace, way: int) -> None:
    against, along = (ShimChange(place, mm, mm) for mm in (-way * advised_mm, way * advised_mm))
    told = doubts(against, *READ, pattern)
    assert told == {"against-advice": {"change_mm": -way * advised_mm, "advised_mm": way * advised_mm}}
    assert doubts(along, *READ, pattern) == {}


def test_much_more_than_was_advised() -> None:
    assert "large-change" in doubts(ShimChange(A, 0.6, 0.6), *READ, HEAVY_AT_B)
    assert doubts(ShimChange(A, 0.4, 0.4), *READ, HEAVY_AT_B) == {}


def test_without_advice_no_change_is_against_it() -> None:
    unknown = replace(SHEET, shims=replace(SHEET.shims, rule=None))
    back = side_move(-0.1)[0]
    assert doubts(back, *READ, HEAVY_AT_B, sheet=unknown) == {}
    assert doubts(back, *READ, blued(0.0, Move.STAY)) == {}
    turned = replace(SHEET, shims=replace(SHEET.shims, rule=ShimRule(End.A, End.A)))
    assert doubts(back, *READ, HEAVY_AT_B, sheet=turned) == {}


def test_a_pack_measured_again_is_held_against_what_the_log_comes_to() -> None:
    """0.60 mm found and 0.10 mm added are 0.70 mm; a micrometer may read a little more or less."""
    before = (ShimsFound(A, 0.6, 0.6), ShimChange(A, 0.1, 0.1))
    told = doubts(ShimsFound(A, 0.6, 0.6), *before)
    assert told == {"other-than-noted": {"place": A, "pack_mm": 0.6, "noted_mm": pytest.approx(0.7)}}
    assert "other-than-noted" in doubts(ShimsFound(A, 0.7, 0.65), *before)
    for thickness_mm in (0.68, 0.7, 0.72):
        assert doubts(ShimsFound(A, thickness_mm, thickness_mm), *before) == {}
    assert doubts(ShimsFound(B, 0.6, 0.6), *before) == {}
