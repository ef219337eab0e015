"""How far two people are apart who painted the same flank."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.frame import Flank
from patternscan.judging.proof.truth import Truth, overlap


@dataclass(frozen=True, slots=True)
class HandSpread:
    """Two people's truth of one flank: the overlap of what they painted, and how far apart their numbers are.

    Fractions of face width, flank height and flank area; ``along`` and ``up`` are None where one saw no contact.
    """

    photo: str
    flank: Flank
    tooth: str
    machine: str
    first: str
    second: str
    overlap: float
    along: float | None
    up: float | None
    coverage: float


def compare_hands(first: Truth, second: Truth, machine: str) -> HandSpread:
    """Set two people's truth of the same flank beside each other."""
    one, other = first.centroid, second.centroid
    apart = None if one is None or other is None else one - other
    return HandSpread(
        first.photo,
        first.outline.flank,
        first.outline.tooth,
        machine,
        first.by,
        second.by,
        overlap(first.contact, second.contact, first.judged & second.judged),
        None if apart is None else abs(apart.along),
        None if apart is None else abs(apart.up),
        abs(first.coverage - second.coverage),
    )
