"""A proof widens intervals: it never narrows one and never moves a value."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patternscan.measuring.interval import Interval
from patternscan.measuring.measurement import Measurement
from patternscan.measuring.widening import Widening, widen

STEPS = st.floats(0, 2)
INTERVALS = st.lists(st.floats(0, 1), min_size=3, max_size=3).map(
    lambda ends: Interval(*(sorted(ends)[place] for place in (1, 0, 2)))
)


@st.composite
def measurements(draw: st.DrawFn) -> Measurement:
    coverage, along, up, length, height = (draw(INTERVALS) for _ in range(5))
    touched = draw(st.booleans())
    return Measurement(coverage, along if touched else None, up if touched else None, length, height, 1.0)


@given(measured=measurements(), steps=st.tuples(STEPS, STEPS, STEPS), more=st.tuples(STEPS, STEPS, STEPS))
def test_never_narrower_never_moved_and_more_is_wider(
    measured: Measurement, steps: tuple[float, float, float], more: tuple[float, float, float]
) -> None:
    wider = widen(measured, Widening(9, *steps))
    widest = widen(measured, Widening(9, *(one + other for one, other in zip(steps, more, strict=True))))
    assert (wider.length, wider.height, wider.judged_fraction) == (
        measured.length,
        measured.height,
        measured.judged_fraction,
    )
    for name in ("along", "up", "coverage"):
        before, after, last = (getattr(one, name) for one in (measured, wider, widest))
        if before is None:
            assert (after, last) == (None, None)
            continue
        assert before.value == after.value == last.value
        assert 0 <= last.low <= after.low <= before.low
        assert before.high <= after.high <= last.high <= 1


def test_each_number_by_its_own_step() -> None:
    each = Interval(0.5, 0.4, 0.6)
    measured = Measurement(each, each, each, each, each, 1.0)
    wider = widen(measured, Widening(9, 0.05, 0.1, 0.2))
    assert wider.along is not None
    assert wider.up is not None
    assert [wider.along.low, wider.up.low, wider.coverage.low] == pytest.approx([0.35, 0.3, 0.2])
    assert [wider.along.high, wider.up.high, wider.coverage.high] == pytest.approx([0.65, 0.7, 0.8])
    assert widen(measured, Widening(9, 0.0, 0.0, 0.0)) == measured


@pytest.mark.parametrize("step", [-0.01, math.nan])
def test_nothing_is_narrowed(step: float) -> None:
    with pytest.raises(ValueError, match="widened by 0 or more"):
        Widening(9, 0.1, step, 0.1)
