"""The wheel's offset in the words of the workshop: amounts in mm and inches, ends named, doubt beside them."""

from __future__ import annotations

from dataclasses import replace

from patternscan.cautions import caution
from patternscan.frame import Flank
from patternscan.judging.comparison import Target, compare_flanks
from patternscan.judging.estimate import Estimate
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.text.reports.estimate import estimate_lines
from patternscan.reporting.text.reports.judgement import judgement_report
from tests.reporting.builders import drawn_inspection, pooled
from tests.reporting.contents import MADE, content

SURE = Estimate(
    wheel_toward_a_mm=Interval(0.20, 0.12, 0.30),
    saturated=False,
    shaft_angle_error_deg=Interval(0.05, 0.02, 0.09),
    centre_error_mm=Interval(-0.10, -0.20, -0.05),
    hob_oversize=Interval(0.04, 0.02, 0.07),
    film_um=Interval(8.0, 6.0, 11.0),
)


def judgement(estimate: Estimate | None, left: float = 0.75, right: float = 0.60) -> Judgement:
    comparison = compare_flanks(pooled(Flank.LEFT, left), pooled(Flank.RIGHT, right), Target())
    return replace(drawn_inspection(), comparison=comparison, estimate=estimate)


def test_without_an_estimate_nothing_is_said() -> None:
    assert estimate_lines(judgement(None)) == []
    assert "How far off" not in judgement_report(judgement(None))
    assert judgement_document(judgement(None), MADE).estimate is None


def test_the_offset_names_the_end_on_which_the_wheel_sits() -> None:
    # one inch is 25.4 mm, by definition
    assert estimate_lines(judgement(SURE))[0] == (
        "The wheel sits about 0.20 mm (0.008 in) too far toward end A; anything from 0.12 mm (0.005 in) to "
        "0.30 mm (0.012 in) fits in 9 cases out of 10."
    )
    other = replace(SURE, wheel_toward_a_mm=Interval(-0.20, -0.30, -0.12))
    assert estimate_lines(judgement(other))[0].startswith(
        "The wheel sits about 0.20 mm (0.008 in) too far toward end B"
    )


def test_an_offset_of_either_sense_names_both_ends() -> None:
    open_sense = replace(SURE, wheel_toward_a_mm=Interval(0.01, -0.05, 0.10))
    assert estimate_lines(judgement(open_sense))[0] == (
        "The wheel sits anywhere from 0.10 mm (0.004 in) too far toward end A "
        "to 0.05 mm (0.002 in) too far toward end B."
    )


def test_a_pattern_that_runs_out_gives_a_least_offset() -> None:
    assert estimate_lines(judgement(replace(SURE, saturated=True)))[0].startswith(
        "The wheel sits at least 0.12 mm (0.005 in) too far toward end A."
    )


def test_what_pulls_the_flanks_apart_is_told_both_ways_and_only_when_they_are_apart() -> None:
    apart = " ".join(estimate_lines(judgement(SURE, 0.75, 0.55)))
    assert "shafts out of square by about 0.05 degrees (0.02 to 0.09)" in apart
    assert "centres about 0.10 mm (0.004 in) too close together" in apart
    assert "cannot tell these two apart" in apart
    assert "out of square" not in " ".join(estimate_lines(judgement(SURE, 0.65, 0.65)))


def test_the_document_carries_the_offset_and_the_limits() -> None:
    written = content(judgement_document(judgement(SURE), MADE))["estimate"]
    assert written["wheel_toward_a_mm"] == {"value": 0.2, "low": 0.12, "high": 0.3}
    assert written["saturated"] is False
    assert written["at_least_mm"] == 0.12
    assert written["opposed_part"]["centre_error_mm"]["value"] == -0.1
    assert any("without load" in limit for limit in written["limits"])
    assert any("rigid and unworn" in limit for limit in written["limits"])


def test_a_target_off_the_middle_is_named_beside_the_offset() -> None:
    comparison = compare_flanks(pooled(Flank.LEFT, 0.6), pooled(Flank.RIGHT, 0.6), Target(0.66, 0.66))
    lines = estimate_lines(replace(drawn_inspection(), comparison=comparison, estimate=SURE))
    assert lines[1].startswith("This is counted from where the wheel was cut.")
    assert not any("counted from" in line for line in estimate_lines(judgement(SURE)))


def test_no_millimetres_stand_in_the_report_when_a_photo_is_too_poor_for_a_direction() -> None:
    poor = replace(judgement(SURE), cautions=(caution("too-blurred"),))
    assert estimate_lines(poor) == []
