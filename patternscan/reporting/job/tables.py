"""The tables of a job's record: machine, as found beside as left, readings against limits, photos, log, signatures."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.frame import percent
from patternscan.judging.advice import ShimRule
from patternscan.reporting.job.record import JobRecord, PatternShown
from patternscan.reporting.text.job_events import MOVE_NOTES, event_sentence
from patternscan.reporting.text.job_words import CHECKS, INVALIDATED, span_words
from patternscan.reporting.text.table import Table
from patternscan.setting.log.events import PLACE_NAMES, EccentricsFound, ShimPlace, ShimsFound
from patternscan.setting.machine.sheet import Eccentrics, Limit, Sheet, SideShims
from patternscan.setting.state.checks import MEASURED, Check, CurrentReading, limit_of
from patternscan.setting.state.packs import Marks, Pack
from patternscan.units import fine_length_words, length_words

NOT_KNOWN, NOT_NOTED, NOT_READ = "not on the sheet", "not noted", "not read"
NO_LIMIT = "no limit on the sheet"
LOG_HEAD = ("Entry", "When", "By", "What happened", "Counts")
SIGNERS = ("Fitter", "Reviewer")


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
    if gear.hob_oversize is not None:
        yield "Hob larger than the worm", f"{gear.hob_oversize * 100:g} %"


def _setting_rows(sheet: Sheet) -> Iterator[tuple[str, str]]:
    target = sheet.target
    yield "Pattern should lie, from end A", f"left flank {percent(target.left)}, right flank {percent(target.right)}"
    yield "Side shims", NOT_KNOWN if sheet.shims.carrier is None else f"under the carrier at end {sheet.shims.carrier}"
    yield "Adding shims there", _rule_words(sheet.shim_rule)
    if sheet.shims.alone is not None:
        yield "Wheel shaft held endways", _held_words(sheet.shims)
    yield "Thickest pack", _length(sheet.shims.thickest_mm)
    yield "Shims on hand", sheet.shims.stock.words if sheet.shims.stock.kinds else NOT_KNOWN
    if sheet.eccentrics is not None:
        yield "Eccentric carriers", _eccentric_words(sheet.eccentrics)
    yield "Dial for backlash, from the wheel's axis", _length(sheet.dial.radius_mm)
    film = [sheet.film, None if sheet.film_um is None else fine_length_words(sheet.film_um / 1000)]
    if any(film):
        yield "Film of compound", ", ".join(words for words in film if words)


def _rule_words(rule: ShimRule | None) -> str:
    return "not known" if rule is None else f"moves the wheel toward end {rule.adding_moves_toward}"


def _held_words(shims: SideShims) -> str:
    return f"by the carrier at end {shims.carrier} alone" if shims.alone else "by both carriers"


def _eccentric_words(eccentrics: Eccentrics) -> str:
    words = [
        None if eccentrics.holes is None else f"{eccentrics.holes} holes",
        None if eccentrics.throw_mm is None else f"throw {length_words(eccentrics.throw_mm)}",
        None if eccentrics.span_mm is None else f"{length_words(eccentrics.span_mm)} from one to the other",
        None if eccentrics.widest_hole is None else f"centres widest at hole {eccentrics.widest_hole:g}",
        None if eccentrics.clockwise is None else f"{_rising(eccentrics.clockwise)} seen from end A",
        {1: "higher holes give more backlash", -1: "lower holes give more backlash"}.get(eccentrics.more_backlash or 0),
    ]
    return ", ".join(word for word in words if word) or "there, without data"


def _rising(clockwise: bool) -> str:
    return f"hole numbers rise {'clockwise' if clockwise else 'anticlockwise'}"


def states_table(record: JobRecord) -> Table:
    """As found beside as left."""
    rows = [*_shim_rows(record), *_mark_rows(record), *_reading_rows(record), _pattern_row(record)]
    return Table("What was found, and what was left", ("", "As found", record.left_name), tuple(rows))


def _shim_rows(record: JobRecord) -> Iterator[tuple[str, str, str]]:
    state = record.state
    for place in ShimPlace:
        found, left, added = state.found.get(place), state.shims[place], state.added[place]
        if found is None and left is None and added == Pack(0.0, 0.0):
            continue
        now = f"as found, changed by {_pack_words(added)}" if left is None else _pack_words(left)
        yield f"Shims under {PLACE_NAMES[place]}", NOT_NOTED if found is None else _pack_words(found), now


def _pack_words(pack: Pack | ShimsFound) -> str:
    if pack.upper_mm == pack.lower_mm:
        return fine_length_words(pack.upper_mm)
    return f"{fine_length_words(pack.upper_mm)} at the upper, {fine_length_words(pack.lower_mm)} at the lower bolts"


def _mark_rows(record: JobRecord) -> Iterator[tuple[str, str, str]]:
    found, marks = record.state.marks_found, record.state.marks
    if found is None and not (marks.turned_a or marks.turned_b):
        return
    yield "Marks of the eccentric carriers", NOT_NOTED if found is None else _holes(found), _marks_words(marks)


def _holes(marks: EccentricsFound | Marks) -> str:
    return f"hole {marks.hole_a} (end A), hole {marks.hole_b} (end B)"


def _marks_words(marks: Marks) -> str:
    if marks.hole_a is not None:
        return _holes(marks)
    return f"turned by {marks.turned_a:+d} holes (end A), {marks.turned_b:+d} holes (end B)"


def _reading_rows(record: JobRecord) -> Iterator[tuple[str, str, str]]:
    for check in MEASURED:
        before, now = record.before[check], record.state.current_readings[check]
        if before.entry is not None or now.entry is not None:
            yield capital(CHECKS[check].name), reading_words(before), reading_words(now)


def reading_words(current: CurrentReading) -> str:
    """A reading, and why it counts no more if so."""
    if current.entry is None:
        return NOT_READ
    if current.readings_mm:
        words = span_words(current.readings_mm)
        if current.check is Check.BACKLASH:
            words = f"{words} at the pitch radius"
    else:
        words = event_sentence(current.entry.event)
    return f"{words}{no_more(current)}"


def no_more(current: CurrentReading) -> str:
    """That a reading was voided, and why; nothing when it stands."""
    return "" if current.invalidation is None else f"; counts no more: {INVALIDATED[current.invalidation]}"


def _pattern_row(record: JobRecord) -> tuple[str, str, str]:
    if not record.trials:
        return "Pattern", _shown_words(record.as_found), NOT_READ
    last = f"{_shown_words(record.trials[-1].shown)}{no_more(record.state.current_readings[Check.PATTERN])}"
    return "Pattern", _shown_words(record.as_found), last


def _shown_words(shown: PatternShown | None) -> str:
    if shown is None:
        return NOT_READ
    pattern = shown.pattern
    flanks = [
        f"{one.flank} {percent(one.numbers.along.value)} from end A" for one in shown.flanks if one.numbers is not None
    ]
    return f"{', '.join(flanks) or 'no flank could be read'} (entry {shown.entry.number}: {MOVE_NOTES[pattern.move]})"


def limits_table(record: JobRecord) -> Table:
    """The latest readings against the maker's limits."""
    rows = tuple(_limit_row(check, record) for check in MEASURED)
    return Table("The last readings and the maker's limits", ("", "Last reading", "Maker's limit", "Verdict"), rows)


def _limit_row(check: Check, record: JobRecord) -> tuple[str, str, str, str]:
    current, limit = record.state.current_readings[check], limit_of(check, record.sheet)
    allowed = NO_LIMIT if limit is None else span_words((limit.least_mm, limit.most_mm))
    return capital(CHECKS[check].name), reading_words(current), allowed, _verdict(current, limit)


def _verdict(current: CurrentReading, limit: Limit | None) -> str:
    if current.entry is None:
        return NOT_READ
    if not current.counts:
        return "counts no more: read again"
    if limit is None or not current.readings_mm:
        return "cannot be compared"
    if limit.holds(current.readings_mm):
        return "within"
    return "more than the most" if max(current.readings_mm) > limit.most_mm else "less than the least"


def photos_table(record: JobRecord) -> Table:
    """Every photo that a pattern was read from, with the digest of its file."""
    rows = [
        (f"Entry {shown.entry.number}: {photo.link.name}", photo.link.sha256 or "not known", photo.place.value)
        for shown in record.patterns
        for photo in shown.photos
    ]
    return Table("What the patterns were read from", ("Photo", "SHA-256", "The photo itself"), tuple(rows))


def log_table(record: JobRecord) -> Table:
    """The log in full; struck entries are marked."""
    struck = record.struck
    rows = tuple(
        (
            str(entry.number),
            f"{entry.at:%Y-%m-%d %H:%M}",
            entry.by or "not said",
            event_sentence(entry.event),
            f"no (entry {struck[entry.number]})" if entry.number in struck else "yes",
        )
        for entry in record.log.entries
    )
    gone = frozenset(place for place, entry in enumerate(record.log.entries) if entry.number in struck)
    return Table("All entries of the log, in their order", LOG_HEAD, rows, gone)


def signature_table(record: JobRecord) -> Table:
    """Room to sign by hand."""
    signed = record.state.signed_off
    head = ("", "Name", "Date", "Signature")
    noted = "" if signed is None else f" The log holds: {event_sentence(signed.event)} {signed.at:%Y-%m-%d}."
    return Table(f"To be signed by hand.{noted}", head, tuple((who, "", "", "") for who in SIGNERS), blank=True)


def capital(words: str) -> str:
    """The words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


def _plain(number: int | None) -> str:
    return NOT_KNOWN if number is None else str(number)


def _length(length_mm: float | None) -> str:
    return NOT_KNOWN if length_mm is None else length_words(length_mm)
