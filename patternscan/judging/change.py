"""Before and after: did the last move help?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from patternscan.cautions import Caution
from patternscan.errors import DoNotBelongTogether
from patternscan.frame import Compound, Flank, Marking, percent
from patternscan.judging.comparison import Target
from patternscan.judging.identity import Identity, refuse_strangers
from patternscan.measuring.interval import Interval


@dataclass(frozen=True, slots=True)
class FlankState:
    """One flank of a judged state: plain numbers pooled over its teeth."""

    along: Interval
    up: Interval
    coverage: Interval
    length: Interval
    height: Interval


@dataclass(frozen=True, slots=True)
class JudgedState:
    """What ``judge --json`` kept of one state of a machine. None where there was nothing to compare.

    ``film`` is what a person said of the film of compound, None when nothing was said.
    """

    shared: Interval | None
    opposed: Interval | None
    left: FlankState | None
    right: FlankState | None
    marking: Marking | None
    compounds: frozenset[Compound]
    film: str | None = None
    target: Target = field(default_factory=Target)
    identity: Identity = field(default_factory=Identity)
    grave_cautions: tuple[Caution, ...] = ()

    @property
    def machine(self) -> str | None:
        """The machine's name, None when it has none."""
        return self.identity.machine


class Verdict(StrEnum):
    """Whether a pattern came nearer to its target."""

    BETTER = "better"
    WORSE = "worse"
    NO_DIFFERENCE = "no-difference"
    NOT_COMPARABLE = "not-comparable"


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """One number before and after, and how much it changed (after minus before), with the doubt of both sides."""

    before: Interval
    after: Interval
    change: Interval

    @property
    def seen(self) -> bool:
        """Whether the change is more than its doubt."""
        return not self.change.holds(0.0)


@dataclass(frozen=True, slots=True)
class FlankChange:
    """The numbers of one flank before and after; ``verdict`` speaks of its middle along the face."""

    flank: Flank
    verdict: Verdict
    coverage: BeforeAfter
    along: BeforeAfter
    up: BeforeAfter
    length: BeforeAfter
    height: BeforeAfter


@dataclass(frozen=True, slots=True)
class Change:
    """The verdict on two states and what it rests on.

    ``coverage_comparable`` holds for coverage, length and height alike: all three hang on the film of compound.
    """

    shared: BeforeAfter | None
    opposed: BeforeAfter | None
    opposed_verdict: Verdict
    left: FlankChange | None
    right: FlankChange | None
    target: Target
    position_comparable: bool
    coverage_comparable: bool
    why: tuple[str, ...]
    verdict: Verdict
    because: str
    cautions: tuple[Caution, ...] = ()


FILM_CAUTION = Caution(
    "film-unknown",
    "How much was touched hangs on how thick the compound lay, and that was not noted.",
    "Judge by the place of the pattern. Paint equally thin each time, and note the film with --film.",
)
WRONG_WAY_CAUTION = Caution(
    "wrong-way",
    "The pattern lies further off its place after the move than before.",
    "Stop. Look again which end face carries the letter A and which way the wheel was really moved.",
)
ENDS_EXCHANGED_CAUTION = Caution(
    "ends-exchanged",
    "The patterns after are like those before with the flanks and the ends exchanged.",
    "Either the wheel went through its middle and as far out again, or the letter A was painted on the other end "
    "face. Look for it in the photos of both visits.",
)
SAME_PHOTOS_CAUTION = Caution(
    "same-photos",
    "A photo was used both before and after.",
    "If that was not meant, judge the photos of the second visit and compare again.",
)


def compare_states(before: JudgedState, after: JudgedState) -> Change:
    """Compare two judged states. The verdict speaks of the shared shift's distance from its target only.

    Raises DoNotBelongTogether when the two states are proved to be of different machines, wheels, flanks or targets.
    """
    refuse_strangers(before.identity, after.identity)
    _refuse_other_target(before.target, after.target)
    against_place, against_coverage = tuple(_against_place(before, after)), tuple(_against_coverage(before, after))
    shared, opposed = _pair(before.shared, after.shared), _pair(before.opposed, after.opposed)
    verdict, because = Verdict.NOT_COMPARABLE, against_place[0] if against_place else ""
    if shared is not None and not against_place:
        verdict = _distance_verdict(shared)
        because = _because(verdict, shared)
    place = not against_place
    return Change(
        shared=shared,
        opposed=opposed,
        opposed_verdict=_distance_verdict(opposed) if place and opposed else Verdict.NOT_COMPARABLE,
        left=_flank_change(Flank.LEFT, (before.left, after.left), after.target.left if place else None),
        right=_flank_change(Flank.RIGHT, (before.right, after.right), after.target.right if place else None),
        target=after.target,
        position_comparable=place,
        coverage_comparable=not against_coverage,
        why=(*against_place, *against_coverage),
        verdict=verdict,
        because=because,
        cautions=tuple(_cautions(before, after, verdict)),
    )


def _refuse_other_target(before: Target, after: Target) -> None:
    places = ((before.left, after.left), (before.right, after.right))
    if all(math.isclose(one, other, abs_tol=0.001) for one, other in places):
        return
    raise DoNotBelongTogether(
        "The two results were judged against different targets.",
        "Either the [target] of the machine sheet was changed in between, or another reference was given: judge both "
        "with the same sheet and reference.",
    )


def _against_place(before: JudgedState, after: JudgedState) -> Iterator[str]:
    """Reasons why the places of the patterns cannot be compared."""
    for name, state in (("before", before), ("after", after)):
        if state.shared is None:
            yield f"The result {name} does not have both flanks."
        if state.grave_cautions:
            yield f"A photo {name} is too poor: {state.grave_cautions[0].message}"


def _against_coverage(before: JudgedState, after: JudgedState) -> Iterator[str]:
    """Reasons why coverage, length and height cannot be compared."""
    films = {" ".join((state.film or "").split()).casefold() for state in (before, after)}
    if before.marking is not after.marking:
        yield "The teeth were marked in different ways, so how much was touched cannot be compared."
    if before.compounds != after.compounds:
        yield "Different compounds were used, so how much was touched cannot be compared."
    if len(films) > 1 and "" in films:
        state = "before" if before.film is None else "after"
        yield f"The film of compound was not noted {state}, so how much was touched cannot be compared."
    elif len(films) > 1:
        yield (
            f"The film was '{before.film}' before and '{after.film}' after, so how much was touched cannot be compared."
        )


def _cautions(before: JudgedState, after: JudgedState, verdict: Verdict) -> Iterator[Caution]:
    if before.film is None or after.film is None:
        yield FILM_CAUTION
    if before.identity.photos & after.identity.photos:
        yield SAME_PHOTOS_CAUTION
    if verdict is Verdict.WORSE:
        yield WRONG_WAY_CAUTION
    if _ends_exchanged(before, after):
        yield ENDS_EXCHANGED_CAUTION


def _ends_exchanged(before: JudgedState, after: JudgedState) -> bool:
    """Whether every number fits the other end mark: then the flanks change names, and along counts from the other end.

    A large move through the middle looks alike, so this is a doubt and never a proof. Patterns near the middle fit
    both ways and give no doubt.
    """
    shared = _pair(before.shared, after.shared)
    if shared is None or not shared.seen or shared.before.holds(0.0) or shared.after.holds(0.0):
        return False
    return _mirrored(before.left, after.right) and _mirrored(before.right, after.left)


def _mirrored(before: FlankState | None, after: FlankState | None) -> bool:
    if before is None or after is None:
        return False
    turned = Interval(1 - before.along.value, 1 - before.along.high, 1 - before.along.low)
    pairs = ((turned, after.along), *((getattr(before, name), getattr(after, name)) for name in ("up", "coverage")))
    return all(not _change(one, other).seen for one, other in pairs)


def _distance_verdict(shift: BeforeAfter) -> Verdict:
    """Better or worse only when the distance from target changed by more than its doubt."""
    nearer_by = abs(shift.before.value) - abs(shift.after.value)
    if abs(nearer_by) <= math.hypot(shift.before.half_width, shift.after.half_width):
        return Verdict.NO_DIFFERENCE
    return Verdict.BETTER if nearer_by > 0 else Verdict.WORSE


def _because(verdict: Verdict, shared: BeforeAfter) -> str:
    numbers = f"{_percent(shared.before.value)} before and {_percent(shared.after.value)} after"
    if verdict is Verdict.NO_DIFFERENCE:
        return f"Taken together the flanks lie {numbers}; the difference is within the doubt of the readings."
    if verdict is Verdict.WORSE:
        return f"The pattern went further from its place: {numbers}."
    crossed = " It now lies on the other side of it." if shared.before.value * shared.after.value < 0 else ""
    return f"The pattern came nearer to its place: {numbers}.{crossed}"


def _percent(shift: float) -> str:
    size = percent(shift)
    return "0 % off" if size == "0 %" else f"{size} toward end {'B' if shift > 0 else 'A'}"


def _pair(before: Interval | None, after: Interval | None) -> BeforeAfter | None:
    return None if before is None or after is None else _change(before, after)


def _change(before: Interval, after: Interval) -> BeforeAfter:
    """After minus before; the doubts of the two sides are taken as independent."""
    value = after.value - before.value
    below = math.hypot(after.value - after.low, before.high - before.value)
    above = math.hypot(after.high - after.value, before.value - before.low)
    return BeforeAfter(before, after, Interval(value, value - below, value + above))


def _flank_change(
    flank: Flank, states: tuple[FlankState | None, FlankState | None], target: float | None
) -> FlankChange | None:
    """The change of one flank; ``target`` None when places cannot be compared."""
    before, after = states
    if before is None or after is None:
        return None
    numbers = {
        name: _change(getattr(before, name), getattr(after, name))
        for name in ("coverage", "along", "up", "length", "height")
    }
    verdict = Verdict.NOT_COMPARABLE
    if target is not None:
        verdict = _distance_verdict(_change(before.along.shifted(-target), after.along.shifted(-target)))
    return FlankChange(flank, verdict, **numbers)
