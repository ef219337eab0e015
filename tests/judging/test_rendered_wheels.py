"""Estimates for wheels whose prints an independent program computed for known offsets (rendered_wheels.json)."""

from __future__ import annotations

import pytest

from tests.judging.recovery import Recovery, recover, rendered_wheels

pytestmark = pytest.mark.study


@pytest.fixture(scope="module")
def rendered() -> list[Recovery]:
    return recover(rendered_wheels(seed=1))


def test_nine_in_ten_intervals_hold_the_offset(rendered: list[Recovery]) -> None:
    assert len(rendered) == 12
    assert sum(one.holds for one in rendered) >= 0.9 * len(rendered), "\n".join(map(str, rendered))


def test_a_clear_shift_never_gets_the_wrong_sign(rendered: list[Recovery]) -> None:
    assert sum(one.wheel.clearly_off for one in rendered) >= 4
    assert not [str(one) for one in rendered if one.wrong_sign]
