"""What the pattern shows beside the direction; limits are common practice unless a source is named."""

from __future__ import annotations

from dataclasses import replace

from patternscan.frame import Flank
from patternscan.judging.comparison import PooledFlank, Target, compare_flanks
from patternscan.judging.findings import find_faults
from patternscan.measuring.interval import Interval

HALF = Interval.around(0.5, 0.1)
PLAIN = PooledFlank(
    Flank.LEFT, 2, Interval.around(0.5, 0.03), Interval.around(0.55, 0.05), Interval.around(0.3, 0.05), HALF, HALF, 0.03
)


def codes(left: PooledFlank, right: PooledFlank | None = None) -> list[str]:
    other = right or replace(PLAIN, flank=Flank.RIGHT)
    return [finding.code for finding in find_faults(compare_flanks(left, other, Target()))]


def test_a_sound_pattern_has_no_finding() -> None:
    assert codes(PLAIN) == []


def test_a_high_patch_near_the_tip_is_no_line() -> None:
    assert codes(replace(PLAIN, up=Interval.around(0.83, 0.02))) == []


def test_opposite_ends_as_the_maker_cut_them_are_not_crossed() -> None:
    left = replace(PLAIN, along=Interval.around(0.62, 0.03))
    right = replace(PLAIN, flank=Flank.RIGHT, along=Interval.around(0.38, 0.03))
    assert find_faults(compare_flanks(left, right, Target(left=0.62, right=0.38))) == ()
    assert codes(left, right) == ["crossed"]
