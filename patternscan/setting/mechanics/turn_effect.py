"""What a turn of the eccentrics does to centres, backlash and shaft, in words, as far as the sheet tells."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.errors import WrongUse
from patternscan.setting.log.events import EccentricChange
from patternscan.setting.machine.sheet import Eccentrics, Gear, Sheet
from patternscan.setting.mechanics.backlash import (
    CENTRES_GUIDE,
    LEAST_ANGLE_DEG,
    MOST_ANGLE_DEG,
    backlash_from_centres,
    find_axial_pressure_angle,
)
from patternscan.setting.mechanics.eccentric import (
    DEAD_CENTRE_UNKNOWN,
    CarrierPair,
    EccentricCarrier,
    ShaftMove,
    Turn,
    bound_move,
    move_shaft,
)
from patternscan.setting.state.job_state import Marks
from patternscan.units import length_words

UNEQUAL = "The carriers were not turned alike. Turn both alike, the same way, one hole at a time."
UNKNOWN_SPAN_MM = 1.0
"""Stands in for a span that the sheet does not give; nothing that hangs on it is said then."""
SMALL_MM, SMALL_DEG = 0.005, 0.0005
"""Below these nothing is said."""


def turn_effect(marks: Marks, change: EccentricChange, sheet: Sheet) -> tuple[str, ...]:
    """Sentences on what the turn from ``marks`` did, without sign where the sheet does not tell the dead centre.

    Empty when the sheet gives no throw or holes, or nobody noted where the marks stood.
    """
    unequal = () if change.holes_a == change.holes_b else (UNEQUAL,)
    table = sheet.eccentrics
    if table is None or table.throw_mm is None or table.holes is None or marks.hole_a is None or marks.hole_b is None:
        return unequal
    try:
        carrier = EccentricCarrier(table.throw_mm, table.holes, table.widest_hole, table.clockwise is not False)
        pair = CarrierPair(carrier, carrier, table.span_mm or UNKNOWN_SPAN_MM)
        turns = (
            Turn(marks.hole_a, _end(marks.hole_a, change.holes_a, table.holes)),
            Turn(marks.hole_b, _end(marks.hole_b, change.holes_b, table.holes)),
        )
        known, most = move_shaft(pair, *turns), bound_move(pair, *turns)
    except WrongUse as fault:
        return (*unequal, f"What the turn did cannot be reckoned. {fault.found} {fault.remedy}")
    if known is None:
        return (*unequal, *_most_words(most, sheet), DEAD_CENTRE_UNKNOWN)
    return (*unequal, *_words(known, sheet), *_contradiction(known, change, table))


def _words(move: ShaftMove, sheet: Sheet) -> Iterator[str]:
    if abs(move.centres_mm) >= SMALL_MM:
        opened = move.centres_mm > 0
        yield f"By the sheet the centres {'opened' if opened else 'closed'} by {length_words(abs(move.centres_mm))}."
        backlash = _backlash(move.centres_mm, sheet.gear)
        if backlash is not None:
            yield (
                f"That should {'add at most' if opened else 'take about'} {length_words(abs(backlash))} of backlash. "
                f"{CENTRES_GUIDE if opened else 'Measure it again.'}"
            )
    if sheet.eccentrics is None or sheet.eccentrics.span_mm is None:
        return
    if abs(move.tilt_deg) >= SMALL_DEG:
        yield f"The shaft is now tilted by {abs(move.tilt_deg):.3f} degrees{_like_axial(move, sheet.gear)}."
    if abs(move.shaft_angle_deg) >= SMALL_DEG:
        yield (
            f"The shaft went out of square by {abs(move.shaft_angle_deg):.3f} degrees, "
            "which pulls the flanks to opposite ends."
        )


def _most_words(most: ShaftMove, sheet: Sheet) -> Iterator[str]:
    yield f"The centres changed by {length_words(most.centres_mm)} at most."
    if sheet.eccentrics is not None and sheet.eccentrics.span_mm is not None and most.tilt_deg >= SMALL_DEG:
        yield f"The shaft was tilted or turned out of square by {most.tilt_deg:.3f} degrees at most."


def _like_axial(move: ShaftMove, gear: Gear) -> str:
    if gear.module_mm is None or gear.teeth is None:
        return ""
    axial = move.looks_like_axial_mm(gear.module_mm * gear.teeth / 2)
    return f", as if the wheel stood {length_words(abs(axial))} further toward end {'A' if axial > 0 else 'B'}"


def _backlash(opening_mm: float, gear: Gear) -> float | None:
    """Backlash from the change of centres; None when the sheet does not give the pressure angle."""
    angle = axial_angle_deg(gear)
    return None if angle is None else backlash_from_centres(opening_mm, angle)


def axial_angle_deg(gear: Gear) -> float | None:
    """The pressure angle in the worm's axial section; None when the sheet does not give the angle, or an odd one."""
    angle = gear.pressure_angle_deg
    if angle is None:
        return None
    if gear.profile in ("zi", "zn") and gear.module_mm and gear.starts and gear.worm_diameter_mm:
        lead_deg = math.degrees(math.atan(gear.module_mm * gear.starts / gear.worm_diameter_mm))
        angle = find_axial_pressure_angle(angle, lead_deg)
    return angle if LEAST_ANGLE_DEG <= angle <= MOST_ANGLE_DEG else None


def _contradiction(move: ShaftMove, change: EccentricChange, table: Eccentrics) -> Iterator[str]:
    """A warning when the sheet's two ways of telling more backlash from less do not agree."""
    way = change.holes_a + change.holes_b
    if table.more_backlash is None or way == 0 or abs(move.centres_mm) < SMALL_MM:
        return
    if (way * table.more_backlash > 0) != (move.centres_mm > 0):
        yield (
            "The machine sheet contradicts itself: 'widest_hole' and 'more_backlash' do not agree on which way opens "
            "the centres. Find out which is right before you turn further."
        )


def _end(start: int, holes: int, count: int) -> int:
    """The hole after the turn; past the last one comes the first."""
    return (start - 1 + holes) % count + 1
