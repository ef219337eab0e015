"""Lengths with their unit: what is read, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.units import length_words, parse_length


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("0.10 mm", 0.1),
        ("0.10mm", 0.1),
        (" .5  MM ", 0.5),
        ("1 in", 25.4),  # the international inch, by definition (1959)
        ('0.004"', 0.1016),
        ("4 thou", 0.1016),  # a thou is a thousandth of an inch (common practice)
        ("-0.05 mm", -0.05),
        ("+2 thou", 0.0508),
    ],
)
def test_a_length_with_its_unit(text: str, length_mm: float) -> None:
    assert parse_length(text) == pytest.approx(length_mm, abs=1e-9)


@pytest.mark.parametrize(
    "text", ["0.10", "", "mm", "1,000 mm", "1.000,5 mm", "0.1 cm", "1 2 mm", "nan mm", "1e3 mm", "6000 mm"]
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(WrongUse):
        parse_length(text)


def test_a_comma_is_named_as_the_fault() -> None:
    with pytest.raises(WrongUse, match="not a comma"):
        parse_length("1,000 mm")  # a thousand or one


@pytest.mark.parametrize(("text", "comma"), [("0,6", False), ("0.6", False), ("1,250", True)])
def test_a_comma_is_blamed_only_where_it_cannot_be_understood(text: str, comma: bool) -> None:
    with pytest.raises(WrongUse) as stop:
        parse_length(text)
    assert ("comma" in stop.value.remedy) is comma


@pytest.mark.parametrize(
    ("text", "length_mm"), [("0,10 mm", 0.1), (",5 mm", 0.5), ("0,004in", 0.1016), ("12,5mm", 12.5)]
)
def test_a_decimal_comma_is_understood(text: str, length_mm: float) -> None:
    assert parse_length(text) == pytest.approx(length_mm)


@given(st.floats(0, 1000))
@settings(deadline=None)
def test_words_give_the_length_back(length_mm: float) -> None:
    metric, _, inch = length_words(length_mm).partition(" (")
    assert parse_length(metric) == pytest.approx(length_mm, abs=0.0051)
    assert parse_length(inch.rstrip(")")) == pytest.approx(length_mm, abs=0.0005 * 25.4 + 1e-6)
