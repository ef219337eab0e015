"""How intervals are chosen over machines, on needs that are known."""

from __future__ import annotations

import pytest

from patternscan.measuring.interval import Interval
from tests.study.intervals import Held, left_out, need_of, share_held, stretch_for


def held(**needs: list[float]) -> list[Held]:
    return [Held(machine, need, 0.1, 0.0) for machine, found in needs.items() for need in found]


@pytest.mark.parametrize(("truth", "need"), [(0.5, 0.0), (0.7, 1.0), (0.9, 2.0), (0.45, 0.5), (0.3, 2.0)])
def test_the_need_is_how_far_the_truth_lies_in_half_widths_of_its_side(truth: float, need: float) -> None:
    assert need_of(Interval(0.5, 0.4, 0.7), truth) == pytest.approx(need)


def test_a_machine_counts_once_however_many_photographs_show_it() -> None:
    assert share_held(held(often=[2.0] * 9, once=[0.5])) == 0.5


def test_the_stretch_leaves_room_for_a_machine_never_seen() -> None:
    """Of nine machines nine have to hold for nine in ten of ten; of eight not even all are enough."""
    machines = {f"m{k}": [k / 10] for k in range(1, 10)}
    assert stretch_for(held(**machines), 0.9) == 0.9
    machines.popitem()
    assert stretch_for(held(**machines), 0.9) == float("inf")


def test_the_machine_left_out_is_held_against_the_others_choice() -> None:
    """The one machine that needs much is missed when the others choose, and only that one."""
    machines = {f"m{k}": [0.5] for k in range(19)} | {"far": [3.0]}
    assert left_out(held(**machines), 0.9) == pytest.approx(19 / 20)
