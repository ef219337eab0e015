"""The calibrated numbers say where they come from."""

from __future__ import annotations

from pathlib import Path

import pytest

from patternscan.calibration.origin import Origin
from tests.study.changed import NUMBERS, TABLES, scaled

ROOT = Path(__file__).parent.parent


def test_every_number_stands_beside_its_unit_and_origin() -> None:
    stands = {name: value for table in TABLES for name, value in vars(table).items() if name.isupper()}
    assert {name for name, value in stands.items() if not isinstance(value, Origin)} == set(NUMBERS)


@pytest.mark.parametrize("name", NUMBERS)
def test_the_command_that_gives_a_number_again_is_there(name: str) -> None:
    chosen = NUMBERS[name]
    assert chosen.unit
    interpreter, script, *_ = chosen.origin.command.split()
    assert interpreter == "python"
    assert (ROOT / script).is_file()


def test_a_third_is_a_third_and_counts_change_by_one_at_least() -> None:
    assert scaled(0.3, 2 / 3) == pytest.approx(0.2)
    assert scaled((3.0, 6.0), 4 / 3) == pytest.approx((4, 8))
    assert [scaled(3, 2 / 3), scaled(3, 4 / 3), scaled(1, 4 / 3), scaled(90, 2 / 3)] == [2, 4, 2, 60]
