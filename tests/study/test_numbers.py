"""Every calibrated number matters: a third more or less of it moves some figure of the floor that uses it."""

from __future__ import annotations

import pytest

from tests.study.changed import NUMBERS, changed, users
from tests.study.floors import FIGURES, places, usual
from tests.study.scan import lines

pytestmark = pytest.mark.study


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_is_used(name: str) -> None:
    assert users(name), "nothing uses it"
    assert places(name), "no figures are known of what uses it"


@pytest.mark.parametrize("factor", [2 / 3, 4 / 3], ids=["a third less", "a third more"])
@pytest.mark.parametrize("name", NUMBERS)
def test_a_third_moves_a_figure(name: str, factor: float) -> None:
    before = {place: usual(place) for place in places(name)}
    with changed(name, factor):
        after = {place: FIGURES[place]() for place in before}
    assert after != before


def test_the_scan_shows_the_figures_that_move() -> None:
    _, _, *rows = lines("LOOSE_RMS")
    assert [row.split()[0] for row in rows] == ["gear-data-loose"]
