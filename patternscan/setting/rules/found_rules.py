"""Rules for what must be seen before anything is changed, and for shims and carriers that must stand alike."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.setting.log.events import EccentricChange
from patternscan.setting.log.words import ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import Points, Priority, Rule, point
from patternscan.setting.rules.strip_down_rules import STRIP_DOWN, wanted_places
from patternscan.setting.state.checks import SIDE_PLACES, Check, thickest_at
from patternscan.setting.state.job_state import JobState
from patternscan.setting.state.packs import Pack


def _not_noted_elsewhere(state: JobState, _: Sheet) -> Points:
    missing = tuple(place for place in ShimPlace if place not in state.found)
    if state.found and missing and not state.changed:
        yield point("no-shims-noted-at", places=missing)


def _too_late(state: JobState, sheet: Sheet) -> Points:
    missed = tuple(_missed(state, sheet))
    if state.changed and missed:
        yield point("missed", what=missed)


def _missed(state: JobState, sheet: Sheet) -> Iterator[str]:
    touched = {place for place in ShimPlace if state.added[place] != Pack(0.0, 0.0)}
    yield from sorted((touched | wanted_places(sheet)) - state.found.keys())
    if state.marks_found is None and (sheet.eccentrics is not None or _last_turn(state) is not None):
        yield "marks"
    if state.as_found is None:
        yield "old-pattern"


def _marks_unlike(state: JobState, _: Sheet) -> Points:
    """Carriers that the job itself turned unlike."""
    marks = state.marks
    if marks.alike:
        return
    if marks.hole_a is None:
        yield point("carriers-turned-unlike", holes_a=marks.turned_a, holes_b=marks.turned_b)
    else:
        yield point("carriers-stand-unlike", hole_a=marks.hole_a, hole_b=marks.hole_b)


def _found_unlike(state: JobState, _: Sheet) -> Points:
    """A question, as the maker may have set them so."""
    found = state.marks_found
    if found is not None and not state.marks.found_alike and not state.marks.put_alike:
        yield point("carriers-found-unlike", hole_a=found.hole_a, hole_b=found.hole_b)


def _several_holes(state: JobState, _: Sheet) -> Points:
    turn = _last_turn(state)
    if turn is None or state.counts(Check.PATTERN) or not state.marks.turned_alike or abs(turn.holes_a) <= 1:
        return
    yield point("several-holes", holes=abs(turn.holes_a))


def _unequal_turn(state: JobState, _: Sheet) -> Points:
    turn, marks = _last_turn(state), state.marks
    if turn is not None and not marks.alike and _uneven(turn, state):
        yield point("unequal-turn")


def _uneven(turn: EccentricChange, state: JobState) -> bool:
    return turn.holes_a != state.marks.sense_b * turn.holes_b


def _last_turn(state: JobState) -> EccentricChange | None:
    return next((event for event in reversed(state.events) if isinstance(event, EccentricChange)), None)


def _bolts_unlike(state: JobState, _: Sheet) -> Points:
    packs = {place: _pack(state, place) for place in sorted(SIDE_PLACES)}
    place = next((place for place, pack in packs.items() if not pack.alike), None)
    if place is not None:
        more_mm = packs[place].upper_mm - packs[place].lower_mm
        yield point(
            "upper-bolts-more" if more_mm > 0 else "lower-bolts-more", place=place, more_mm=round(abs(more_mm), 6)
        )


def _impossible_pack(state: JobState, sheet: Sheet) -> Points:
    for place, pack in state.shims.items():
        if pack is None:
            continue
        least, most = sorted((pack.upper_mm, pack.lower_mm))
        if least < -PACK_TOLERANCE_MM:
            yield point("shims-below-nothing", place=place)
            return
        if most > (thickest := thickest_at(place, sheet)) + PACK_TOLERANCE_MM:
            yield point("shims-too-thick", place=place, pack_mm=most, thickest_mm=thickest)
            return


def _pack(state: JobState, place: ShimPlace) -> Pack:
    """What lies there; as long as nobody noted what was found, what was added."""
    return state.shims[place] or state.added[place]


FOUND_RULES: tuple[Rule, ...] = (
    STRIP_DOWN,
    Rule("shims-elsewhere", Priority.WARNING, _not_noted_elsewhere),
    Rule("eccentrics-unlike", Priority.DO_NOW, _marks_unlike),
    Rule("eccentrics-found-unlike", Priority.WARNING, _found_unlike),
    Rule("bolts-unlike", Priority.DO_NOW, _bolts_unlike),
    Rule("unequal-turn", Priority.WARNING, _unequal_turn),
    Rule("several-holes", Priority.WARNING, _several_holes),
    Rule("impossible-shims", Priority.WARNING, _impossible_pack),
    Rule("not-noted", Priority.WARNING, _too_late),
)
"""In the order of work (common practice)."""
