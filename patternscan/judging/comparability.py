"""Whether two states of a machine may be compared at all, and what makes it doubtful."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from patternscan.cautions import Caution
from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.judging.comparison import Target
from patternscan.judging.findings import NEAR_END
from patternscan.judging.identity import refuse_strangers
from patternscan.judging.judged_state import FlankState, JudgedState

FILM_CAUTION = Caution(
    "film-unknown",
    "How much was touched hangs on how thick the compound lay, and that was not noted.",
    "Judge by the place of the pattern. Paint equally thin each time, and note the film with --film.",
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


def refuse_apart(before: JudgedState, after: JudgedState) -> None:
    """Raises InconsistentInputs when two states are proved to be of different machines, wheels, flanks or targets."""
    refuse_strangers(before.identity, after.identity)
    _refuse_other_target(before.target, after.target)


def against_pair(before: JudgedState, after: JudgedState) -> Iterator[str]:
    """Reasons why both flanks together cannot be compared, though one of them may be."""
    for name, state in (("before", before), ("after", after)):
        if state.shared is None:
            yield f"The result {name} does not have both flanks, and which way the wheel is off takes both."


def against_place(before: JudgedState, after: JudgedState) -> Iterator[str]:
    """Reasons why no places of the patterns can be compared."""
    for name, state in (("before", before), ("after", after)):
        if state.grave_cautions:
            yield f"A photo {name} is too poor: {state.grave_cautions[0].message}"


def against_coverage(before: JudgedState, after: JudgedState) -> Iterator[str]:
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


def find_doubts(before: JudgedState, after: JudgedState) -> Iterator[Caution]:
    """What makes a comparison less sure, though not impossible."""
    if before.film is None or after.film is None:
        yield FILM_CAUTION
    if before.identity.photos & after.identity.photos:
        yield SAME_PHOTOS_CAUTION
    if _ends_exchanged(before, after):
        yield ENDS_EXCHANGED_CAUTION
    for name, state in (("Before", before), ("After", after)):
        for one in state.declined:
            yield replace(one, message=f"{name}, a photo could not be read: {one.message}")
    run_out = [*_run_out("before", before), *_run_out("after", after)]
    if run_out:
        yield Caution(
            "runs-out",
            f"The pattern runs out at an end on the {' and the '.join(run_out)}. It is off by at least as much as the "
            "numbers say, and may be off by more.",
            "The change may be larger too: go on in small steps.",
        )


def _run_out(name: str, state: JudgedState) -> Iterator[str]:
    for flank, one in ((Flank.LEFT, state.left), (Flank.RIGHT, state.right)):
        if one is not None and min(one.along.value, 1 - one.along.value) <= NEAR_END:
            yield f"{flank} flank {name}"


def _ends_exchanged(before: JudgedState, after: JudgedState) -> bool:
    """Whether every number fits the other end mark: then the flanks change names, and along counts from the other end.

    A large move through the middle looks alike, so this is a doubt and never a proof. Patterns near the middle fit
    both ways and give no doubt.
    """
    if before.shared is None or after.shared is None or before.shared.holds(0.0) or after.shared.holds(0.0):
        return False
    if before.shared.value * after.shared.value > 0:
        return False
    return _mirrored(before.left, after.right) and _mirrored(before.right, after.left)


def _mirrored(before: FlankState | None, after: FlankState | None) -> bool:
    if before is None or after is None:
        return False
    pairs = (
        (before.along.turned().shifted(1), after.along),
        *((getattr(before, name), getattr(after, name)) for name in ("up", "coverage")),
    )
    return all(other.minus(one).holds(0.0) for one, other in pairs)


def _refuse_other_target(before: Target, after: Target) -> None:
    places = ((before.left, after.left), (before.right, after.right))
    if all(math.isclose(one, other, abs_tol=0.001) for one, other in places):
        return
    raise InconsistentInputs(
        "The two results were judged against different targets.",
        "Either the [target] of the machine sheet was changed in between, or another reference was given: judge both "
        "with the same sheet and reference.",
    )
