"""What the patterns show beside the direction: crossed, running out at an end, tip or root lines, uneven teeth."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from patternscan.calibration.judging import (
    CROSSED_BEYOND,
    FAR_OFF,
    LINE_HEIGHT,
    NEAR_TIP_OR_ROOT,
    TOO_MUCH_MARKED,
    UNEVEN_TEETH,
)
from patternscan.judging.comparison import Comparison, PooledFlank, near_end
from patternscan.measuring.interval import Interval
from patternscan.reasons import Finding, finding


def find_faults(comparison: Comparison) -> tuple[Finding, ...]:
    """All findings of a comparison, the weightiest first."""
    flanks = [flank for flank in (comparison.left, comparison.right) if flank is not None]
    found = [*_crossed(comparison)]
    for check in (_runs_out, _line, _uneven, _too_much):
        for flank in flanks:
            found.extend(check(flank))
    return tuple(found)


def is_too_early(shared: Interval | None, places: Iterable[Interval]) -> bool:
    """Whether a crossing cannot be told yet, the pattern lying far off its target or running off an end of a flank."""
    return shared is None or abs(shared.value) >= FAR_OFF or any(map(near_end, places))


def _crossed(comparison: Comparison) -> Iterator[Finding]:
    opposed = comparison.opposed
    if opposed is None or abs(opposed.value) < CROSSED_BEYOND or opposed.holds(0.0):
        return
    places = [one.along for one in (comparison.left, comparison.right) if one is not None]
    code = "mixed" if comparison.clearly_shifted else "crossed"
    if is_too_early(comparison.shared, places):
        code = "crossed-early"
    left_end, right_end = ("B", "A") if opposed.value > 0 else ("A", "B")
    yield finding(code, left_end=left_end, right_end=right_end, share=abs(opposed.value))


def _runs_out(flank: PooledFlank) -> Iterator[Finding]:
    if near_end(flank.along):
        yield finding("runs-out", flank=flank.flank.value, end="A" if flank.along.value < 0.5 else "B")


def _line(flank: PooledFlank) -> Iterator[Finding]:
    if flank.height.value > LINE_HEIGHT:
        return
    if flank.up.value > 1 - NEAR_TIP_OR_ROOT:
        yield finding("tip-line", flank=flank.flank.value)
    elif flank.up.value < NEAR_TIP_OR_ROOT:
        yield finding("root-line", flank=flank.flank.value)


def _uneven(flank: PooledFlank) -> Iterator[Finding]:
    if flank.spread is not None and flank.spread >= UNEVEN_TEETH:
        yield finding("teeth-disagree", flank=flank.flank.value, share=flank.spread)


def _too_much(flank: PooledFlank) -> Iterator[Finding]:
    if flank.coverage.value >= TOO_MUCH_MARKED:
        yield finding("too-much-marked", flank=flank.flank.value)
