"""What the names of photos tell of the visit: before a move of the wheel, or after it."""

from __future__ import annotations

import re
from collections.abc import Iterable

VISITS = ("before", "after")
VISIT = re.compile(rf"(?<![a-z])({'|'.join(VISITS)})(?![a-z])", re.I)
"""A word of its own in a photo's name."""


def named_visits(names: Iterable[str]) -> frozenset[str]:
    """Every visit that the names tell of, "before" or "after"; a name with both words tells nothing.

    >>> sorted(named_visits(["lift_before_left.jpg", "After-right2.JPG", "before_and_after.jpg", "afternoon.jpg"]))
    ['after', 'before']
    """
    told = (frozenset(word.lower() for word in VISIT.findall(name)) for name in names)
    return frozenset().union(*(words for words in told if len(words) == 1))
