"""Choosing pieces: never worse than trying everything."""

from __future__ import annotations

import itertools
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.setting.mechanics.shim_pack import MOST_PIECES, Kind, Selection, Selections, select_pieces

sizes = st.integers(1, 40)
counts = st.integers(0, 3)
stocks = st.lists(st.builds(Kind, sizes, counts), max_size=4)


def every_selection(kinds: list[Kind]) -> list[Selection]:
    """All that can be taken, by brute force."""
    choices = itertools.product(*(range(kind.count + 1) for kind in kinds))
    return [Selection(sum(k.size * c for k, c in zip(kinds, taken, strict=True)), taken) for taken in choices]


def tried(kinds: list[Kind], wanted: int, tolerance: int) -> Selections:
    """The same answer by trying everything; counts that differ in equal pieces only are told apart by the test."""

    def thick(selection: Selection) -> list[int]:
        pairs = zip(kinds, selection.counts, strict=True)
        return sorted((-abs(kind.size) for kind, count in pairs for _ in range(count)))

    everything = every_selection(kinds)
    within = [each for each in everything if abs(each.total - wanted) <= tolerance]
    if within:
        best = min(within, key=lambda each: (sum(each.counts), abs(each.total - wanted), thick(each)))
        return Selections(best, None, None)
    below = [each for each in everything if each.total < wanted - tolerance]
    above = [each for each in everything if each.total > wanted + tolerance]
    return Selections(
        None,
        min(below, key=lambda each: (-each.total, sum(each.counts), thick(each)), default=None),
        min(above, key=lambda each: (each.total, sum(each.counts), thick(each)), default=None),
    )


def essence(kinds: list[Kind], selection: Selection | None) -> tuple[int, list[int]] | None:
    if selection is None:
        return None
    pairs = zip(kinds, selection.counts, strict=True)
    return selection.total, sorted(abs(kind.size) for kind, count in pairs for _ in range(count))


def check(kinds: list[Kind], wanted: int, tolerance: int) -> None:
    got, expected = select_pieces(kinds, wanted, tolerance), tried(kinds, wanted, tolerance)
    for name in ("within", "below", "above"):
        mine, theirs = getattr(got, name), getattr(expected, name)
        assert essence(kinds, mine) == essence(kinds, theirs), name
        if mine is not None:
            assert sum(k.size * c for k, c in zip(kinds, mine.counts, strict=True)) == mine.total
            assert all(0 <= count <= kind.count for count, kind in zip(mine.counts, kinds, strict=True))


@given(stocks, st.integers(0, 120), st.integers(0, 4))
@settings(deadline=None, max_examples=300)
def test_as_good_as_trying_everything(kinds: list[Kind], wanted: int, tolerance: int) -> None:
    check(kinds, wanted, tolerance)


def test_two_sums_equally_near_go_to_the_thicker_piece() -> None:
    assert select_pieces([Kind(9, 1), Kind(11, 1)], 10, 1).within == Selection(11, (0, 1))


def test_a_hundred_pieces_are_quick() -> None:
    kinds = [Kind(2540 * number, 4) for number in range(1, 13)] + [Kind(1000 * number, 4) for number in range(10, 23)]
    assert sum(kind.count for kind in kinds) == 100
    begin = time.perf_counter()
    assert select_pieces(kinds, 250_000, 1000).within is not None
    assert select_pieces(kinds, 3_000_000, 0).above is None
    assert time.perf_counter() - begin < 2.0


def test_no_more_pieces_than_anybody_would_lay() -> None:
    chosen = select_pieces([Kind(1, 10_000)], 5000, 0)
    assert chosen.within is None
    assert chosen.below == Selection(MOST_PIECES, (MOST_PIECES,))


@pytest.mark.parametrize("wanted", [0, 5])
def test_nothing_to_choose_from(wanted: int) -> None:
    chosen = select_pieces([], wanted, 0)
    empty = Selection(0, ())
    assert chosen == (Selections(empty, None, None) if wanted == 0 else Selections(None, empty, None))
