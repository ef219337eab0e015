"""The table of patterns beside direct rollings of the same pairs, and beside the nested circles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from patternscan.frame import Flank
from patternscan.gearing.contact import PairContact, roll_pair
from patternscan.gearing.pair import Hand, Placement, WormPair
from patternscan.judging.pattern_table import PatternTable, opposed_by_centre_error, tabulate

PAIR = WormPair(4, 2, 40, 40, 29, hand=Hand.LEFT)
OVERSIZES = (0.03, 0.05)
FILM = 6
"""Number of the film that is looked at, about 10 micrometres."""


@pytest.fixture(scope="module")
def table() -> PatternTable:
    told: list[float] = []
    return tabulate(PAIR, OVERSIZES, (-0.12, 0.12), told.append)


def rolled(table: PatternTable, oversize: int, offset: int, turn: int) -> PairContact:
    """The pair of one node, rolled on the full grid."""
    size = float(table.oversizes[oversize])
    placement = Placement(
        float(table.offsets[offset]) * size * PAIR.face_width_mm, 0.0, float(table.turns[turn]) * size
    )
    return roll_pair(replace(PAIR, hob_oversize=size), placement)


@pytest.mark.parametrize(
    ("oversize", "offset", "turn"),
    [(0, 6, 2), (0, 7, 0), (1, 8, 4), (1, 10, 2), (0, 2, 0), (1, 4, 4), (1, 1, 1)],
)
def test_nodes_are_what_the_pair_prints(table: PatternTable, oversize: int, offset: int, turn: int) -> None:
    """Every node is a rolling of its own; offsets toward B (numbers below 6) come by half a turn of the pair and not
    from a rolling, so they are checked against one. The full grid and hard edge move a centroid by under two points
    and a coverage by under three, most where a pattern runs out.
    """
    contact, film_um = rolled(table, oversize, offset, turn), float(table.films_um[FILM])
    node = (oversize, offset, turn, FILM)
    for printed, along, coverage in (
        (contact.left, table.left_along, table.left_coverage),
        (contact.right, table.right_along, table.right_coverage),
    ):
        middle = printed.centroid(film_um)
        assert middle is not None
        assert along[node] == pytest.approx(middle.along, abs=0.02)
        assert coverage[node] == pytest.approx(printed.coverage(film_um), abs=0.03)


def test_offsets_go_from_one_side_to_the_other(table: PatternTable) -> None:
    np.testing.assert_allclose(table.offsets, -table.offsets[::-1])
    assert (np.diff(table.offsets) > 0).all()


def test_without_an_offset_the_flanks_are_half_turns_of_each_other(table: PatternTable) -> None:
    """Half a turn about the common perpendicular brings the pair back to itself, flanks and ends exchanged."""
    middle = table.offsets.size // 2
    np.testing.assert_allclose(table.left_along[:, middle], 1 - table.right_along[:, middle], atol=1e-6)
    np.testing.assert_allclose(table.left_coverage[:, middle], table.right_coverage[:, middle], atol=1e-6)


def test_thicker_film_prints_more(table: PatternTable) -> None:
    assert (np.diff(table.left_coverage, axis=-1) > 0).all()
    assert (np.diff(table.right_coverage, axis=-1) > 0).all()


def test_turns_reach_over_what_was_asked_for(table: PatternTable) -> None:
    """With no offset, 10 um and the oversize that the span is laid out for (the last of two)."""
    middle = table.offsets.size // 2
    apart = (table.left_along - table.right_along)[1, middle, :, FILM] / 2
    assert apart.min() < -0.12
    assert apart.max() > 0.12


def test_wheel_toward_a_carries_the_pattern_toward_b(table: PatternTable) -> None:
    """Sign rule of the trade: the pattern goes to the end that the wheel moved away from."""
    shared = (table.left_along + table.right_along - 1)[:, :, 2, FILM] / 2
    assert (np.diff(shared, axis=1) > 0).all()


def test_nested_circles() -> None:
    """Plain geometry: circles of radius r and r + dr, one moved by e, touch at the angle e / dr, so at r e / dr. By
    hand: 0.1 mm over 4 % of 25 mm is a tenth of the face, to the end that the wheel moved away from.
    """
    pair = WormPair(4, 1, 40, 40, 25, hob_oversize=0.04)
    shared = roll_pair(pair, Placement(0.1), 24, 48).shared_shift(10.0)
    assert shared == pytest.approx(0.1 / (0.04 * 25), rel=0.2)


def test_centre_error_is_rolled() -> None:
    """One of the errors looked at, beside a rolling of the same placement."""
    errors, shifts = opposed_by_centre_error(PAIR, 0.05, 10.0)
    number = int(np.argmin(abs(errors - 0.07)))
    contact = roll_pair(PAIR, Placement(0.05, float(errors[number])))
    assert shifts[number] == pytest.approx(contact.opposed_shift(10.0), abs=0.02)


def test_work_is_told_as_it_goes() -> None:
    told: list[float] = []
    tabulate(PAIR, (0.04,), (-0.02, 0.02), told.append)
    assert told == sorted(set(told))
    assert told[0] > 0
    assert told[-1] == 1


def test_flanks_are_not_exchanged(table: PatternTable) -> None:
    """A turned axis opposes the flanks: which one goes toward B is asked of a rolling."""
    contact = rolled(table, 1, 6, 4)
    opposed = contact.opposed_shift(10.0)
    assert opposed is not None
    assert np.sign(table.left_along[1, 6, 4, FILM] - 0.5) == np.sign(opposed)
    assert {Flank.LEFT, Flank.RIGHT} == {contact.left.flank, contact.right.flank}
