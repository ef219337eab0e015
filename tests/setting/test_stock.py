"""Shim packs from the stock on hand."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.errors import WrongUse
from patternscan.setting.machine.stock import SHIM_SETS, Shims, Stock, parse_shims, parse_stock, take_shim_set
from patternscan.setting.mechanics.shim_pack import find_pack

thicknesses = st.sampled_from(["0.05 mm", "0.10 mm", "0.15 mm", "0.002 in", "0.003 in", "0.005 in", "0.010 in"])
stocks = st.lists(st.tuples(thicknesses, st.integers(0, 2)), max_size=4).map(
    lambda kinds: parse_stock([f"{thickness} x {count}" for thickness, count in kinds])
)


def pieces(stock: Stock) -> int:
    return sum(kind.count for kind in stock.kinds)


@pytest.mark.parametrize(
    ("text", "shims"),
    [
        ("0.10 mm x 4", Shims(0.1, 4)),
        ("0.10mm x4", Shims(0.1, 4)),
        ("0.005 in x 6", Shims(0.127, 6, in_inch=True)),  # the international inch, by definition (1959)
        ('0.005" × 6', Shims(0.127, 6, in_inch=True)),
        ("5 thou X 6", Shims(0.127, 6, in_inch=True)),
        ("0.00075 in x 1", Shims(0.01905, 1, in_inch=True)),
        ("0.10 mm (0.004 in) x 2", Shims(0.1, 2)),
        ("0.1 mm x 0", Shims(0.1, 0)),
        ("0,10 mm x 4", Shims(0.1, 4)),
    ],
)
def test_shims_as_written(text: str, shims: Shims) -> None:
    assert parse_shims(text) == shims


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0.10 mm",
        "0.10 x 4",
        "4",
        "0.10 mm x",
        "0.10 mm x -1",
        "0 mm x 2",
        "30 mm x 1",
        "1 mm x 9999",
    ],
)
def test_what_is_no_shim_is_refused(text: str) -> None:
    with pytest.raises(WrongUse):
        parse_shims(text)


def test_every_fault_of_a_stock_is_named() -> None:
    with pytest.raises(WrongUse, match=r"'0\.1' is.*'thick' is"):
        parse_stock(["0.1 x 4", "0.2 mm x 1", "thick"])


def test_words_show_both_units_and_the_stamped_one_first() -> None:
    stock = parse_stock(["0.10 mm x 1", "0.10 mm x 1", "0.005 in x 6", "0.0005 in x 1", "0.025 mm x 1"])
    assert stock.words == (
        "0.005 in (0.127 mm) x 6, 0.10 mm (0.004 in) x 2, 0.025 mm (0.001 in) x 1, 0.0005 in (0.013 mm) x 1"
    )
    assert Stock().words == "no shims"


@given(stocks)
@settings(deadline=None, max_examples=50)
def test_words_read_back(stock: Stock) -> None:
    assert parse_stock([kind.words for kind in stock.kinds]) == stock


@pytest.mark.parametrize(
    ("wanted", "stock", "pack"),
    # own arithmetic, one rule each
    [
        (0.20, ["0.10 mm x 4", "0.20 mm x 1"], ["0.20 mm x 1"]),  # fewest pieces
        (0.20, ["0.10 mm x 4", "0.19 mm x 1"], ["0.19 mm x 1"]),  # fewest goes before nearest, within 0.01 mm
        (0.20, ["0.10 mm x 4", "0.18 mm x 1"], ["0.10 mm x 2"]),  # but not outside 0.01 mm
        (0.20, ["0.19 mm x 1", "0.205 mm x 1"], ["0.205 mm x 1"]),  # then the nearest
        (0.40, ["0.10 mm x 1", "0.20 mm x 2", "0.30 mm x 1"], ["0.30 mm x 1", "0.10 mm x 1"]),  # then the thicker
        (0.254, ["0.10 mm x 2", "0.005 in x 2"], ["0.005 in x 2"]),  # inch shims: 2 x 0.127 mm
        (0.227, ["0.10 mm x 2", "0.005 in x 2"], ["0.10 mm x 1", "0.005 in x 1"]),  # mixed
        (0.0, ["0.10 mm x 2"], []),
    ],
)
def test_the_pack(wanted: float, stock: list[str], pack: list[str]) -> None:
    choice = find_pack(wanted, parse_stock(stock))
    assert choice.found == parse_stock(pack)
    assert choice.below is None
    assert choice.above is None


def test_the_tolerance_is_exact() -> None:
    assert find_pack(0.20, parse_stock(["0.21 mm x 1"])).found is not None
    assert find_pack(0.20, parse_stock(["0.2101 mm x 1"])).found is None


def test_when_it_cannot_be_made_the_nearest_are_named() -> None:
    choice = find_pack(0.25, parse_stock(["0.10 mm x 2", "0.30 mm x 1"]))
    assert choice.found is None
    assert choice.below == parse_stock(["0.10 mm x 2"])
    assert choice.above == parse_stock(["0.30 mm x 1"])
    assert dict(choice.told.values) == {
        "wanted_mm": 0.25,
        "below_mm": 0.2,
        "below": "0.10 mm (0.004 in) x 2",
        "above_mm": 0.3,
        "above": "0.30 mm (0.012 in) x 1",
    }
    found = find_pack(0.2, parse_stock(["0.10 mm x 2"])).told
    assert (found.code, found["total_mm"], found["shims"]) == ("pack", 0.2, "0.10 mm (0.004 in) x 2")


def test_an_empty_stock_makes_nothing() -> None:
    choice = find_pack(0.25, Stock())
    assert (choice.found, choice.below, choice.above) == (None, Stock(), None)


def test_bolts_of_one_carrier_are_shimmed_alike() -> None:
    stock = parse_stock(["0.20 mm x 1", "0.10 mm x 4", "0.05 mm x 1"])
    choice = find_pack(0.20, stock, places=2)
    assert choice.found == parse_stock(["0.10 mm x 2"])  # one piece of 0.20 mm is not enough for two bolts


@pytest.mark.parametrize(("wanted", "places"), [(-0.1, 1), (26.0, 1), (float("nan"), 1), (0.1, 0)])
def test_impossible_wishes_are_refused(wanted: float, places: int) -> None:
    with pytest.raises(WrongUse):
        find_pack(wanted, Stock(), places)


@given(stocks, st.floats(0, 0.6))
@settings(deadline=None, max_examples=100)
def test_never_more_pieces_than_trying_everything(stock: Stock, wanted: float) -> None:
    choices = itertools.product(*(range(kind.count + 1) for kind in stock.kinds))
    sums = [
        (sum(taken), sum(count * kind.thickness_mm for count, kind in zip(taken, stock.kinds, strict=True)))
        for taken in choices
    ]
    fits = [pieces for pieces, total in sums if abs(total - wanted) <= PACK_TOLERANCE_MM - 1e-5]  # 1e-5: the rounding
    found = find_pack(wanted, stock).found
    if fits:
        assert found is not None
        assert pieces(found) <= min(fits)
    if found is not None:
        assert abs(found.total_mm - wanted) <= PACK_TOLERANCE_MM + 1e-5
        on_hand = {(kind.steps, kind.in_inch): kind.count for kind in stock.kinds}
        assert all(kind.count <= on_hand[kind.steps, kind.in_inch] for kind in found.kinds)


def test_named_sets() -> None:
    inch = take_shim_set("precut-inch", 2)
    assert (pieces(inch), len(inch.kinds)) == (26, 13)
    assert inch.total_mm == pytest.approx(2 * 0.430 * 25.4)  # sum of the seller's list of precut stainless shims
    assert take_shim_set("din-988", 1).total_mm == pytest.approx(2.5)  # sum of the rings, from memory
    assert "from memory" in SHIM_SETS["din-988"].source
    with pytest.raises(WrongUse, match="din-988"):
        take_shim_set("din988", 1)
