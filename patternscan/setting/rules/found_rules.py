"""Rules for what must be seen before anything is changed, and for shims and carriers that must stand alike."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.setting.log.event_words import PLACE_WORDS
from patternscan.setting.log.events import EccentricChange, ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.mechanics.shim_pack import TOLERANCE_MM
from patternscan.setting.rules.action import Priority, Rule
from patternscan.setting.state.checks import CARRIER_PLACES, SIDE_PLACES, Check
from patternscan.setting.state.job_state import JobState, Pack
from patternscan.units import length_words


def _shims_not_noted(state: JobState, sheet: Sheet) -> str | None:
    if state.changed or (state.found and state.found.keys() >= _wanted_places(sheet)):
        return None
    if state.found:
        missing = " and ".join(PLACE_WORDS[place] for place in sorted(_wanted_places(sheet) - state.found.keys()))
        return f"Measure and note the shims under {missing} too, before you take anything apart."
    return (
        "Before you take anything apart, measure and note the shims at every place that has some: both carriers, "
        "the worm's bearing cover, the outboard bearing."
    )


def _not_noted_elsewhere(state: JobState, _: Sheet) -> str | None:
    missing = [place for place in ShimPlace if place not in state.found]
    if state.changed or not state.found or not missing:
        return None
    listed = ", ".join(PLACE_WORDS[place] for place in missing)
    return f"Nothing is noted of shims under {listed}: if there are some, measure and note them too."


def _wanted_places(sheet: Sheet) -> set[ShimPlace]:
    """Places whose shims have to be noted; what other places have any nobody knows beforehand."""
    return set() if sheet.shims.carrier is None else {CARRIER_PLACES[sheet.shims.carrier]}


def _marks_not_noted(state: JobState, sheet: Sheet) -> str | None:
    if sheet.eccentrics is None or state.marks_found is not None or state.changed:
        return None
    return "Note in which holes the marks of both eccentric carriers stand, before you turn or take out either."


def _old_pattern_not_seen(state: JobState, _: Sheet) -> str | None:
    if state.changed or state.as_found is not None:
        return None
    return (
        "Photograph the pattern that the old wheel carries, both flanks with the end mark, before it comes out; "
        "if it is out already, go on."
    )


def _too_late(state: JobState, sheet: Sheet) -> str | None:
    if not state.changed:
        return None
    missed = "; ".join(_missed(state, sheet))
    return f"Not noted before the work began: {missed}. Measure now what can still be measured." if missed else None


def _missed(state: JobState, sheet: Sheet) -> Iterator[str]:
    touched = {place for place in ShimPlace if state.added[place] != Pack(0.0, 0.0)}
    for place in sorted((touched | _wanted_places(sheet)) - state.found.keys()):
        yield f"the shims under {PLACE_WORDS[place]}"
    if state.marks_found is None and (sheet.eccentrics is not None or _last_turn(state) is not None):
        yield "where the marks of the eccentric carriers stood"
    if state.as_found is None:
        yield "the pattern of the old wheel"


def _marks_unlike(state: JobState, _: Sheet) -> str | None:
    marks = state.marks
    if marks.alike:
        return None
    if marks.hole_a is None:
        turned = f"were turned by {_holes(marks.turned_a)} (end A) and {_holes(marks.turned_b)} (end B)"
        return f"The eccentric carriers {turned}: turn one of them until both are turned alike, before any shim."
    stand = f"stand at hole {marks.hole_a} (end A) and hole {marks.hole_b} (end B)"
    return f"The marks of the eccentric carriers {stand}: turn one of them until both stand alike, before any shim."


def _holes(count: int) -> str:
    return f"{count} hole" if abs(count) == 1 else f"{count} holes"


def _several_holes(state: JobState, _: Sheet) -> str | None:
    turn = _last_turn(state)
    if turn is None or state.counts(Check.PATTERN) or turn.holes_a != turn.holes_b or abs(turn.holes_a) <= 1:
        return None
    return (
        f"Both eccentric carriers were turned by {abs(turn.holes_a)} holes at once. "
        "Turn one hole at a time and look at backlash and pattern in between."
    )


def _unequal_turn(state: JobState, _: Sheet) -> str | None:
    turn = _last_turn(state)
    if turn is None or state.marks.alike or turn.holes_a == turn.holes_b:
        return None
    return "The last turn of the eccentric carriers was not the same at both ends. Turn both alike, the same way."


def _last_turn(state: JobState) -> EccentricChange | None:
    return next((event for event in reversed(state.events) if isinstance(event, EccentricChange)), None)


def _bolts_unlike(state: JobState, _: Sheet) -> str | None:
    for place in sorted(SIDE_PLACES):
        pack = _pack(state, place)
        if not pack.alike:
            thicker, thinner = ("upper", "lower") if pack.upper_mm > pack.lower_mm else ("lower", "upper")
            return (
                f"Under {PLACE_WORDS[place]} the {thicker} bolts carry "
                f"{length_words(abs(pack.upper_mm - pack.lower_mm))} more than the {thinner} ones: shim both alike."
            )
    return None


def _impossible_pack(state: JobState, sheet: Sheet) -> str | None:
    for place, pack in state.shims.items():
        if pack is None:
            continue
        least, most = sorted((pack.upper_mm, pack.lower_mm))
        if least < -TOLERANCE_MM:
            return f"More shims were taken from {PLACE_WORDS[place]} than were there: see which entry is wrong."
        if most > (thickest := _thickest(place, sheet)) + TOLERANCE_MM:
            return (
                f"Under {PLACE_WORDS[place]} lie {length_words(most)} of shims, more than the "
                f"{length_words(thickest)} that it takes."
            )
    return None


def _thickest(place: ShimPlace, sheet: Sheet) -> float:
    carrier, thickest = sheet.shims.carrier, sheet.shims.thickest_mm
    if carrier is None or thickest is None or CARRIER_PLACES[carrier] is not place:
        return math.inf
    return thickest


def _pack(state: JobState, place: ShimPlace) -> Pack:
    """What lies there; as long as nobody noted what was found, what was added."""
    return state.shims[place] or state.added[place]


FOUND_RULES: tuple[Rule, ...] = (
    Rule(
        "shims-as-found",
        Priority.DO_NOW,
        "Only the shims as found lead back to where the machine ran before.",
        _shims_not_noted,
    ),
    Rule(
        "shims-elsewhere",
        Priority.WARNING,
        "Every place can hold shims, and only the ones noted can be put back as they were.",
        _not_noted_elsewhere,
    ),
    Rule(
        "eccentrics-as-found",
        Priority.DO_NOW,
        "Only the marks as found tell how far the carriers were turned.",
        _marks_not_noted,
    ),
    Rule(
        "old-pattern",
        Priority.DO_NOW,
        "The old wheel shows how the machine ran, and once it is out nobody can see that again.",
        _old_pattern_not_seen,
    ),
    Rule(
        "eccentrics-unlike",
        Priority.DO_NOW,
        "Carriers that stand unlike tilt the shaft, and shims can hide that but not cure it.",
        _marks_unlike,
    ),
    Rule(
        "bolts-unlike",
        Priority.DO_NOW,
        "Unlike shims under the bolts of one carrier tilt it.",
        _bolts_unlike,
    ),
    Rule(
        "unequal-turn",
        Priority.WARNING,
        "Both eccentric carriers are turned alike and the same way, or the shaft tilts.",
        _unequal_turn,
    ),
    Rule(
        "several-holes",
        Priority.WARNING,
        "One hole can change backlash by more than the whole limit.",
        _several_holes,
    ),
    Rule(
        "impossible-shims",
        Priority.WARNING,
        "Shims cannot be less than nothing or thicker than the carrier takes.",
        _impossible_pack,
    ),
    Rule(
        "not-noted",
        Priority.WARNING,
        "What was not noted before the work began cannot be compared with later.",
        _too_late,
    ),
)
"""In the order of work (common practice)."""
