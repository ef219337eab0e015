"""Eccentric carriers: landmarks, laws, and a worked example."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.setting.mechanics.eccentric import (
    CarrierPair,
    EccentricCarrier,
    ShaftMove,
    Turn,
    bound_move,
    move_shaft,
)

HOLES = 12
holes = st.integers(1, HOLES)
turns = st.builds(Turn, holes, holes)
dead_centres = st.floats(1, HOLES + 0.99)


def carrier(widest: float | None = 1, **other: bool) -> EccentricCarrier:
    return EccentricCarrier(3.0, HOLES, widest, **other)


def pair(one: EccentricCarrier) -> CarrierPair:
    return CarrierPair(one, 300)


def alike(one: EccentricCarrier, turn: Turn) -> ShaftMove:
    """What two such carriers, turned alike, do to the shaft: the same as each of them to its own end."""
    move = move_shaft(pair(one), turn, turn)
    assert move is not None
    return move


def most(one: EccentricCarrier, turn: Turn) -> float:
    """The most that they can do."""
    return bound_move(pair(one), turn, turn).centres_mm


@pytest.mark.parametrize(
    ("turn", "centres", "sideways"),
    # positions of a point on a circle of 3 mm, hole 1 being the dead centre and 30 degrees from hole to hole
    [
        (Turn(1, 7), -6.0, 0.0),  # half a turn: from widest to narrowest, twice the throw
        (Turn(1, 4), -3.0, 3.0),  # a quarter turn clockwise: down by the throw, and to the right by it
        (Turn(4, 7), -3.0, -3.0),
        (Turn(10, 1), 3.0, 3.0),
        (Turn(4, 10), 0.0, -6.0),
        (Turn(5, 5), 0.0, 0.0),
    ],
)
def test_landmarks_round_the_circle(turn: Turn, centres: float, sideways: float) -> None:
    shift = alike(carrier(), turn)
    assert (shift.centres_mm, shift.sideways_mm) == pytest.approx((centres, sideways), abs=1e-9)
    other_way = alike(carrier(clockwise=False), turn)
    assert (other_way.centres_mm, other_way.sideways_mm) == pytest.approx((centres, -sideways), abs=1e-9)


def test_the_dead_centre_may_lie_between_two_holes() -> None:
    shift = alike(carrier(3.5), Turn(3, 4))
    assert shift.centres_mm == pytest.approx(0, abs=1e-9)
    assert shift.sideways_mm == pytest.approx(2 * 3 * math.sin(math.radians(15)))  # a chord of 30 degrees


@given(dead_centres, turns)
@settings(deadline=None, max_examples=50)
def test_nothing_exceeds_the_bound(widest: float, turn: Turn) -> None:
    shift = alike(carrier(widest), turn)
    bound = most(carrier(None), turn)
    assert math.hypot(shift.centres_mm, shift.sideways_mm) == pytest.approx(bound, abs=1e-9)


@given(dead_centres, turns, turns)
@settings(deadline=None, max_examples=100)
def test_no_move_of_the_shaft_exceeds_the_bound(widest: float, at_a: Turn, at_b: Turn) -> None:
    move, bound = move_shaft(pair(carrier(widest)), at_a, at_b), bound_move(pair(carrier(None)), at_a, at_b)
    assert move is not None
    for name in ("centres_mm", "sideways_mm", "tilt_deg", "shaft_angle_deg"):
        assert abs(getattr(move, name)) <= getattr(bound, name) + 1e-9


@given(dead_centres, turns)
@settings(deadline=None, max_examples=50)
def test_equal_turns_of_like_carriers_do_not_tilt(widest: float, turn: Turn) -> None:
    move, bound = move_shaft(pair(carrier(widest)), turn, turn), bound_move(pair(carrier(None)), turn, turn)
    assert move is not None
    for each in (move, bound):
        assert (each.tilt_deg, each.shaft_angle_deg) == pytest.approx((0, 0), abs=1e-9)


@given(dead_centres, turns, turns)
@settings(deadline=None, max_examples=50)
def test_swapped_ends_turn_the_tilt_round(widest: float, first: Turn, second: Turn) -> None:
    carriers = pair(carrier(widest))
    one, other = move_shaft(carriers, first, second), move_shaft(carriers, second, first)
    assert one is not None
    assert other is not None
    assert one.centres_mm == pytest.approx(other.centres_mm, abs=1e-9)
    assert one.tilt_deg == pytest.approx(-other.tilt_deg, abs=1e-9)
    assert one.shaft_angle_deg == pytest.approx(-other.shaft_angle_deg, abs=1e-9)


def test_a_mismatch_of_five_degrees() -> None:
    """Own arithmetic: throw 3 mm, span 300 mm: up to 0.26 mm, 0.050 degrees, like 0.18 mm of axial shift at 212 mm."""
    fine = EccentricCarrier(3.0, 72)  # 5 degrees from hole to hole
    bound = bound_move(CarrierPair(fine, 300), Turn(10, 11), Turn(10, 10))
    assert most(fine, Turn(10, 11)) == pytest.approx(0.26, abs=0.005)
    assert (bound.tilt_deg, bound.shaft_angle_deg) == pytest.approx((0.050, 0.050), abs=0.0005)
    assert bound.looks_like_axial_mm(212) == pytest.approx(0.185, abs=0.005)


def test_one_carrier_a_quarter_turn_from_dead_centre_tilts() -> None:
    """End A raised by 3 mm over a span of 300 mm: the slope of a right triangle, and the wheel's foot swings to A."""
    move = move_shaft(pair(carrier()), Turn(10, 1), Turn(10, 10))
    assert move is not None
    assert move.tilt_deg == pytest.approx(math.degrees(math.atan(3 / 300)))
    assert move.shaft_angle_deg == pytest.approx(math.degrees(math.atan(3 / 300)))
    assert move.centres_mm == pytest.approx(1.5)
    assert move.looks_like_axial_mm(100) == pytest.approx(1.0, abs=0.001)  # similar triangles, 100 : 300


def test_from_dead_centre_to_dead_centre_tilts_but_does_not_turn() -> None:
    """End B lowered by twice the throw, with nothing sideways: the slope of a right triangle."""
    move = move_shaft(pair(carrier()), Turn(1, 1), Turn(1, 7))
    assert move is not None
    assert move.tilt_deg == pytest.approx(math.degrees(math.atan(6 / 300)))
    assert move.shaft_angle_deg == pytest.approx(0, abs=1e-9)


def test_without_the_dead_centre_there_is_no_number() -> None:
    assert move_shaft(pair(carrier(None)), Turn(1, 2), Turn(1, 2)) is None
    assert carrier(None).opening_way(3) is None


@pytest.mark.parametrize(("hole", "way"), [(1, 0), (2, -1), (6, -1), (8, 1), (12, 1)])
def test_which_way_opens(hole: int, way: int) -> None:
    assert carrier().opening_way(hole) == way


@given(dead_centres, st.booleans(), st.integers(2, HOLES - 1))
@settings(deadline=None, max_examples=50)
def test_the_opening_way_opens(widest: float, clockwise: bool, hole: int) -> None:
    one = carrier(widest, clockwise=clockwise)
    way = one.opening_way(hole)
    assert way is not None
    shift = alike(one, Turn(hole, hole + way))
    assert (shift.centres_mm > 0) is (way != 0)


@pytest.mark.parametrize(
    ("throw", "count", "widest"),
    [(0.0, 8, None), (-1.0, 8, None), (math.nan, 8, None), (3.0, 1, None), (3.0, 8, 0.5), (3.0, 8, 9.0)],
)
def test_impossible_carriers_are_refused(throw: float, count: int, widest: float | None) -> None:
    with pytest.raises(WrongUse):
        EccentricCarrier(throw, count, widest)


def test_impossible_holes_and_spans_are_refused() -> None:
    with pytest.raises(WrongUse):
        alike(carrier(), Turn(1, HOLES + 1))
    with pytest.raises(WrongUse):
        CarrierPair(carrier(), 0)
