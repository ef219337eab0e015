"""What a comparison of two states ends with."""

from __future__ import annotations

from enum import StrEnum


class Verdict(StrEnum):
    """Whether a pattern came nearer to its target."""

    BETTER = "better"
    WORSE = "worse"
    NO_DIFFERENCE = "no-difference"
    NOT_COMPARABLE = "not-comparable"
