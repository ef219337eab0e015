"""From patterns back to millimetres: wheels that were moved by a known amount, and laws that hold for every pair.

Nine in ten intervals should hold the truth. Of eight, six or more do so with a probability of 96 % (binomial law);
the benchmark draws more of them.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.frame import Flank
from patternscan.gearing.pair import Hand, WormPair
from patternscan.judging.comparison import Comparison, Target, compare_flanks
from patternscan.judging.estimate import Estimate, estimate_placement
from tests.judging.recovery import Recovery, drawn_wheels, read_flank_at, recover

PAIR = WormPair(4, 1, 30, 40, 29, hob_oversize=0.04)
GRID_STEP_MM = 2 * 0.04 * 29 / 239
"""Distance of neighbouring offsets in the fine table of PAIR when its oversize is known."""
DRAWN, ENOUGH = 8, 6


def compared(left: tuple[float, float], right: tuple[float, float], doubt: float = 1.0) -> Comparison:
    """Readings by (along, coverage)."""
    return compare_flanks(read_flank_at(Flank.LEFT, *left, doubt), read_flank_at(Flank.RIGHT, *right, doubt), Target())


def estimated(left: tuple[float, float], right: tuple[float, float], doubt: float = 1.0) -> Estimate:
    """The estimate with a known oversize, which takes a third of the time."""
    estimate = estimate_placement(compared(left, right, doubt), PAIR, oversize_known=True)
    assert estimate is not None
    return estimate


@pytest.fixture(scope="module")
def read() -> Estimate:
    """A wheel that stands toward A with its axis a little turned."""
    return estimated((0.66, 0.3), (0.6, 0.28))


@pytest.fixture(scope="module")
def drawn() -> list[Recovery]:
    return recover(drawn_wheels(DRAWN, seed=1))


@pytest.mark.study
def test_intervals_hold_the_offset_of_drawn_wheels(drawn: list[Recovery]) -> None:
    assert len(drawn) == DRAWN
    assert sum(one.holds for one in drawn) >= ENOUGH, "\n".join(map(str, drawn))


@pytest.mark.study
def test_a_clear_shift_never_gets_the_wrong_sign(drawn: list[Recovery]) -> None:
    assert sum(one.wheel.clearly_off for one in drawn) > DRAWN / 2
    assert not [str(one) for one in drawn if one.wrong_sign]


def test_half_a_turn_of_the_pair_turns_the_offset_round(read: Estimate) -> None:
    """Half a turn about the common perpendicular exchanges flanks and ends; a turned axis stays as it is."""
    turned = estimated((1 - 0.6, 0.28), (1 - 0.66, 0.3))
    assert turned.wheel_toward_a_mm.value == pytest.approx(-read.wheel_toward_a_mm.value, abs=GRID_STEP_MM)
    assert turned.wheel_toward_a_mm.low == pytest.approx(-read.wheel_toward_a_mm.high, abs=GRID_STEP_MM)
    assert turned.wheel_toward_a_mm.high == pytest.approx(-read.wheel_toward_a_mm.low, abs=GRID_STEP_MM)
    assert turned.shaft_angle_error_deg.value == pytest.approx(read.shaft_angle_error_deg.value, abs=0.002)


def test_in_a_mirror_the_other_hand_stands_toward_the_other_end(read: Estimate) -> None:
    """A mirror in the wheel's middle plane: hand, ends and turn change over, the flanks keep their names."""
    left_hand = replace(PAIR, hand=Hand.LEFT)
    mirrored = estimate_placement(compared((1 - 0.66, 0.3), (1 - 0.6, 0.28)), left_hand, oversize_known=True)
    assert mirrored is not None
    assert mirrored.wheel_toward_a_mm.value == pytest.approx(-read.wheel_toward_a_mm.value, abs=GRID_STEP_MM)
    assert mirrored.shaft_angle_error_deg.value == pytest.approx(-read.shaft_angle_error_deg.value, abs=0.002)


def test_offset_is_near_that_of_nested_circles(read: Estimate) -> None:
    """Plain geometry: offset = shared shift times oversize times face width, here 0.13 * 0.04 * 29 mm = 0.15 mm."""
    assert read.wheel_toward_a_mm.value == pytest.approx(0.13 * 0.04 * 29, rel=0.3)
    assert not read.saturated


def test_flanks_pulled_to_opposite_ends_tell_no_offset() -> None:
    found = estimated((0.58, 0.3), (0.42, 0.3))
    assert found.wheel_toward_a_mm.value == pytest.approx(0, abs=GRID_STEP_MM)
    assert found.at_least_mm == 0
    assert not found.shaft_angle_error_deg.holds(0.0)


def test_greater_doubt_of_the_reading_makes_the_estimate_less_sure(read: Estimate) -> None:
    doubtful = estimated((0.66, 0.3), (0.6, 0.28), doubt=2.5)
    assert doubtful.wheel_toward_a_mm.width > 1.3 * read.wheel_toward_a_mm.width
    assert doubtful.shaft_angle_error_deg.width > read.shaft_angle_error_deg.width


def test_known_oversize_makes_the_estimate_surer_and_the_work_is_told(read: Estimate) -> None:
    told: list[float] = []
    found = estimate_placement(compared((0.66, 0.3), (0.6, 0.28)), PAIR, done=told.append)
    assert found is not None
    assert found.wheel_toward_a_mm.width > 1.3 * read.wheel_toward_a_mm.width
    assert found.hob_oversize.low < 0.04 < found.hob_oversize.high
    assert read.hob_oversize.low == read.hob_oversize.high == pytest.approx(0.04)
    assert told == sorted(set(told))
    assert told[0] > 0
    assert told[-1] == 1


@pytest.mark.parametrize(("along", "sign"), [(0.88, 1), (0.12, -1)])
def test_pattern_that_runs_out_is_off_by_at_least_so_much(along: float, sign: int) -> None:
    found = estimated((along, 0.12), (along, 0.12))
    assert found.saturated
    assert found.wheel_toward_a_mm.value * sign > 0
    assert 0 < found.at_least_mm < found.wheel_toward_a_mm.value * sign


def test_one_flank_tells_nothing() -> None:
    left, right = read_flank_at(Flank.LEFT, 0.7, 0.3), read_flank_at(Flank.RIGHT, 0.7, 0.3)
    for one, other in ((left, None), (None, right), (None, None)):
        assert estimate_placement(compare_flanks(one, other, Target()), PAIR) is None


def test_a_hob_as_large_as_the_worm_tells_no_offset() -> None:
    pair = WormPair(6.3, 2, 31, 56.7, 43.8, hob_oversize=0.0)
    assert estimate_placement(compared((0.6, 0.3), (0.6, 0.3)), pair, oversize_known=True) is None


def test_a_face_too_wide_for_the_smallest_hobs_goes_by_the_others() -> None:
    pair = WormPair(3.15, 3, 46, 35.28, 31.8, hob_oversize=0.04)
    assert estimate_placement(compared((0.6, 0.3), (0.6, 0.3)), pair) is not None
