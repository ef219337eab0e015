"""Whether two visits may rest on pieces of one photo: their numbers are the same, and so are their pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from patternscan.judging.states.judged_state import FlankState
from patternscan.seeing import quality
from patternscan.seeing.image.fingerprint import OutlinedPicture

MARKED_TWICE = 0.03
"""Part of the flank by which the numbers of one photo differ at most when it is marked twice (own guess)."""


@dataclass(frozen=True, slots=True)
class SeenVisit:
    """The numbers of both flanks of a visit, None where there is no reading of one, and its photos in little."""

    left: FlankState | None
    right: FlankState | None
    outlined: Sequence[OutlinedPicture]


def perhaps_one_exposure(one: SeenVisit, other: SeenVisit) -> bool:
    """Whether some photo of one visit looks like a piece of one of the other, and no number of a flank differs by more
    than marking a photo twice makes it differ. Two photos from a fixed stand in the very same light may look so too.
    """
    return _read_alike(one, other) and any(
        quality.same_exposure.cut_from_one(*both) for both in product(one.outlined, other.outlined)
    )


def _read_alike(one: SeenVisit, other: SeenVisit) -> bool:
    """Whether no number of a flank differs by more than one outline marked twice makes it differ."""
    flanks = ((one.left, other.left), (one.right, other.right))
    return all(
        abs(getattr(first, name).value - getattr(second, name).value) < MARKED_TWICE
        for first, second in flanks
        if first is not None and second is not None
        for name in ("along", "up", "coverage")
    )
