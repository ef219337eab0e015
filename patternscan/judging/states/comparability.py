"""Whether two states of a machine may be compared at all, and what makes it less sure.

What is proved not to belong together is refused; nothing is refused on suspicion.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import product

from patternscan.calibration.judging import SAME_WITHIN, UNLIKE_TEETH
from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.judging.comparison import Target, near_end
from patternscan.judging.states.judged_state import FlankState, Identity, JudgedState, ToldCaution
from patternscan.judging.states.named_visit import named_visits
from patternscan.judging.states.one_exposure import SeenVisit, perhaps_one_exposure
from patternscan.reasons import Reason, reason
from patternscan.seeing import image

WHEEL_NAMES = {
    "module_mm": "module",
    "starts": "starts",
    "teeth": "teeth",
    "worm_diameter_mm": "worm diameter",
    "hand": "hand",
    "face_width_mm": "face width",
}
"""Gear data by which wheels are told apart. Thread form, pressure angle and hob size are left out: they are often
guessed, and the guess may have been bettered between two visits."""
ONE_SITTING = timedelta(minutes=30)
"""Results made closer together may have been judged at one sitting, in any order; to change shims takes longer."""


def refuse_apart(before: JudgedState, after: JudgedState) -> None:
    """Raises InconsistentInputs when two states are proved to be of different machines, wheels, flanks or targets, and
    when they share a photo.
    """
    refuse_strangers(before.identity, after.identity)
    _refuse_same_photo(before.identity, after.identity)
    _refuse_other_target(before.target, after.target)


def against_pair(before: JudgedState, after: JudgedState) -> Iterator[Reason]:
    """Reasons why both flanks together cannot be compared, though one of them may be."""
    for when, state in (("before", before), ("after", after)):
        if state.shared is None:
            yield reason("visit-one-flank", when=when)


def against_place(before: JudgedState, after: JudgedState) -> Iterator[Reason]:
    """Reasons why no places of the patterns can be compared."""
    for when, state in (("before", before), ("after", after)):
        if state.gone is not None:
            yield reason("visit-gone", when=when, entry=state.gone.entry, answer=state.gone.answer)
        elif state.reference_gone is not None:
            held = state.reference_gone
            yield reason("visit-reference-gone", when=when, entry=held.entry, answer=held.answer)
    for when, state in (("before", before), ("after", after)):
        if state.grave_cautions:
            first = state.grave_cautions[0]
            yield reason("visit-too-poor", when=when, found=first.message, cure=first.remedy)
    one, other = before.identity, after.identity
    if one.slenderness and other.slenderness and abs(one.slenderness - other.slenderness) > UNLIKE_TEETH:
        yield reason("teeth-unlike", before=one.slenderness, after=other.slenderness)
    if before.marking is not after.marking and not one_machine(one, other):
        yield reason("places-by-marking")
    visits = (SeenVisit(state.left, state.right, state.identity.outlined) for state in (before, after))
    if perhaps_one_exposure(*visits):
        yield reason("cut-from-one")


def against_coverage(before: JudgedState, after: JudgedState) -> Iterator[Reason]:
    """Reasons why coverage, length and height cannot be compared."""
    films = {" ".join((state.film or "").split()).casefold() for state in (before, after)}
    if before.marking is not after.marking:
        yield reason("markings-differ")
    if before.media != after.media:
        yield reason("media-differ")
    if before.compounds != after.compounds:
        yield reason("compounds-differ")
    if len(films) > 1 and "" in films:
        yield reason("film-not-noted", when="before" if before.film is None else "after")
    elif len(films) > 1:
        yield reason("films-differ", film_before=before.film, film_after=after.film)


def find_questions(before: JudgedState, after: JudgedState) -> Iterator[Caution]:
    """What only a person at the machine can tell of either visit that counts, and may turn the verdict."""
    yield from _told_of_both("visit-asked", *(one.asked if one.gone is None else () for one in (before, after)))


def find_exchanged(before: JudgedState, after: JudgedState) -> Iterator[Caution]:
    """What tells that before and after were exchanged, so that better and worse change places."""
    if before.made_at and after.made_at and before.made_at - after.made_at > ONE_SITTING:
        yield caution("visits-exchanged")
    if _taken_otherwise(before, after):
        yield caution("visits-taken-otherwise")
    if _named_otherwise(before.identity, after.identity):
        yield caution("visits-named-otherwise")


def find_cautions(before: JudgedState, after: JudgedState) -> Iterator[Caution]:
    """What makes a comparison less sure, though not impossible; first what may turn it, last what is about size."""
    visits = (("before", before), ("after", after))
    if _ends_exchanged(before, after):
        yield caution("ends-exchanged")
    yield from _told_of_both("visit-photo-declined", before.declined, after.declined)
    if not one_machine(before.identity, after.identity):
        yield caution("machine-untold")
    elif before.marking is not after.marking:
        yield caution("markings-compared")
    if before.media != after.media:
        yield caution("media-compared")
    for when, state in visits:
        yield from (caution("runs-out", flank, when=when) for flank in _run_out(state))
    yield from _told_of_both("visit-proof", before.proven, after.proven)
    if before.film is None or after.film is None:
        yield caution("film-unknown")


def _told_of_both(code: str, before: Sequence[ToldCaution], after: Sequence[ToldCaution]) -> Iterator[Caution]:
    """What a result told of either visit, once where it told it of both."""
    for one in dict.fromkeys((*before, *after)):
        when = " and ".join(name for name, told in (("before", before), ("after", after)) if one in told)
        yield caution(code, when=when, found=one.message, remedy=one.remedy)


def _taken_otherwise(before: JudgedState, after: JudgedState) -> bool:
    """Whether every photo of after was taken earlier than every one of before."""
    gaps = [image.exif.time_between(one, other) for one, other in product(before.taken, after.taken)]
    return bool(gaps) and max(gaps) < timedelta(0)


def _named_otherwise(before: Identity, after: Identity) -> bool:
    """Whether the photos of both are named the other way round; what came after one move may be before the next."""
    return [named_visits(picture.name for picture in visit.pictures) for visit in (before, after)] == [
        {"after"},
        {"before"},
    ]


def one_machine(one: Identity, other: Identity) -> bool:
    """Whether both results name the same machine or the same wheel; what contradicts it was refused."""
    return bool((one.machine and other.machine) or (one.gear.keys() & other.gear.keys() & WHEEL_NAMES.keys()))


def _run_out(state: JudgedState) -> Iterator[Flank]:
    for flank, one in ((Flank.LEFT, state.left), (Flank.RIGHT, state.right)):
        if one is not None and near_end(one.along):
            yield flank


def _ends_exchanged(before: JudgedState, after: JudgedState) -> bool:
    """Whether every number fits the other end mark: then the flanks change names, and along counts from the other end.

    A large move through the middle looks alike, so this is a suspicion and never a proof. Patterns near the middle fit
    both ways and give none.
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


def shared_photo(first: Identity, second: Identity) -> str | None:
    """The photo that two results share, by file or by its pixels, in words; None without one."""
    for one in first.pictures:
        for other in second.pictures:
            if image.same_picture.same_picture(one, other):
                return one.name if one.name == other.name else f"{one.name} and {other.name}"
    return "a photo" if first.photos & second.photos else None


def _refuse_same_photo(before: Identity, after: Identity) -> None:
    shared = shared_photo(before, after)
    if shared is not None:
        raise InconsistentInputs(
            f"The same photo was used for before and after: {shared}.",
            "Give photos taken before the move, and photos taken after it.",
        )


def _refuse_other_target(before: Target, after: Target) -> None:
    places = ((before.left, after.left), (before.right, after.right))
    if all(math.isclose(one, other, abs_tol=0.001) for one, other in places):
        return
    raise InconsistentInputs(
        "The two results were judged against different targets.",
        "Either the [target] of the machine sheet was changed in between, or another reference was given: judge both "
        "with the same sheet and reference.",
    )


def refuse_strangers(first: Identity, second: Identity) -> None:
    """Refuse two results that are proved not to belong together; nothing is refused on suspicion.

    Raises InconsistentInputs for other machines, other wheels, a photo that is a left flank in one result and a right
    flank in the other, and teeth that run the other way in every photo.
    """
    _refuse_other_machine(first, second)
    _refuse_other_wheel(first, second)
    _refuse_changed_sides(first, second)
    _refuse_mirrored(first, second)


def _refuse_other_machine(first: Identity, second: Identity) -> None:
    if first.machine and second.machine and _plain(first.machine) != _plain(second.machine):
        raise InconsistentInputs(
            f"The two results are of different machines: {first.machine} and {second.machine}.",
            "Either a result of another machine was given: give two of the same one. Or one machine goes by two "
            "names, on its sheet or in the list of its photos: give it one name and judge again.",
        )


def _refuse_other_wheel(first: Identity, second: Identity) -> None:
    for key, name in WHEEL_NAMES.items():
        one, other = first.gear.get(key), second.gear.get(key)
        if one is None or other is None or _same(one, other):
            continue
        raise InconsistentInputs(
            f"The two results are of different wheels: {name} {one} and {other}.",
            "Either a result of another wheel was given: give two of the same one. Or the gear data on the machine "
            "sheet were changed in between: judge both with the right sheet.",
        )


def _refuse_changed_sides(first: Identity, second: Identity) -> None:
    """A photo counts only when it was given for one flank alone in each result."""
    changed = (first.left_photos - first.right_photos) & (second.right_photos - second.left_photos)
    changed |= (first.right_photos - first.left_photos) & (second.left_photos - second.right_photos)
    if changed:
        raise InconsistentInputs(
            "The same photo is a left flank in one result and a right flank in the other.",
            "Either left and right flank were exchanged in one of them, or end A and end B were: look for the painted "
            "letter A, and judge the wrong one again.",
        )


def _refuse_mirrored(first: Identity, second: Identity) -> None:
    if first.seen_hand and second.seen_hand and first.seen_hand != second.seen_hand:
        raise InconsistentInputs(
            f"The teeth run as on a {first.seen_hand}-hand wheel in the photos of one result, and as on a "
            f"{second.seen_hand}-hand wheel in those of the other.",
            "Either the photos of one visit are mirrored (as selfie cameras do) or their left and right flank were "
            "exchanged: look for the painted letter A. Or they show another wheel.",
        )


def _same(one: float | str, other: float | str) -> bool:
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return math.isclose(one, other, rel_tol=SAME_WITHIN)


def _plain(words: str) -> str:
    return " ".join(words.split()).casefold()
