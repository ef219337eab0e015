"""Single shims that come out and go in: exact, and never more than there are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patternscan.setting.machine.stock import Shims, Stock, gather_stock, parse_stock
from patternscan.setting.mechanics.swap import find_swap

PACK = parse_stock(["0.50 mm x 1", "0.10 mm x 1"])
SHELF = parse_stock(["0.20 mm x 2", "0.05 mm x 4"])
shims = st.builds(Shims, st.sampled_from([0.05, 0.1, 0.2, 0.5]), st.integers(0, 3))
stocks = st.lists(shims, max_size=4).map(gather_stock)


def test_taking_out_alone_is_preferred() -> None:
    swap = find_swap(-0.1, PACK, SHELF, 2)
    assert swap is not None
    assert (swap.out.words, swap.into) == ("0.10 mm (0.004 in) x 1", Stock())


def test_a_thicker_one_goes_in_for_a_thinner_one_that_comes_out() -> None:
    swap = find_swap(0.1, parse_stock(["0.10 mm x 1"]), parse_stock(["0.20 mm x 2"]), 2)
    assert swap is not None
    assert (swap.out.words, swap.into.words) == ("0.10 mm (0.004 in) x 1", "0.20 mm (0.008 in) x 1")


def test_the_shelf_has_to_do_for_both_bolts() -> None:
    one = parse_stock(["0.20 mm x 1"])
    assert find_swap(0.2, PACK, one, 2) is None
    assert find_swap(0.2, PACK, one, 1) is not None


@given(change_mm=st.sampled_from([-0.6, -0.2, -0.05, 0.0, 0.05, 0.15, 0.4]), pack=stocks, shelf=stocks)
def test_a_swap_makes_the_change_from_what_there_is(change_mm: float, pack: Stock, shelf: Stock) -> None:
    swap = find_swap(change_mm, pack, shelf, 2)
    if swap is None:
        return
    assert swap.into.total_mm - swap.out.total_mm == pytest.approx(change_mm, abs=0.0101)
    for taken, there in ((swap.out, pack), (swap.into, shelf)):
        held = {kind.steps: kind.count for kind in there.kinds}
        assert all(kind.count <= held.get(kind.steps, 0) for kind in taken.kinds)
