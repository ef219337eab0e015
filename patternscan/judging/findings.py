"""What the patterns show beside the direction: crossed, running out at an end, tip or root lines, uneven teeth."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.cautions import Finding
from patternscan.frame import percent
from patternscan.judging.comparison import Comparison, PooledFlank

CROSSED_BEYOND = 0.06
"""Opposed shift (fraction of the face width) from which the two flanks count as pulled to opposite ends."""
NEAR_END = 0.15
"""A centroid this near to an end, or nearer, comes from a pattern cut off by the end (common practice)."""
LINE_HEIGHT = 0.25
"""A pattern lower than this that hugs tip or root is a line, not a patch (common practice)."""
NEAR_TIP_OR_ROOT = 0.2
"""A centroid within this part of the height from tip or root hugs it (common practice)."""
UNEVEN_TEETH = 0.10
"""Difference between the centroids of teeth on one flank from which the wheel itself is suspect."""
TOO_MUCH_MARKED = 0.75
"""Beyond three quarters of the flank the pattern hardly moves with the wheel (own simulation of 13 gear sets)."""


def find_faults(comparison: Comparison) -> tuple[Finding, ...]:
    """All findings of a comparison, the weightiest first."""
    flanks = [flank for flank in (comparison.left, comparison.right) if flank is not None]
    found = [*_crossed(comparison)]
    for check in (_runs_out, _line, _uneven, _too_much):
        for flank in flanks:
            found.extend(check(flank))
    return tuple(found)


def _crossed(comparison: Comparison) -> Iterator[Finding]:
    opposed = comparison.opposed
    if opposed is None or abs(opposed.value) < CROSSED_BEYOND or opposed.holds(0.0):
        return
    left_end, right_end = ("B", "A") if opposed.value > 0 else ("A", "B")
    mixed = comparison.clearly_shifted
    first = (
        "Beside the shared shift the flanks pull apart"
        if mixed
        else "The pattern is crossed: the flanks pull to opposite ends"
    )
    yield Finding(
        "mixed" if mixed else "crossed",
        f"{first}, the left flank toward {left_end} and the right flank toward {right_end} by "
        f"{percent(opposed.value)} of the face width each. A side shim cannot cure this. Check that the shafts are "
        "square, that both eccentrics stand alike, the centre distance and backlash, and that worm and wheel are a "
        "matched pair. It is a fault only if the maker's own pattern was not like this.",
    )


def _runs_out(flank: PooledFlank) -> Iterator[Finding]:
    nearest = min(flank.along.value, 1 - flank.along.value)
    if nearest > NEAR_END:
        return
    end = "A" if flank.along.value < 0.5 else "B"
    yield Finding(
        "runs-out",
        f"The pattern of the {flank.flank} flank runs out at end {end}. It is off by at least as much as the numbers "
        "say, and may be off by more.",
    )


def _line(flank: PooledFlank) -> Iterator[Finding]:
    if flank.height.value > LINE_HEIGHT:
        return
    near_tip, near_root = flank.up.value > 1 - NEAR_TIP_OR_ROOT, flank.up.value < NEAR_TIP_OR_ROOT
    if not (near_tip or near_root):
        return
    place = "tip" if near_tip else "root"
    yield Finding(
        f"{place}-line",
        f"The {flank.flank} flank touches only in a line along the {place}. That points to unmatched parts or a wrong "
        "centre distance, not to the shims.",
    )


def _uneven(flank: PooledFlank) -> Iterator[Finding]:
    if flank.spread is None or flank.spread < UNEVEN_TEETH:
        return
    yield Finding(
        "teeth-disagree",
        f"The teeth of the {flank.flank} flank differ by {percent(flank.spread)} of the face width. Blue more teeth "
        "round the wheel and check the run-out of the wheel on its seat.",
    )


def _too_much(flank: PooledFlank) -> Iterator[Finding]:
    if flank.coverage.value < TOO_MUCH_MARKED:
        return
    yield Finding(
        "too-much-marked",
        f"Nearly the whole {flank.flank} flank is marked. So wide a pattern hardly moves with the wheel: clean it and "
        "blue again, thinner.",
    )
