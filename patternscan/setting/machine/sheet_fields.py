"""Every table and key of a machine sheet, each with its check; and every fault of a sheet named at once."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator
from typing import Any

from patternscan.errors import WrongUse
from patternscan.frame import Compound, End, Marking
from patternscan.judging.advice import Move
from patternscan.setting.mechanics.shims import parse_stock
from patternscan.units import parse_length

Check = Callable[[Any], str | None]
"""Says what was expected instead, or None when the value is right."""

NOT_KNOWN = "unknown"
"""Written on the sheet where a machine's answer has still to be found out."""
ALONE, BOTH = "alone", "both"
"""Whether the carrier with the side shims holds the shaft endways by itself, or both carriers do."""


def _number(low: float, high: float, unit: str = "") -> Check:
    def check(value: Any) -> str | None:
        right = isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high
        return None if right else f"a number from {low:g} to {high:g}{unit}"

    return check


def _whole(low: int, high: int) -> Check:
    def check(value: Any) -> str | None:
        right = isinstance(value, int) and not isinstance(value, bool) and low <= value <= high
        return None if right else f"a whole number from {low} to {high}"

    return check


def _one_of(*words: str) -> Check:
    def check(value: Any) -> str | None:
        return None if isinstance(value, str) and value in words else " or ".join(f'"{word}"' for word in words)

    return check


def _text(value: Any) -> str | None:
    return None if isinstance(value, str) and value.strip() else "some text"


def _length(least_mm: float, most_mm: float) -> Check:
    def check(value: Any) -> str | None:
        length_mm = _length_of(value)
        if length_mm is None:
            return 'a length with its unit, as "0.10 mm", "0.004 in" or "4 thou"'
        return None if least_mm <= length_mm <= most_mm else f"a length from {least_mm:g} to {most_mm:g} mm"

    return check


def _limits(least_mm: float, most_mm: float) -> Check:
    def check(value: Any) -> str | None:
        lengths = [_length_of(one) for one in value] if isinstance(value, list) else []
        if len(lengths) != 2 or None in lengths:
            return 'least and most with their units, as ["0.08 mm", "0.13 mm"]'
        least, most = (length for length in lengths if length is not None)
        right = least_mm <= least <= most <= most_mm
        return None if right else f"least before most, from {least_mm:g} to {most_mm:g} mm"

    return check


def _stock(value: Any) -> str | None:
    expected = 'a list of shims with their number, as ["0.10 mm x 4", "0.005 in x 6"]'
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        return expected
    try:
        parse_stock(value)
    except WrongUse:
        return expected
    return None


def _length_of(value: Any) -> float | None:
    try:
        return parse_length(value) if isinstance(value, str) else None
    except WrongUse:
        return None


MODULE = _number(0.5, 40, " mm")
TABLES: dict[str, dict[str, Check]] = {
    "machine": {"name": _text, "end_a": _text},
    "gear": {
        "module_mm": MODULE,
        "centre_distance_mm": _number(10, 3000, " mm"),
        "starts": _whole(1, 12),
        "teeth": _whole(10, 400),
        "worm_diameter_mm": _number(5, 1000, " mm"),
        "pressure_angle_deg": _number(10, 35, " degrees"),
        "hand": _one_of("right", "left"),
        "face_width_mm": _number(3, 1000, " mm"),
        "profile": _one_of("za", "zi", "zn"),
        "hob_oversize": _number(0, 0.2, " (0.02 is 2 %)"),
    },
    "photos": {
        "marking": _one_of(*(marking.value for marking in Marking)),
        "compound": _one_of(*(compound.value for compound in Compound)),
        "film": _text,
        "film_um": _number(0.5, 100, " thousandths of a millimetre"),
        "teeth_per_flank": _whole(1, 20),
    },
    "target": {"left_along": _number(0, 1), "right_along": _number(0, 1)},
    "shims": {
        "carrier": _one_of(*(end.value for end in End)),
        "adding_moves_wheel": _one_of(Move.TOWARD_A.value, Move.TOWARD_B.value, NOT_KNOWN),
        "holds_shaft": _one_of(ALONE, BOTH),
        "thickest": _length(0.01, 50),
        "stock": _stock,
    },
    "eccentrics": {
        "holes": _whole(2, 120),
        "throw": _length(0.05, 50),
        "span": _length(10, 5000),
        "widest_hole": _number(1, 121),
        "numbers_rise": _one_of("clockwise", "anticlockwise"),
        "more_backlash": _one_of("higher", "lower", NOT_KNOWN),
    },
    "dial": {"radius": _length(5, 5000), "positions": _whole(1, 24)},
    "limits": {
        "worm_end_play": _limits(0, 5),
        "wheel_end_play": _limits(0, 5),
        "backlash": _limits(0, 10),
        "outboard_alignment": _length(0.001, 10),
    },
}
"""Every table and key of a sheet, each with its check. Limits are the maker's: the check is on sense only."""


def sheet_faults(content: dict[str, Any]) -> Iterator[str]:
    """Every fault of a sheet in plain words, with the nearest known word where one is not known."""
    for table, entries in content.items():
        if table not in TABLES:
            yield f"[{table}] is not known{_nearest(table, TABLES)}"
        elif not isinstance(entries, dict):
            yield f"{table} is not a table; write [{table}] on a line of its own"
        else:
            yield from _entry_faults(table, entries)
    shims = content.get("shims")
    if isinstance(shims, dict) and "carrier" not in shims:
        if "adding_moves_wheel" in shims:
            yield "[shims] says what adding does but not under which carrier"
        if "holds_shaft" in shims:
            yield "[shims] says what holds the shaft but not which carrier has the shims"
    carriers = content.get("eccentrics")
    if isinstance(carriers, dict):
        holes, widest = carriers.get("holes"), carriers.get("widest_hole")
        if isinstance(holes, int) and isinstance(widest, int | float) and not widest < holes + 1:
            yield f"eccentrics.widest_hole is {widest!r}, but there are only {holes} holes"
    gear = content.get("gear")
    if isinstance(gear, dict) and MODULE(module_from_centres(gear) or 1.0) is not None:
        yield "gear.centre_distance_mm does not fit gear.worm_diameter_mm and gear.teeth"


def module_from_centres(gear: dict[str, Any]) -> float | None:
    """The module in mm when the sheet gives the centre distance in its place, from a = (d1 + m z2) / 2.

    That holds for teeth without profile shift. None when the module is given, or not enough to reckon it.
    Source: any gear handbook, for instance the worked worm pair in the KHK gear handbook (a 67, d1 44, z2 30, m 3).
    """
    given = [gear.get(name) for name in ("centre_distance_mm", "worm_diameter_mm", "teeth")]
    distance, worm, teeth = (one if isinstance(one, int | float) and one > 0 else None for one in given)
    if "module_mm" in gear or distance is None or worm is None or teeth is None:
        return None
    return round((2 * distance - worm) / teeth, 6)


def _entry_faults(table: str, entries: dict[str, Any]) -> Iterator[str]:
    for key, value in entries.items():
        if key not in TABLES[table]:
            yield f"{table}.{key} is not known{_nearest(key, TABLES[table])}"
        elif (expected := TABLES[table][key](value)) is not None:
            yield f"{table}.{key} is {value!r}, expected {expected}"


def _nearest(word: str, known: dict[str, Any]) -> str:
    close = difflib.get_close_matches(word, known, n=1)
    return f" (did you mean {close[0]}?)" if close else ""
