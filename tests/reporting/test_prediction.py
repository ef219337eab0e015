"""The document and the words of a computed pattern, on blocks whose place is known."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

import pytest

from patternscan.errors import InconsistentInputs
from patternscan.gearing.pair import Placement
from patternscan.judging.prediction import Prediction
from patternscan.reporting.documents.prediction import prediction_document
from patternscan.reporting.text.reports.prediction import prediction_report, step_words
from tests.reporting.computed import MIDDLE, TOWARD_A, WELL_SET, contact, prediction, read_state
from tests.reporting.contents import MADE, content

NO_CONTACT = contact(None, MIDDLE, Placement(0.1), float("inf"))


def document(prediction: Prediction) -> dict[str, Any]:
    return content(prediction_document(prediction, MADE))


def test_the_document_holds_the_places_of_the_blocks() -> None:
    found = document(prediction())
    assert found["left"] == {"along": 0.7, "up": 0.5, "coverage": 0.1}
    assert found["right"] == {"along": 0.8, "up": 0.5, "coverage": 0.1}
    assert found["shared_shift"] == {"along": 0.25}
    assert found["opposed_shift"] == {"along": -0.05}
    assert found["well_set"]["left"]["along"] == found["well_set"]["right"]["along"] == 0.5


def test_the_document_holds_what_it_rests_on() -> None:
    found = document(dataclasses.replace(prediction(), assumed={"profile": "zi"}))
    assert found["pair"]["module_mm"] == 6.3
    assert found["pair"]["hand"] == "right"
    assert found["pair"]["centre_distance_mm"] == (63 + 6.3 * 40) / 2
    assert found["assumed"] == {"profile": "zi"}
    assert found["placement"] == {"wheel_toward_a_mm": 0.1, "centre_error_mm": 0.0, "shaft_angle_error_deg": 0.0}
    assert found["film_um"] == 10.0


def test_backlash_is_counted_from_the_well_set_pair_on_the_pitch_circle() -> None:
    # Two flanks, each 0.0001 rad nearer, on a pitch radius of 6.3 x 40 / 2 = 126 mm.
    assert document(prediction())["backlash_change_mm"] == pytest.approx(-2e-4 * 126, abs=1e-4)


def test_a_flank_without_contact_is_null_and_the_document_stays_plain_json() -> None:
    found = document(dataclasses.replace(prediction(), stands=NO_CONTACT))
    assert found["left"] == {"along": None, "up": None, "coverage": 0.0}
    assert found["shared_shift"] == {"along": None}
    assert found["backlash_change_mm"] is None
    json.dumps(found, allow_nan=False)


def test_a_move_is_counted_toward_a() -> None:
    moved = prediction(WELL_SET)
    assert moved.move_mm == pytest.approx(-0.1)
    found = document(moved)
    assert found["move"]["wheel_toward_a_mm"] == -0.1
    assert found["move"]["after"]["left"]["along"] == 0.5
    assert document(prediction())["move"] is None


def test_what_was_read_stands_beside_it() -> None:
    found = document(prediction(measured=read_state(0.72, None)))
    assert found["measured"]["left"]["along"]["value"] == 0.72
    assert found["measured"]["right"] is None
    assert document(prediction())["measured"] is None


def test_a_reading_of_another_machine_is_refused() -> None:
    with pytest.raises(InconsistentInputs, match="Barn hoist"):
        Prediction(10.0, TOWARD_A, WELL_SET, machine="Mill", measured=read_state(0.5, 0.5, "Barn hoist"))
    assert Prediction(10.0, TOWARD_A, WELL_SET, machine="Mill", measured=read_state(0.5, 0.5, "Mill")).measured


def test_the_report_says_where_the_pattern_lies_and_what_the_move_does() -> None:
    words = prediction_report(prediction(WELL_SET))
    assert (
        "**In short:** Taken together, the patterns of both flanks lie 25 % of the face width off the middle toward "
        "end B. With the wheel moved 0.10 mm (0.004 in) toward end B, they lie in the middle of the face.\n"
    ) in words
    assert "## After moving the wheel 0.10 mm (0.004 in) toward end B\n" in words
    assert (
        "- Left flank: middle of the pattern 70 % from end A and 50 % up from the root, 10 % of the flank touched."
    ) in words
    assert "- Against each other the left flank lies 5 % toward end A, the right opposite." in words
    assert "- Backlash at the pitch circle of the wheel: 0.025 mm (0.0010 in) less than in the well-set pair." in words
    assert "- The wheel stands 0.10 mm (0.004 in) toward end A of where it was cut." in words
    assert "- After the move it stands where it was cut." in words


def test_the_report_names_errors_of_the_housing_with_their_sense() -> None:
    def words(placement: Placement) -> str:
        return prediction_report(dataclasses.replace(prediction(), stands=contact(MIDDLE, MIDDLE, placement)))

    assert "are 0.20 mm (0.008 in) too far apart" in words(Placement(0, 0.2, 0))
    assert "are 0.20 mm (0.008 in) too close together" in words(Placement(0, -0.2, 0))
    assert "Seen from the wheel, the worm is turned 0.02 degrees clockwise" in words(Placement(0, 0, 0.02))
    assert "the worm is turned 0.02 degrees anticlockwise" in words(Placement(0, 0, -0.02))
    assert "at the right distance" in words(Placement())
    assert "square to each other" in words(Placement())


def test_a_trimmed_hob_is_said() -> None:
    trimmed = dataclasses.replace(TOWARD_A, pair=dataclasses.replace(TOWARD_A.pair, hob_trim_deg=-0.21))
    assert "trimmed by -0.21 degrees" in prediction_report(dataclasses.replace(prediction(), stands=trimmed))
    assert "trimmed" not in prediction_report(prediction())


def test_computed_and_read_are_set_side_by_side() -> None:
    words = prediction_report(prediction(measured=read_state(0.72, 0.60)))
    assert "- Left flank: read 72 % (67 to 77 %) from end A, computed 70 %, which is within the range" in words
    assert "- Right flank: read 60 % (55 to 65 %) from end A, computed 80 %, which is outside the range" in words


def test_missing_contact_is_said() -> None:
    words = prediction_report(dataclasses.replace(prediction(NO_CONTACT), stands=NO_CONTACT))
    assert "- Left flank: no contact." in words
    assert "at least one has no contact" in words
    assert "Both flanks together" not in words


def test_the_report_says_its_limits() -> None:
    words = prediction_report(prediction())
    for limit in (
        "cylindrical worms only",
        "without load",
        "rigid and unworn",
        "cover the whole mesh",
        "not a reading",
    ):
        assert limit in words


def test_the_name_of_a_machine_makes_no_layout() -> None:
    assert "Machine: Lift \\*2\\*\n" in prediction_report(dataclasses.replace(prediction(), machine="Lift *2*"))


@pytest.mark.parametrize(("mm", "inch"), [(25.4, "1.000"), (0.0254, "0.0010"), (0.1, "0.004")])
def test_the_inch_stands_beside_the_millimetre(mm: float, inch: str) -> None:
    # 25.4 mm by definition of the international inch (1959).
    assert f"({inch} in)" in step_words(mm)
