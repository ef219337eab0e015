"""Class limits: JGMA 1002-01 (2003) for worm wheels, as quoted in the KHK gear guide, table 8.4."""

from __future__ import annotations

from itertools import pairwise

import pytest

from patternscan.frame import Flank
from patternscan.judging.acceptance import TABLES, find_classes
from patternscan.judging.comparison import PooledFlank, Target, compare_flanks
from patternscan.measuring.interval import Interval

LENGTH_MM, HEIGHT_MM = 60.0, 12.0


def pooled(flank: Flank, length: Interval, height: Interval) -> PooledFlank:
    half = Interval.around(0.5, 0.05)
    return PooledFlank(flank, 1, half, half, Interval.around(0.3, 0.05), length, height, None)


@pytest.mark.parametrize(
    ("print_length_mm", "print_height_mm", "expected"),
    [
        # Worked cases, own arithmetic on the published limits.
        (31.0, 4.9, "A"),  # 51.7 % long, 40.8 % high
        (31.0, 4.5, "B"),  # 37.5 % high: the worse of the two decides
        (12.0, 2.4, "C"),  # 20.0 % and 20.0 %
        (11.9, 6.0, None),  # 19.8 % long
    ],
)
def test_worked_cases(print_length_mm: float, print_height_mm: float, expected: str | None) -> None:
    assert TABLES["jgma-1002"].reached(print_length_mm / LENGTH_MM, print_height_mm / HEIGHT_MM) == expected


@pytest.mark.parametrize("name", TABLES)
def test_limits_fall_from_class_to_class(name: str) -> None:
    limits = TABLES[name].limits
    for better, worse in pairwise(limits):
        assert better.length > worse.length
        assert better.height > worse.height


def test_the_worse_of_length_and_height_and_of_both_flanks_counts() -> None:
    left = pooled(Flank.LEFT, Interval(0.52, 0.48, 0.56), Interval(0.35, 0.32, 0.41))
    right = pooled(Flank.RIGHT, Interval(0.30, 0.19, 0.36), Interval(0.45, 0.42, 0.48))
    found = find_classes(compare_flanks(left, right, Target()), "jgma-1002", "thin")
    one, other = found.flanks
    assert (one.by_length, one.by_height, one.reached) == ("A", "B", "B")
    assert (one.at_worst, one.at_best) == ("B", "A")
    assert (other.by_length, other.by_height, other.reached) == ("C", "A", "C")
    assert (other.at_worst, other.at_best) == (None, "B")
    assert found.reached == "C"


def test_no_class_for_the_pair_without_both_flanks_and_none_is_the_worst_class() -> None:
    good, short = Interval.around(0.6, 0.05), Interval.around(0.1, 0.05)
    left = pooled(Flank.LEFT, good, good)
    alone = find_classes(compare_flanks(left, None, Target()), "jgma-1002", "thin")
    assert (alone.complete, alone.reached) == (False, None)
    both = find_classes(compare_flanks(left, pooled(Flank.RIGHT, short, good), Target()), "jgma-1002", "thin")
    assert (both.complete, both.reached) == (True, None)
