"""What events bring about: how much a turn of the eccentrics did, which way, and what the sheet leaves open."""

from __future__ import annotations

import pytest

from patternscan.setting.log.events import (
    Backlash,
    Closed,
    EccentricChange,
    EndPlay,
    Replaced,
    SignOff,
)
from patternscan.setting.log.words import Part, Shaft
from patternscan.setting.machine.sheet import Eccentrics, Gear, Sheet
from patternscan.setting.rules.effects import effects_of, turn_effect
from patternscan.setting.state.packs import Marks
from tests.setting.job_entries import BACKLASH, FOUND, SHEET, WORM_PLAY, log
from tests.setting.rule_jobs import ASKED, UNANSWERED

GEAR = Gear(module_mm=8, starts=2, teeth=53, worm_diameter_mm=80, pressure_angle_deg=20, profile="za")
"""Pitch radius of the wheel 8 * 53 / 2 = 212 mm."""


def sheet(**eccentrics: object) -> Sheet:
    table = {"holes": 72, "throw_mm": 3.0, "span_mm": 300.0, "clockwise": True} | eccentrics
    return Sheet(gear=GEAR, eccentrics=Eccentrics(**table))  # type: ignore[arg-type]


def marks(hole: int) -> Marks:
    return Marks(0, 0, hole, hole)


def told(change: EccentricChange, hole: int, **eccentrics: object) -> dict[str, dict[str, object]]:
    return {point.code: dict(point.values) for point in turn_effect(marks(hole), change, sheet(**eccentrics))}


def test_a_quarter_turn_from_the_dead_centre_a_hole_closes_most() -> None:
    # 72 holes are 5 degrees each; throw 3 mm: 3 (cos 95 - cos 90) = -0.261 mm, and 2 tan 20 = 0.7279 of it as backlash
    # (Elements of Metric Gear Technology, eq. 14-2)
    effect = told(EccentricChange(1, 1), 19, widest_hole=1)
    assert effect.keys() == {"centres-closed", "backlash-taken"}
    assert effect["centres-closed"]["by_mm"] == pytest.approx(0.2615, abs=5e-5)
    assert effect["backlash-taken"]["backlash_mm"] == pytest.approx(0.1903, abs=5e-5)


def test_backwards_it_opens() -> None:
    effect = told(EccentricChange(-1, -1), 20, widest_hole=1)
    assert effect.keys() == {"centres-opened", "backlash-added"}
    assert effect["centres-opened"]["by_mm"] == pytest.approx(0.2615, abs=5e-5)
    assert effect["backlash-added"]["backlash_mm"] == pytest.approx(0.1903, abs=5e-5)


def test_unequal_carriers_tilt_the_shaft() -> None:
    # 0.2615 mm over a span of 300 mm is 0.0499 degrees, at 212 mm like 0.185 mm along the shaft (own worked example)
    effect = told(EccentricChange(-1, 0), 20, widest_hole=1)
    assert "turned-unlike" in effect
    tilted = effect["shaft-tilted-as-if"]
    assert tilted["tilt_deg"] == pytest.approx(0.0499, abs=5e-5)
    assert tilted["axial_mm"] == pytest.approx(0.1848, abs=5e-5)
    assert tilted["end"] == "A"


def test_carriers_that_are_put_alike_again_tilt_nothing_any_more() -> None:
    """End A was turned down by one hole alone; end B follows, or end A comes back."""
    unlike = Marks(-1, 0, 19, 20)
    for change in (EccentricChange(0, -1), EccentricChange(1, 0)):
        effect = {point.code for point in turn_effect(unlike, change, sheet(widest_hole=1))}
        assert effect - {"centres-opened", "backlash-added"} - {"centres-closed", "backlash-taken"} == {"alike-now"}
        unknown = {point.code for point in turn_effect(unlike, change, sheet())}
        assert unknown == {"alike-now", "centres-at-most", "dead-centre-unknown"}


def test_how_the_shaft_lies_counts_all_turns_since_the_marks_were_found() -> None:
    """One hole of end A, then another one: 3 (cos 85 - cos 95) = 0.523 mm over 300 mm are 0.0999 degrees."""
    effect = {
        point.code: point for point in turn_effect(Marks(-1, 0, 19, 20), EccentricChange(-1, 0), sheet(widest_hole=1))
    }
    assert "turned-unlike" in effect
    assert effect["shaft-tilted-as-if"]["tilt_deg"] == pytest.approx(0.0999, abs=5e-5)
    put_alike = turn_effect(Marks(0, 0, 19, 20, found_alike=False), EccentricChange(1, 0), sheet(widest_hole=1))
    assert {point.code for point in put_alike} == {"alike-now", "centres-closed", "backlash-taken"}


def test_at_the_dead_centre_unequal_carriers_turn_the_shaft_out_of_square() -> None:
    effect = told(EccentricChange(1, 0), 1, widest_hole=1)
    assert effect["shaft-out-of-square"]["angle_deg"] == pytest.approx(0.0499, abs=5e-5)
    tilted = effect.get("shaft-tilted-as-if", {"axial_mm": 0.0})["axial_mm"]
    assert tilted == pytest.approx(0.0, abs=0.015)


def test_without_the_dead_centre_only_the_most_is_told() -> None:
    effect = told(EccentricChange(1, 1), 5)
    assert effect.keys() == {"centres-at-most", "dead-centre-unknown"}
    assert effect["centres-at-most"]["by_mm"] == pytest.approx(0.2617, abs=5e-5)  # the chord 2 * 3 sin 2.5 degrees


@pytest.mark.parametrize(("more_backlash", "contradicts"), [(1, True), (-1, False), (None, False)])
def test_a_sheet_that_contradicts_itself_is_told(more_backlash: int | None, contradicts: bool) -> None:
    effect = told(EccentricChange(1, 1), 19, widest_hole=1, more_backlash=more_backlash)
    assert ("sheet-contradicts-itself" in effect) is contradicts


def test_past_the_last_hole_comes_the_first() -> None:
    effect = told(EccentricChange(1, 1), 72, widest_hole=19)
    assert effect["centres-opened"]["by_mm"] == pytest.approx(0.2615, abs=5e-5)


def test_what_the_sheet_does_not_give_is_not_made_up() -> None:
    def codes(marks: Marks, change: EccentricChange, sheet: Sheet) -> list[str]:
        return [point.code for point in turn_effect(marks, change, sheet)]

    change = EccentricChange(1, 1)
    assert codes(marks(3), change, Sheet()) == []
    assert codes(Marks(0, 0, None, None), change, sheet(widest_hole=1)) == []
    assert codes(marks(3), EccentricChange(1, 0), Sheet()) == ["turned-unlike"]
    bare = Sheet(eccentrics=Eccentrics(holes=72, throw_mm=3.0, widest_hole=1))
    assert codes(marks(19), change, bare) == ["centres-closed"]


def test_marks_that_cannot_be_are_told_and_do_not_stop_the_entry() -> None:
    """The sheet was corrected to fewer holes after the marks were noted; the entry stands already."""
    effect = told(EccentricChange(1, 1), 20, holes=12, widest_hole=1)
    assert effect["turn-not-reckoned"]["found"] == "Hole 20 of 12 is not there."


def test_backlash_is_brought_to_the_pitch_radius_and_freed_of_end_play() -> None:
    """Readings halve from 424 to 212 mm (j = ME r / M); 0.10 mm of end play goes off."""
    (at_radius,), (left,) = effects_of(log(WORM_PLAY, BACKLASH), SHEET)
    assert (at_radius.code, left.code) == ("at-pitch-radius", "left-for-teeth")
    assert at_radius["readings_mm"] == pytest.approx((0.30, 0.31, 0.29, 0.30))
    assert left["teeth_mm"] == pytest.approx((0.20, 0.21, 0.19, 0.20))
    (_,), (odd,) = effects_of(log(EndPlay(Shaft.WORM, 0.5), BACKLASH), SHEET)
    assert (odd.code, odd["play_mm"]) == ("end-play-too-large", 0.5)
    assert len(effects_of(log(BACKLASH), SHEET)) == 1
    assert effects_of(log(Backlash((), 424.0)), SHEET) == ()


def test_sign_off_names_what_is_open_line_by_line() -> None:
    lines = effects_of(log(*FOUND, Replaced(Part.WHEEL), SignOff("R. Moss")), SHEET)
    assert [line[0].code for line in lines] == ["still-open"] * len(lines)
    assert [line[1].code for line in lines] == ["read", "read", "read", "blue", "read", "close-housing"]
    assert effects_of(log(*FOUND, Closed()), SHEET) == ()


def test_sign_off_names_first_what_nobody_answered() -> None:
    (asked,) = effects_of(log(*UNANSWERED), SHEET)
    assert [one.code for one in asked] == ["not-answered", "to-answer"]
    lines = effects_of(log(*UNANSWERED[:-1], Replaced(Part.SEALS), ASKED, SignOff("R. Moss")), SHEET)
    assert [line[0].code for line in lines] == ["not-answered", *["still-open"] * (len(lines) - 1)]
    assert len(lines) > 1
