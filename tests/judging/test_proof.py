"""Readings beside their truth: what is counted, and what the number of machines allows to say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest  # type: ignore[import-untyped]

from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.proof.checked_flank import CheckedFlank, Deviation, check_reading, not_read
from patternscan.judging.proof.figures import figures_of
from patternscan.judging.proof.hand_spread import compare_hands
from patternscan.judging.proof.outline_overlap import outline_overlap
from patternscan.judging.proof.proof import Proof
from patternscan.judging.proof.proven_share import at_least, at_most, prove
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth, overlap
from tests.drawn import slanted_outline
from tests.reporting.builders import MIDDLE, drawn_reading


def painted(flank: Flank, at: tuple[float, float, float, float] = MIDDLE, by: str = "R. Moss") -> Truth:
    """A truth whose contact is a rectangle: along from, along to, up from, up to."""
    rows, columns = np.mgrid[:TRUTH_ROWS, :TRUTH_COLUMNS]
    along, up = (columns + 0.5) / TRUTH_COLUMNS, 1 - (rows + 0.5) / TRUTH_ROWS
    contact = np.asarray((along > at[0]) & (along < at[1]) & (up > at[2]) & (up < at[3]))
    outline = slanted_outline(flank)
    judged = np.ones_like(contact)
    return Truth(f"{flank}.png", outline, Marking.TRANSFER, Compound.BLUE, contact, judged, by, "2026-03-01")


def test_the_bounds_are_those_of_a_published_example() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, confidence intervals for small sample sizes: 4 defective of 20,
    exact 90 % interval, each end of it one-sided at 95 % (the handbook's figures from memory).
    """
    assert (at_least(4, 20), at_most(4, 20)) == pytest.approx((0.071354, 0.401029), abs=2e-6)


@pytest.mark.parametrize(("trials", "share"), [(29, 0.90), (59, 0.95), (299, 0.99)])
def test_so_many_without_a_miss_prove_a_share(trials: int, share: float) -> None:
    """The least numbers of samples for material allowables, 29 for B and 299 for A (MIL-HDBK-5J, 9.2), and the 59 of
    Wilks (Determination of sample sizes for setting tolerance limits, 1941), all at 95 % (from memory).
    """
    assert at_least(trials - 1, trials - 1) < share <= at_least(trials, trials)


@given(trials=st.integers(30, 300))
def test_none_of_many_is_the_rule_of_three(trials: int) -> None:
    """Hanley and Lippman-Hand, If nothing goes wrong, is everything all right?, JAMA 249, 1983: at most 3 / n."""
    assert 2.85 / trials < at_most(0, trials) < 3 / trials


@settings(max_examples=60, deadline=None)
@given(data=st.data(), trials=st.integers(1, 60))
def test_the_bounds_are_those_of_another_library(data: st.DataObject, trials: int) -> None:
    """Clopper and Pearson, Biometrika 26, 1934, as scipy has them."""
    hits = data.draw(st.integers(0, trials))
    more, fewer = (
        binomtest(hits, trials, alternative=side).proportion_ci(0.95, "exact") for side in ("greater", "less")
    )
    assert (at_least(hits, trials), at_most(hits, trials)) == pytest.approx((more.low, fewer.high), abs=1e-8)
    assert at_least(hits, trials) <= hits / trials <= at_most(hits, trials)


@pytest.mark.parametrize("alike", [0.5, 5.0, 500.0])
def test_the_statement_holds_in_19_cases_of_20_however_alike_the_flanks_of_a_machine_are(alike: float) -> None:
    """Machines drawn again and again, each with its own chance (beta law round 0.85, ``alike`` how near it)."""
    chance, true, rounds, sound = np.random.default_rng(7), 0.85, 1500, [0, 0]
    for _ in range(rounds):
        own = chance.beta(true * alike, (1 - true) * alike, 8)
        results = [(str(k), bool(chance.random() < p)) for k, p in enumerate(own) for _ in range(4)]
        share = prove(results)
        assert share is not None
        sound[0] += share.at_least <= true
        sound[1] += true <= share.at_most
    assert min(sound) / rounds >= 0.95 - 2 * np.sqrt(0.95 * 0.05 / rounds)


def test_flanks_of_one_machine_are_one_witness() -> None:
    one, many = prove([("hoist", True)]), prove([("hoist", True)] * 40)
    assert one is not None
    assert many is not None
    assert many.at_least == pytest.approx(one.at_least) == pytest.approx(0.05)
    assert (many.right, many.flanks, many.machines) == (40, 40, 1)
    assert prove([]) is None


def test_a_truth_tells_its_own_numbers() -> None:
    truth = painted(Flank.RIGHT, (0.25, 0.5, 0.5, 0.75))
    middle = truth.centroid
    assert middle is not None
    assert (middle.along, middle.up) == pytest.approx((0.375, 0.625))
    assert truth.coverage == pytest.approx(0.0625)
    hidden = np.ones_like(truth.judged)
    hidden[:, : TRUTH_COLUMNS // 2] = False
    blind = replace(truth, judged=hidden)
    assert (blind.centroid, blind.coverage) == (None, 0.0)
    with pytest.raises(ValueError, match="128 by 256"):
        replace(truth, contact=np.ones((3, 3), dtype=bool))


def test_contact_that_is_nowhere_is_alike() -> None:
    none, whole = np.zeros((4, 4), dtype=bool), np.ones((4, 4), dtype=bool)
    assert overlap(none, none, whole) == 1
    assert overlap(none, whole, whole) == 0


@pytest.mark.parametrize("flank", Flank)
def test_a_reading_is_set_beside_the_truth(flank: Flank) -> None:
    reading = drawn_reading(flank)
    true = check_reading(reading, painted(flank), "hoist")
    assert true.overlap is not None
    assert true.overlap > 0.9
    assert true.compound_right
    assert true.marking_right
    for deviation in (true.along, true.up, true.coverage):
        assert deviation is not None
        assert deviation.held
        assert abs(deviation.error) < 0.02


def test_a_reading_that_lies_too_far_toward_b_deviates_upward() -> None:
    beside = check_reading(drawn_reading(Flank.LEFT), painted(Flank.LEFT, (0.15, 0.45, 0.3, 0.7)), "hoist")
    assert beside.along is not None
    assert beside.along.error == pytest.approx(0.2, abs=0.02)
    assert 0.1 < beside.along.beyond < beside.along.error
    assert not beside.along.held


def test_what_is_not_read_counts_but_has_no_numbers() -> None:
    read = check_reading(drawn_reading(Flank.LEFT), painted(Flank.LEFT), "hoist")
    lost = not_read(painted(Flank.RIGHT), "winch", "It is dark.")
    figures = figures_of([read, lost])
    assert (figures.flanks, figures.read, figures.machines) == (2, 1, 2)
    assert figures.along is not None
    assert figures.along.held.flanks == 1
    assert figures_of([lost]).along is None
    assert set(Proof((read, lost)).by_machine) == {"hoist", "winch"}


def test_two_people_are_compared() -> None:
    first, second = painted(Flank.LEFT, by="R. Moss"), painted(Flank.LEFT, (0.45, 0.75, 0.3, 0.7), "K. Weber")
    hand = compare_hands(first, second, "hoist")
    assert (hand.first, hand.second) == ("R. Moss", "K. Weber")
    assert hand.along == pytest.approx(0.1, abs=0.005)
    assert (hand.up, hand.coverage) == pytest.approx((0.0, 0.0), abs=0.005)
    assert hand.overlap == pytest.approx(0.5, abs=0.02)


def test_outlines_overlap() -> None:
    outline = slanted_outline(Flank.LEFT)
    assert outline_overlap(outline, outline) == 1
    step = np.array([outline.width_px / 2, 0.0])
    moved = replace(outline, **{name: getattr(outline, name) + step for name in ("root", "tip", "end_a", "end_b")})
    assert 0.1 < outline_overlap(outline, moved) < 0.6
    assert outline_overlap(outline, moved) == pytest.approx(outline_overlap(moved, outline))


@settings(max_examples=30)
@given(beyond=st.lists(st.floats(-0.2, 0.2), min_size=1, max_size=12))
def test_an_interval_held_when_the_truth_is_not_beyond_it(beyond: list[float]) -> None:
    flanks = [
        CheckedFlank("a.jpg", Flank.LEFT, "1", str(k % 3), Marking.TRANSFER, coverage=Deviation(0.1, far))
        for k, far in enumerate(beyond)
    ]
    figures = figures_of(flanks)
    assert figures.coverage is not None
    assert figures.coverage.held.right == sum(far <= 0 for far in beyond)
