"""Turned eccentrics in words: how much, which way, and what the sheet leaves open."""

from __future__ import annotations

import pytest

from patternscan.setting.log.events import EccentricChange
from patternscan.setting.machine.sheet import Eccentrics, Gear, Sheet
from patternscan.setting.mechanics.eccentric import DEAD_CENTRE_UNKNOWN
from patternscan.setting.mechanics.turn_effect import UNEQUAL, turn_effect
from patternscan.setting.state.job_state import Marks

GEAR = Gear(module_mm=8, starts=2, teeth=53, worm_diameter_mm=80, pressure_angle_deg=20, profile="za")
"""Pitch radius of the wheel 8 * 53 / 2 = 212 mm."""


def sheet(**eccentrics: object) -> Sheet:
    table = {"holes": 72, "throw_mm": 3.0, "span_mm": 300.0, "clockwise": True} | eccentrics
    return Sheet(gear=GEAR, eccentrics=Eccentrics(**table))  # type: ignore[arg-type]


def marks(hole: int) -> Marks:
    return Marks(0, 0, hole, hole)


def told(change: EccentricChange, hole: int, **eccentrics: object) -> str:
    return " ".join(turn_effect(marks(hole), change, sheet(**eccentrics)))


def test_a_quarter_turn_from_the_dead_centre_a_hole_closes_most() -> None:
    # 72 holes are 5 degrees each; throw 3 mm: 3 (cos 95 - cos 90) = -0.261 mm, and 2 tan 20 = 0.7279 of it as backlash
    # (Elements of Metric Gear Technology, eq. 14-2)
    words = told(EccentricChange(1, 1), 19, widest_hole=1)
    assert "centres closed by 0.26 mm (0.010 in)" in words
    assert "take about 0.19 mm (0.007 in) of backlash" in words
    assert UNEQUAL not in words
    assert "tilted" not in words


def test_backwards_it_opens_and_the_guide_goes_with_it() -> None:
    words = told(EccentricChange(-1, -1), 20, widest_hole=1)
    assert "centres opened by 0.26 mm (0.010 in)" in words
    assert "at most 0.19 mm" in words
    assert "guide" in words


def test_unequal_carriers_tilt_the_shaft() -> None:
    # 0.261 mm over a span of 300 mm is 0.050 degrees, at 212 mm like 0.18 mm along the shaft (own worked example)
    words = told(EccentricChange(-1, 0), 20, widest_hole=1)
    assert UNEQUAL in words
    assert "tilted by 0.050 degrees, as if the wheel stood 0.18 mm (0.007 in) further toward end A" in words


def test_at_the_dead_centre_unequal_carriers_turn_the_shaft_out_of_square() -> None:
    words = told(EccentricChange(1, 0), 1, widest_hole=1)
    assert "out of square by 0.050 degrees" in words
    assert "as if the wheel stood" not in words or "0.01 mm" in words


def test_without_the_dead_centre_only_the_most_is_told() -> None:
    words = told(EccentricChange(1, 1), 5)
    assert "The centres changed by 0.26 mm (0.010 in) at most." in words  # the chord 2 * 3 sin 2.5 degrees
    assert DEAD_CENTRE_UNKNOWN in words
    assert "opened" not in words.partition(DEAD_CENTRE_UNKNOWN)[0]


@pytest.mark.parametrize(("more_backlash", "contradicts"), [(1, True), (-1, False), (None, False)])
def test_a_sheet_that_contradicts_itself_is_told(more_backlash: int | None, contradicts: bool) -> None:
    words = told(EccentricChange(1, 1), 19, widest_hole=1, more_backlash=more_backlash)
    assert ("contradicts itself" in words) is contradicts


def test_past_the_last_hole_comes_the_first() -> None:
    assert "opened by 0.26 mm" in told(EccentricChange(1, 1), 72, widest_hole=19)


def test_what_the_sheet_does_not_give_is_not_made_up() -> None:
    change = EccentricChange(1, 1)
    assert turn_effect(marks(3), change, Sheet()) == ()
    assert turn_effect(Marks(0, 0, None, None), change, sheet(widest_hole=1)) == ()
    assert turn_effect(marks(3), EccentricChange(1, 0), Sheet()) == (UNEQUAL,)
    bare = Sheet(eccentrics=Eccentrics(holes=72, throw_mm=3.0, widest_hole=1))
    (words,) = turn_effect(marks(19), change, bare)
    assert words == "By the sheet the centres closed by 0.26 mm (0.010 in)."


def test_marks_that_cannot_be_are_told_and_do_not_stop_the_entry() -> None:
    """The sheet was corrected to fewer holes after the marks were noted; the entry stands already."""
    assert "cannot be reckoned. Hole 20 of 12 is not there." in told(EccentricChange(1, 1), 20, holes=12, widest_hole=1)
