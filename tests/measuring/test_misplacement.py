"""How far contact may be misplaced: never a jump, and never more for being surer."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.measuring.misplacement import misplacement

SHARES = st.floats(0, 1)
FINE = np.linspace(0, 1, 1001)
SMALL_STEP = 0.002
"""For a thousandth of either number; an interval is 0.02 wide at the least on either side."""


def test_contact_that_both_ways_see_plainly_is_not_misplaced() -> None:
    assert misplacement(0.9, 0.9) == 0
    assert misplacement(0.9, None) == 0


def test_contact_that_hardly_differs_from_metal_may_lie_a_quarter_of_the_face_away() -> None:
    assert misplacement(0.5, 0.3) == misplacement(0.5, None) == 0.25


def test_two_ways_that_differ_leave_a_doubt_whatever_one_of_them_expects() -> None:
    assert misplacement(0.99, 0.2) == pytest.approx(0.193)


def test_two_ways_that_agree_are_believed_though_neither_is_sure() -> None:
    assert misplacement(0.6, 0.9) == pytest.approx(0.03)


@given(SHARES, SHARES, SHARES, SHARES)
def test_more_of_either_number_never_widens(one: float, other: float, first: float, second: float) -> None:
    weak, strong = misplacement(min(one, other), min(first, second)), misplacement(max(one, other), max(first, second))
    assert strong <= weak


@settings(deadline=None, max_examples=30)
@given(SHARES)
def test_a_fine_sweep_of_the_agreement_never_jumps(expected_iou: float) -> None:
    swept = [misplacement(expected_iou, float(agreement)) for agreement in FINE]
    assert np.abs(np.diff(swept)).max() < SMALL_STEP


@settings(deadline=None, max_examples=30)
@given(st.none() | SHARES)
def test_a_fine_sweep_of_the_expected_overlap_never_jumps(agreement: float | None) -> None:
    swept = [misplacement(float(expected_iou), agreement) for expected_iou in FINE]
    assert np.abs(np.diff(swept)).max() < SMALL_STEP
