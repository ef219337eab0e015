"""The shared words keep their meaning: places, steps between them, and the two ends."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patternscan.cautions import caution
from patternscan.frame import FLANK_CENTRE, Compound, End, Flank, FlankOffset, FlankPoint, Made, Marking

fractions = st.floats(-2, 3, allow_nan=False)
points = st.builds(FlankPoint, fractions, fractions)
offsets = st.builds(FlankOffset, fractions, fractions)


def test_words_are_those_of_files_and_commands() -> None:
    """The words that outline files, options and results share."""
    assert [flank.value for flank in Flank] == ["left", "right"]
    assert [end.value for end in End] == ["A", "B"]
    assert [marking.value for marking in Marking] == ["transfer", "rub-off"]
    assert [compound.value for compound in Compound] == ["blue", "yellow", "white", "red", "violet"]


def test_other_end() -> None:
    assert End.A.other is End.B
    assert End.B.other is End.A


def test_centre_is_the_middle_of_the_face_half_way_up() -> None:
    assert FlankPoint(0.5, 0.5) == FLANK_CENTRE


def test_toward_b_is_positive_along_and_toward_the_tip_positive_up() -> None:
    end_a_root, end_b_tip = FlankPoint(0.0, 0.0), FlankPoint(1.0, 1.0)
    assert end_b_tip - end_a_root == FlankOffset(1.0, 1.0)


@given(points, offsets)
def test_a_step_there_and_back(point: FlankPoint, step: FlankOffset) -> None:
    again = point + step + -step
    assert again.along == pytest.approx(point.along, abs=1e-12)
    assert again.up == pytest.approx(point.up, abs=1e-12)


@given(points, points)
def test_difference_leads_from_one_point_to_the_other(start: FlankPoint, goal: FlankPoint) -> None:
    reached = start + (goal - start)
    assert reached.along == pytest.approx(goal.along, abs=1e-12)
    assert reached.up == pytest.approx(goal.up, abs=1e-12)


@given(offsets, offsets)
def test_steps_add_in_any_order(first: FlankOffset, second: FlankOffset) -> None:
    assert first + second == second + first


def test_two_places_cannot_be_added_nor_a_number() -> None:
    with pytest.raises(TypeError):
        FLANK_CENTRE + FLANK_CENTRE  # type: ignore[operator]
    with pytest.raises(TypeError):
        FLANK_CENTRE - 0.5  # type: ignore[operator]
    with pytest.raises(TypeError):
        FlankOffset(0.1, 0.1) + 0.5  # type: ignore[operator]


def test_records_are_frozen() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        FLANK_CENTRE.along = 0.0  # type: ignore[misc]
    told = caution("blurred")
    with pytest.raises(dataclasses.FrozenInstanceError):
        told.code = "too-blurred"  # type: ignore[misc]


def test_what_is_made_now_has_a_local_time_with_its_offset_and_whole_seconds() -> None:
    made = Made.now("the fitter")
    assert made.at.utcoffset() is not None
    assert (made.at.microsecond, made.by) == (0, "the fitter")
    assert Made.now().by is None
