"""Trials in order: pooling, effects, and the pair that tells most."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.judging.trials.trial import Pair, Trial, order_trials
from patternscan.measuring.interval import Interval

shifts = st.floats(-0.4, 0.4)


def trial(shim_mm: float, shared: float, doubt: float = 0.02) -> Trial:
    return Trial(shim_mm, Interval.around(shared, doubt))


def test_the_effect_is_change_over_change_with_both_doubts() -> None:
    pair = Pair(trial(0.0, 0.18, 0.03), trial(0.1, 0.06, 0.04))
    assert pair.effect_per_mm.value == pytest.approx(-1.2)
    assert pair.effect_per_mm.half_width == pytest.approx(0.5)  # 3, 4 and 5 make a right triangle, over 0.1 mm
    assert Pair(pair.other, pair.one).effect_per_mm == pair.effect_per_mm
    assert pair.sign == -1


def test_an_effect_within_its_doubt_has_no_sign_and_no_centre() -> None:
    pair = Pair(trial(0.0, 0.18, 0.05), trial(0.1, 0.13, 0.05))
    assert pair.sign is None
    assert pair.centre is None


def test_uneven_doubts_stay_on_their_side() -> None:
    pair = Pair(Trial(0.0, Interval(0.2, 0.2, 0.25)), Trial(0.1, Interval(0.1, 0.1, 0.1)))
    assert pair.effect_per_mm.value == pair.effect_per_mm.high == pytest.approx(-1.0)
    assert pair.effect_per_mm.low == pytest.approx(-1.5)


@given(shifts, shifts, st.floats(0.01, 0.5), st.floats(0, 0.1), st.floats(0, 0.1))
@settings(deadline=None, max_examples=200)
def test_the_line_meets_the_centre(first: float, second: float, step: float, doubt: float, other_doubt: float) -> None:
    pair = Pair(trial(0.0, first, doubt), trial(step, second, other_doubt))
    centre = pair.centre
    if centre is not None:
        assert first + (second - first) * centre.value / step == pytest.approx(0, abs=1e-6)  # on the line, at 0
        assert math.isfinite(centre.low)
        assert math.isfinite(centre.high)


def test_the_doubt_of_the_centre_is_that_of_the_worse_readings() -> None:
    """Halfway between two equally distant readings, an error of one moves the centre by half of its share."""
    centre = Pair(trial(0.0, 0.10, 0.0), trial(0.1, -0.10, 0.02)).centre
    assert centre is not None
    assert centre.value == pytest.approx(0.05)
    assert centre.low == pytest.approx(0.1 * 0.10 / 0.22)  # similar triangles: 0.10 of 0.22 of the way
    assert centre.high == pytest.approx(0.1 * 0.10 / 0.18)


def test_the_same_pack_blued_again_is_pooled() -> None:
    series = order_trials([trial(0.0, 0.20), trial(0.004, 0.16), trial(0.1, 0.05)])
    assert [each.shim_mm for each in series.steps] == [0.0, 0.1]
    assert series.packs == series.steps
    assert series.packs[0].shared.value == pytest.approx(0.18)
    # the doubt of one reading stays, and 1.645 (normal law) standard errors of their scatter are added
    scatter = 1.645 * math.sqrt(2 * 0.02**2) / math.sqrt(2)
    assert series.packs[0].shared.half_width == pytest.approx(math.hypot(0.02, scatter))


def test_a_pack_put_back_is_a_step_of_its_own_but_the_same_pack() -> None:
    series = order_trials([trial(0.0, 0.20), trial(0.1, 0.05), trial(0.0, 0.18)])
    assert [each.shim_mm for each in series.steps] == [0.0, 0.1, 0.0]
    assert [each.shim_mm for each in series.packs] == [0.1, 0.0]
    assert series.last.shared.value == pytest.approx(0.19)


def test_the_bracket_is_the_nearest_on_either_side() -> None:
    series = order_trials([trial(0.0, 0.18), trial(0.2, -0.12), trial(0.05, 0.09), trial(0.15, -0.05)])
    assert series.bracket == Pair(trial(0.05, 0.09), trial(0.15, -0.05))
    assert series.telling_pair == series.bracket


def test_a_pack_in_the_very_centre_goes_with_its_neighbour() -> None:
    series = order_trials([trial(0.0, 0.18), trial(0.1, 0.0), trial(0.2, 0.2)])
    assert series.bracket == Pair(trial(0.0, 0.18), trial(0.1, 0.0))


def test_the_bracket_stands_in_the_order_of_the_job() -> None:
    below, above = trial(0.0, -0.1), trial(0.1, 0.1)
    assert order_trials([below, above]).bracket == Pair(below, above)
    assert order_trials([above, below]).bracket == Pair(above, below)


def test_the_nearest_pack_is_the_last_unless_another_lay_nearer_beyond_doubt() -> None:
    found, worse, alike = trial(0.0, 0.18), trial(0.05, 0.30), trial(0.05, 0.20)
    assert order_trials([found, worse]).nearest == found
    assert order_trials([found, alike]).nearest == alike


def test_on_one_side_the_latest_clear_difference_tells() -> None:
    far, near, last = trial(0.0, 0.18), trial(0.1, 0.08), trial(0.12, 0.07)
    assert order_trials([far, near]).telling_pair == Pair(far, near)
    assert order_trials([far, near, last]).telling_pair == Pair(far, last)  # near and last differ within doubt
    assert order_trials([far, near, trial(0.2, 0.05, 0.01)]).telling_pair == Pair(near, trial(0.2, 0.05, 0.01))
    assert order_trials([near, last]).telling_pair == Pair(near, last)
    assert order_trials([far]).telling_pair is None


def test_a_trial_needs_a_number() -> None:
    with pytest.raises(ValueError, match="finite"):
        trial(math.nan, 0.1)
