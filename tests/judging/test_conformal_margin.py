"""How much wider intervals have to be: worked examples, another library, and machines drawn again and again."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.judging.proof.conformal_margin import HELD, LEAST_MACHINES, conformal_margin

OWN_SCORES = st.lists(st.floats(-0.3, 0.3), min_size=1, max_size=4)


def of_machines(scores: list[list[float]]) -> list[tuple[str, float]]:
    """The scores with the name of a machine for each inner list."""
    return [(str(machine), score) for machine, own in enumerate(scores) for score in own]


def test_worked_by_hand() -> None:
    """Nine machines with a flank each: 0.9 of 9 and the new one is 9, so the worst of all. Of nineteen the eighteenth.
    With ten machines 9.9 is wanted: one with four flanks counts a quarter for each, so its worst alone may be missed.
    """
    assert conformal_margin(of_machines([[k / 100] for k in range(9)])) == 0.08
    assert conformal_margin(of_machines([[k / 100] for k in range(19)])) == 0.17
    ten = [[0.0] for _ in range(9)]
    assert conformal_margin(of_machines([*ten, [0.01, 0.02, 0.03, 0.04]])) == 0.04
    assert conformal_margin(of_machines([*ten, [0.0] * 9 + [0.04]])) == 0.0
    assert conformal_margin(of_machines([[-0.2]] * 9)) == 0.0


@given(scores=st.lists(st.floats(0, 1), min_size=9, max_size=60))
def test_a_flank_a_machine_is_the_known_rank(scores: list[float]) -> None:
    """The ceil((n + 1) 0.9) smallest (Lei and others, Distribution-free predictive inference, JASA 2018)."""
    rank = math.ceil((len(scores) + 1) * 9 / 10)
    assert conformal_margin((str(k), score) for k, score in enumerate(scores)) == sorted(scores)[rank - 1]


@settings(max_examples=60, deadline=None)
@given(scores=st.lists(OWN_SCORES, min_size=1, max_size=25))
def test_it_is_the_weighted_quantile_of_another_library(scores: list[list[float]]) -> None:
    """numpy's, with the new machine at infinity."""
    told = [max(score, 0.0) for own in scores for score in own] + [np.inf]
    weights = [1 / len(own) for own in scores for _ in own] + [1.0]
    expected = np.quantile(told, HELD - 1e-9, weights=weights, method="inverted_cdf")
    margin = conformal_margin(of_machines(scores))
    assert (np.inf if margin is None else margin) == expected
    assert (margin is None) == (len(scores) < LEAST_MACHINES)


@settings(max_examples=40, deadline=None)
@given(scores=st.lists(OWN_SCORES, min_size=LEAST_MACHINES, max_size=20), data=st.data())
def test_a_truth_further_out_never_makes_it_smaller(scores: list[list[float]], data: st.DataObject) -> None:
    before = conformal_margin(of_machines(scores))
    own = data.draw(st.sampled_from(scores))
    own[0] += data.draw(st.floats(0, 0.3))
    after = conformal_margin(of_machines(scores))
    assert before is not None
    assert after is not None
    assert 0 <= before <= after


@pytest.mark.parametrize("machines", [9, 14, 30])
@pytest.mark.parametrize("alike", [0.0, 1.0, 4.0])
def test_it_holds_on_a_fresh_machine_however_alike_the_flanks_of_one_are(machines: int, alike: float) -> None:
    """Intervals far too narrow for their errors; each machine with an error of its own, ``alike`` times as large as
    what differs between its one to six flanks, and with a law that has heavy tails.
    """
    chance, rounds, held = np.random.default_rng([machines, int(alike)]), 600, 0.0
    for _ in range(rounds):
        flanks = chance.integers(1, 7, machines + 1)
        errors = [abs(alike * chance.standard_t(3) + chance.standard_t(3, count)) for count in flanks]
        margin = conformal_margin(of_machines([list(own - 0.5) for own in errors[:-1]]))
        assert margin is not None
        held += float(np.mean(errors[-1] <= 0.5 + margin))
    assert held / rounds >= HELD - 2 * math.sqrt(HELD * (1 - HELD) / rounds)
    assert held / rounds <= HELD + 1 / (machines + 1) + 0.03


def test_too_few_machines_say_nothing_however_many_flanks_they_have() -> None:
    assert conformal_margin(of_machines([[0.1] * 50] * 8)) is None
    assert conformal_margin([]) is None
