"""How many shim changes a job takes, on wheels that no number was chosen on."""

from __future__ import annotations

import pytest

from patternscan.frame import End
from tests.study.closed_loop import REPORTED_ON, SMALL_HOBS, Machine, do_job, draw_machines, figures, sheet_of

pytestmark = pytest.mark.study

MEAN, NINE_IN_TEN = "mean changes of those ever right", "nine in ten"


@pytest.fixture(scope="module")
def machines() -> list[Machine]:
    return draw_machines(60, REPORTED_ON)


def expect_honest(found: dict[str, float]) -> None:
    assert found["ever right"] >= 0.95
    assert found["told right, off by over 8 %"] == 0
    assert found["stopped"] == 0
    assert found["never ended"] == 0


@pytest.mark.parametrize("face", [True, False])
def test_without_gear_data(machines: list[Machine], face: bool) -> None:
    found = figures([do_job(one, sheet_of(one, face=face), n) for n, one in enumerate(machines)])
    expect_honest(found)
    assert found[MEAN] <= 2.8
    assert found[NINE_IN_TEN] <= 4


def test_with_gear_data(machines: list[Machine]) -> None:
    found = figures([do_job(one, sheet_of(one), n, gear_data=True) for n, one in enumerate(machines[:30])])
    expect_honest(found)
    assert found[MEAN] <= 2.4
    assert found[NINE_IN_TEN] <= 4


def test_when_nobody_knows_what_a_shim_does(machines: list[Machine]) -> None:
    found = figures([do_job(one, sheet_of(one, sense=None), n) for n, one in enumerate(machines)])
    expect_honest(found)
    assert found[MEAN] <= 3.5


def test_small_hobs() -> None:
    drawn = draw_machines(30, REPORTED_ON, SMALL_HOBS)
    found = figures([do_job(one, sheet_of(one), n) for n, one in enumerate(drawn)])
    expect_honest(found)
    assert found[MEAN] <= 3.5


def test_a_wrong_shim_rule_stops_every_job(machines: list[Machine]) -> None:
    jobs = [do_job(one, sheet_of(one, sense=End.A), n) for n, one in enumerate(machines)]
    assert all(job.end.startswith("stop") for job in jobs)
