"""Before and after: did the last move help?"""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.cautions import Caution, caution
from patternscan.frame import Flank
from patternscan.judging.comparison import Target
from patternscan.judging.states.comparability import (
    against_coverage,
    against_pair,
    against_place,
    find_cautions,
    find_exchanged,
    find_questions,
    refuse_apart,
)
from patternscan.judging.states.judged_state import FlankState, JudgedState
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.interval import Interval
from patternscan.reasons import Reason, reason


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """One number before and after, and how much it changed (after minus before), with the uncertainty of both sides."""

    before: Interval
    after: Interval
    change: Interval

    @property
    def seen(self) -> bool:
        """Whether the change is more than its uncertainty."""
        return not self.change.holds(0.0)


@dataclass(frozen=True, slots=True)
class FlankChange:
    """The numbers of one flank before and after; ``verdict`` speaks of its middle along the face.

    ``length`` and ``height`` are None when a result of an early version lacks their uncertainty.
    """

    flank: Flank
    verdict: Verdict
    coverage: BeforeAfter
    along: BeforeAfter
    up: BeforeAfter
    length: BeforeAfter | None
    height: BeforeAfter | None


@dataclass(frozen=True, slots=True)
class Change:
    """The verdict on two states and what it rests on; ``because`` says why it is what it is.

    ``shared`` and ``opposed`` are the shifts along the face, fractions of its width and positive toward end B, None
    unless both flanks show contact in both states; so are ``left`` and ``right`` of a flank. ``why`` says what may
    not be compared.

    ``nearer`` is by how much both flanks together came nearer to their target, negative when they went further off;
    None when they cannot be compared, which is when ``position_comparable`` is False. ``coverage_comparable`` holds
    for coverage, length and height alike: all three hang on the film of compound.
    """

    shared: BeforeAfter | None
    opposed: BeforeAfter | None
    nearer: Interval | None
    opposed_verdict: Verdict
    left: FlankChange | None
    right: FlankChange | None
    target: Target
    position_comparable: bool
    coverage_comparable: bool
    why: tuple[Reason, ...]
    verdict: Verdict
    because: Reason
    cautions: tuple[Caution, ...] = ()


def compare_states(before: JudgedState, after: JudgedState) -> Change:
    """Compare two judged states. The verdict speaks of the shared shift's distance from its target only.

    Raises InconsistentInputs when the two states are proved to be of different machines, wheels, flanks or targets.
    """
    refuse_apart(before, after)
    no_place, no_coverage = tuple(against_place(before, after)), tuple(against_coverage(before, after))
    no_pair = (*no_place, *against_pair(before, after))
    shared, opposed = _pair(before.shared, after.shared), _pair(before.opposed, after.opposed)
    nearer = None if no_pair or shared is None else _nearer(shared)
    verdict, place = _verdict(nearer), not no_place
    return Change(
        shared=shared,
        opposed=opposed,
        nearer=nearer,
        opposed_verdict=_verdict(_nearer(opposed) if place and opposed else None),
        left=_flank_change(Flank.LEFT, (before.left, after.left), after.target.left if place else None),
        right=_flank_change(Flank.RIGHT, (before.right, after.right), after.target.right if place else None),
        target=after.target,
        position_comparable=not no_pair,
        coverage_comparable=not no_coverage,
        why=(*no_pair, *no_coverage),
        verdict=verdict,
        because=no_pair[0] if nearer is None or shared is None else _because(verdict, shared, nearer),
        cautions=(
            *find_questions(before, after),
            *find_exchanged(before, after),
            *((caution("wrong-way"),) if verdict is Verdict.WORSE else ()),
            *find_cautions(before, after),
        ),
    )


def _verdict(nearer: Interval | None) -> Verdict:
    """Better or worse only when the distance from target changed by more than its uncertainty."""
    if nearer is None:
        return Verdict.NOT_COMPARABLE
    if nearer.holds(0.0):
        return Verdict.NO_DIFFERENCE
    return Verdict.BETTER if nearer.value > 0 else Verdict.WORSE


def _nearer(shift: BeforeAfter) -> Interval:
    """By how much the distance from target became smaller."""
    return _distance(shift.before).minus(_distance(shift.after))


def _distance(shift: Interval) -> Interval:
    """How far off, whichever way. What may lie on the other side of the target may be as far off there."""
    ahead = shift if shift.value >= 0 else shift.turned()
    return Interval(ahead.value, ahead.low, max(ahead.high, -ahead.low))


def _because(verdict: Verdict, shared: BeforeAfter, nearer: Interval) -> Reason:
    before, after = shared.before.value, shared.after.value
    if verdict is Verdict.NO_DIFFERENCE:
        return reason("no-difference", before=before, after=after)
    least, most = sorted((abs(nearer.low), abs(nearer.high)))
    way = "nearer" if verdict is Verdict.BETTER else "further"
    code = f"{way}-beyond" if _crossed(shared) else way
    return reason(code, size=abs(nearer.value), least=least, most=most, before=before, after=after)


def _crossed(shared: BeforeAfter) -> bool:
    """Whether the pattern surely went through its place."""
    return shared.before.value * shared.after.value < 0 and not shared.after.holds(0.0)


def _pair(before: Interval | None, after: Interval | None) -> BeforeAfter | None:
    return None if before is None or after is None else _change(before, after)


def _change(before: Interval, after: Interval) -> BeforeAfter:
    """After minus before; the uncertainties of the two sides are taken as independent."""
    return BeforeAfter(before, after, after.minus(before))


def _flank_change(
    flank: Flank, states: tuple[FlankState | None, FlankState | None], target: float | None
) -> FlankChange | None:
    """The change of one flank; ``target`` None when places cannot be compared."""
    before, after = states
    if before is None or after is None:
        return None
    verdict = Verdict.NOT_COMPARABLE
    if target is not None:
        verdict = _verdict(_nearer(_change(before.along.shifted(-target), after.along.shifted(-target))))
    return FlankChange(
        flank=flank,
        verdict=verdict,
        coverage=_change(before.coverage, after.coverage),
        along=_change(before.along, after.along),
        up=_change(before.up, after.up),
        length=_pair(before.length, after.length),
        height=_pair(before.height, after.height),
    )
