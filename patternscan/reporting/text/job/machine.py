"""What the machine sheet says, as a table."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.frame import percent
from patternscan.reporting.text.table import Table
from patternscan.setting.machine.sheet import Eccentrics, Sheet
from patternscan.units import fine_length_words, length_words

NOT_KNOWN = "not on the sheet"


def machine_table(sheet: Sheet) -> Table:
    """What the machine sheet says."""
    rows = [("Machine", sheet.machine or NOT_KNOWN), *_gear_rows(sheet), *_setting_rows(sheet)]
    return Table("From the machine sheet", ("", "As the sheet says"), tuple(rows))


def _gear_rows(sheet: Sheet) -> Iterator[tuple[str, str]]:
    gear = sheet.gear
    if sheet.end_a is not None:
        yield "End A of the wheel", sheet.end_a
    yield "Axial module", NOT_KNOWN if gear.module_mm is None else f"{gear.module_mm:g} mm"
    if sheet.centre_distance_mm is not None:
        yield "Centre distance", length_words(sheet.centre_distance_mm)
    yield "Threads of the worm", _plain(gear.starts)
    yield "Teeth of the wheel", _plain(gear.teeth)
    yield "Hand", gear.hand or NOT_KNOWN
    yield "Pitch diameter of the worm", _length(gear.worm_diameter_mm)
    yield "Face width", _length(gear.face_width_mm)
    if gear.pressure_angle_deg is not None:
        yield "Pressure angle", f"{gear.pressure_angle_deg:g} degrees"
    if gear.profile is not None:
        yield "Form of the worm", gear.profile.upper()
    if gear.rim is not None:
        yield "Rim of the wheel", gear.rim
    if gear.hob_oversize is not None:
        yield "Hob larger than the worm", f"{gear.hob_oversize * 100:g} %"


def _setting_rows(sheet: Sheet) -> Iterator[tuple[str, str]]:
    target = sheet.target
    yield "Pattern should lie, from end A", f"left flank {percent(target.left)}, right flank {percent(target.right)}"
    yield "Side shims", NOT_KNOWN if sheet.shims.carrier is None else f"under the carrier at end {sheet.shims.carrier}"
    rule = sheet.shim_rule
    toward = "not known" if rule is None else f"moves the wheel toward end {rule.adding_moves_toward}"
    yield "Adding shims there", toward
    if sheet.shims.alone is not None:
        alone = f"by the carrier at end {sheet.shims.carrier} alone"
        yield "Wheel shaft held endways", alone if sheet.shims.alone else "by both carriers"
    yield "Thickest pack", _length(sheet.shims.thickest_mm)
    yield "Shims on hand", sheet.shims.stock.words if sheet.shims.stock.kinds else NOT_KNOWN
    if sheet.eccentrics is not None:
        yield "Eccentric carriers", _eccentric_words(sheet.eccentrics)
    if sheet.limits.backlash_radius_mm is not None:
        yield "Limit for backlash counts, from the axis, at", _length(sheet.limits.backlash_radius_mm)
    if sheet.limits.backlash_of_teeth is not None:
        yield "It holds", "the teeth alone" if sheet.limits.backlash_of_teeth else "the worm's end play too"
    yield "Dial for backlash, from the wheel's axis", _length(sheet.dial.radius_mm)
    film = [sheet.film, None if sheet.film_um is None else fine_length_words(sheet.film_um / 1000)]
    if any(film):
        yield "Film of compound", ", ".join(words for words in film if words)


def _eccentric_words(eccentrics: Eccentrics) -> str:
    words = [
        None if eccentrics.holes is None else f"{eccentrics.holes} holes",
        None if eccentrics.throw_mm is None else f"throw {length_words(eccentrics.throw_mm)}",
        None if eccentrics.span_mm is None else f"{length_words(eccentrics.span_mm)} from one to the other",
        None if eccentrics.widest_hole is None else f"centres widest at hole {eccentrics.widest_hole:g}",
        None if eccentrics.clockwise is None else f"{_rising(eccentrics.clockwise)} seen from end A",
        None if eccentrics.clockwise_b is None else f"{_rising(eccentrics.clockwise_b)} at end B seen from there",
        {1: "higher holes give more backlash", -1: "lower holes give more backlash"}.get(eccentrics.more_backlash or 0),
    ]
    return ", ".join(word for word in words if word) or "there, without data"


def _rising(clockwise: bool) -> str:
    return f"hole numbers rise {'clockwise' if clockwise else 'anticlockwise'}"


def _plain(number: int | None) -> str:
    return NOT_KNOWN if number is None else str(number)


def _length(length_mm: float | None) -> str:
    return NOT_KNOWN if length_mm is None else length_words(length_mm)
