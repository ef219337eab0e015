"""Rules for backlash: at enough places round the wheel, within the maker's limit, set with both carriers alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.setting.log.events import Backlash, LostMotion
from patternscan.setting.machine.sheet import SMALL_MM, Eccentrics, Limit, Sheet
from patternscan.setting.mechanics.backlash import CENTRES_GUIDE, SPREAD_HINT, centres_from_backlash, take_out_end_play
from patternscan.setting.mechanics.eccentric import EccentricCarrier
from patternscan.setting.mechanics.turn_effect import axial_angle_deg
from patternscan.setting.rules.action import Priority, Rule
from patternscan.setting.rules.reading_rules import (
    BACKLASH,
    describe_miss,
    missing_words,
    span_words,
    void_words,
    within_words,
)
from patternscan.setting.state.checks import Check
from patternscan.setting.state.job_state import JobState
from patternscan.units import fine_length_words, length_words

ANY_THROW_MM = 1.0
"""The way of a carrier does not hang on its throw."""
UNEVEN_PART = 0.25
"""Part of the mean backlash from which its spread round the wheel is worth a hint (common practice)."""


def _places_taken(state: JobState) -> int:
    entry = state.current_readings[Check.BACKLASH].entry
    match entry.event if entry is not None else None:
        case Backlash(readings_mm=readings):
            return len(readings)
        case LostMotion(angles_deg=angles):
            return len(angles)
        case _:
            return 0


def _too_few(state: JobState, sheet: Sheet) -> str | None:
    taken, wanted = _places_taken(state), sheet.dial.positions
    if not state.counts(Check.BACKLASH) or taken >= wanted:
        return None
    return f"Read backlash again at {wanted} places round the wheel; the last reading has only {taken}."


def _no_gear_data(state: JobState, sheet: Sheet) -> str | None:
    if sheet.limits.backlash is None or not state.counts(Check.BACKLASH) or not _places_taken(state):
        return None
    if state.current_readings[Check.BACKLASH].readings_mm:
        return None
    return (
        "Backlash cannot be compared with the maker's limit: give module and number of teeth (and for a reading at "
        "the worm its starts) on the sheet, and the dial's radius with the reading."
    )


def _beyond(state: JobState, sheet: Sheet) -> str | None:
    limit, readings = sheet.limits.backlash, state.current_readings[Check.BACKLASH].readings_mm
    if limit is None or not state.counts(Check.BACKLASH) or limit.holds(readings):
        return None
    return f"{describe_miss(BACKLASH, readings, limit)}{_end_play(state)} {_remedy(readings, limit, state, sheet)}"


def _end_play(state: JobState) -> str:
    play = state.current_readings[Check.WORM_END_PLAY]
    if not play.counts or play.readings_mm[0] <= SMALL_MM:
        return ""
    return f" Up to {length_words(play.readings_mm[0])} of it is the worm's end play."


def _remedy(readings: Sequence[float], limit: Limit, state: JobState, sheet: Sheet) -> str:
    if max(readings) - min(readings) > limit.most_mm - limit.least_mm + SMALL_MM:
        return "It changes round the wheel by more than the limits allow: no setting brings it right all round."
    more = min(readings) < limit.least_mm
    lacking = limit.least_mm - min(readings) if more else max(readings) - limit.most_mm
    if sheet.eccentrics is None:
        first = "Set the centre distance as the maker's manual says, then read the pattern and backlash again."
    else:
        first = (
            f"Turn both eccentric carriers by one hole, the same way, {_way(more, state, sheet.eccentrics)}; "
            "then the outboard bearing, the pattern and backlash again."
        )
    return f"{first}{_centres(lacking, more, sheet)}"


def _centres(lacking_mm: float, more: bool, sheet: Sheet) -> str:
    angle = axial_angle_deg(sheet.gear)
    if angle is None:
        return ""
    need = fine_length_words(centres_from_backlash(lacking_mm, angle))
    if more:
        return f" The centres have to open by {need} at least. {CENTRES_GUIDE}"
    return f" The centres have to close by about {need}."


def _way(more: bool, state: JobState, carriers: Eccentrics) -> str:
    wanted = "more" if more else "less"
    told, reckoned = carriers.more_backlash, _reckoned_way(state, carriers)
    known = told if reckoned is None else reckoned
    if told is not None and known != told:
        return (
            f"for {wanted} backlash (widest_hole and more_backlash on the sheet do not agree: find out which is right)"
        )
    if known is None:
        return f"for {wanted} backlash (the sheet does not say which way that is: read backlash right after)"
    return f"to the next {'higher' if (known > 0) == more else 'lower'} hole for {wanted} backlash"


def _reckoned_way(state: JobState, carriers: Eccentrics) -> int | None:
    """Which way of the mark gives more backlash where it stands, from the hole of the widest centres; None if unknown.

    None as well at that hole and opposite it, where both ways do the same.
    """
    hole, holes, widest = state.marks.hole_a, carriers.holes, carriers.widest_hole
    if hole is None or holes is None or widest is None or hole > holes or 2 * (hole - widest) % holes == 0:
        return None
    return EccentricCarrier(ANY_THROW_MM, holes, widest).opening_way(hole)


def _none_left(state: JobState, _: Sheet) -> str | None:
    readings = state.current_readings[Check.BACKLASH].readings_mm
    tight = sum(reading <= SMALL_MM for reading in readings)
    if not tight or not state.counts(Check.BACKLASH):
        return None
    places = "one place" if tight == 1 else f"{tight} places"
    return f"There is no backlash at all at {places} round the wheel: the teeth bind there. Do not run it."


def _uneven(state: JobState, _: Sheet) -> str | None:
    readings = state.current_readings[Check.BACKLASH].readings_mm
    if len(readings) < 2 or not state.counts(Check.BACKLASH):
        return None
    spread = max(readings) - min(readings)
    if spread <= UNEVEN_PART * sum(readings) / len(readings):
        return None
    return f"Backlash differs by {length_words(spread)} round the wheel ({span_words(readings)}). {SPREAD_HINT}"


def pitch_radius_words(state: JobState) -> Iterator[str]:
    """The last backlash reading brought to the pitch radius, and what is left of it without the worm's end play."""
    readings = state.current_readings[Check.BACKLASH].readings_mm
    if not readings:
        return
    yield f"At the pitch radius that is {span_words(readings)}."
    play = state.current_readings[Check.WORM_END_PLAY]
    if not play.counts or play.readings_mm[0] <= SMALL_MM:
        return
    left = [take_out_end_play(reading, play.readings_mm[0]) for reading in readings]
    teeth = [one for one in left if one is not None]
    words = length_words(play.readings_mm[0])
    if len(teeth) < len(left):
        yield f"The worm's end play, {words}, is more than that: one of them is wrong, or the worm did not slide."
    else:
        yield f"Up to {words} of it is the worm's end play; without it {span_words(teeth)} is left for the teeth."


BACKLASH_RULES: tuple[Rule, ...] = (
    Rule("backlash-missing", Priority.READ, BACKLASH.because, missing_words(BACKLASH)),
    Rule("backlash-void", Priority.REDO, BACKLASH.because, void_words(BACKLASH)),
    Rule("backlash-places", Priority.REDO, "A wheel that runs out has more backlash here and less there.", _too_few),
    Rule(
        "backlash-no-number",
        Priority.READ,
        "Limits hold at the pitch radius, the dial stands elsewhere.",
        _no_gear_data,
    ),
    Rule(
        "backlash-beyond",
        Priority.NOT_MET,
        "Too little backlash binds and runs hot, too much knocks; both carriers go alike, one hole at a time.",
        _beyond,
    ),
    Rule("backlash-within", Priority.MET, BACKLASH.because, within_words(BACKLASH)),
    Rule("backlash-none", Priority.NOT_MET, "Teeth without any play bind, whatever the limit is.", _none_left),
    Rule("backlash-uneven", Priority.WARNING, "Spread round the wheel is not cured by setting.", _uneven),
)
"""In the order of work (common practice)."""
