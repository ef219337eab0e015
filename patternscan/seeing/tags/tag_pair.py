"""The numbers of printed tags: two belong to one machine, the even one to end A, the odd one after it to end B."""

from __future__ import annotations

from patternscan.frame import End

PAIRS = 293
"""The family 36h11 of AprilTag has 587 tags; the last has no partner. Source: Wang and Olson, AprilTag 2, IROS 2016."""
LAST_PAIR = PAIRS - 1


def tag_number(pair: int, end: End) -> int:
    """The number of the tag of an end, for a pair from 0 to LAST_PAIR."""
    return 2 * pair + (end is End.B)


def pair_and_end(number: int) -> tuple[int, End]:
    """The pair and the end of a tag.

    >>> pair_and_end(tag_number(137, End.B))
    (137, <End.B: 'B'>)
    """
    return number // 2, End.B if number % 2 else End.A
