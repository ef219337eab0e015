"""The tables of a job's record that show as found beside as left, with limit and verdict, and the photos."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.frame import percent
from patternscan.judging.advice import Move
from patternscan.reporting.job.kept_patterns import PatternShown
from patternscan.reporting.job.record import JobRecord
from patternscan.reporting.text.job.events import MOVE_NOTES
from patternscan.reporting.text.job.readings import (
    BEYOND,
    NOT_COMPARED,
    NOT_READ,
    READ_AGAIN,
    WITHIN,
    holes_words,
    limit_words,
    marks_words,
    most_words,
    no_more,
    pack_words,
    reading_words,
    verdict_words,
)
from patternscan.reporting.text.job.words import CHECKS, GEOMETRY_WORDS, capital
from patternscan.reporting.text.table import Table
from patternscan.setting.log.events import Measured
from patternscan.setting.log.words import PLACE_NAMES, Geometry, ShimPlace
from patternscan.setting.machine.sheet import SMALL_MM
from patternscan.setting.state.checks import MEASURED, Check, limit_of, thickest_at
from patternscan.setting.state.packs import NO_SHIMS, Pack
from patternscan.units import fine_length_words

NOT_NOTED, NONE_SET = "not noted", "none"
IN_PLACE = "in its place"
Row = tuple[str, str, str, str, str]


def states_table(record: JobRecord) -> Table:
    """As found beside as left, with the maker's limit and what it says of the last."""
    rows = [*_shim_rows(record), *_mark_rows(record), *_reading_rows(record), *_geometry_rows(record)]
    head = ("", "As found", record.left_name, "Limit", "Verdict")
    return Table("What was found, and what was left", head, (*rows, _pattern_row(record)))


def _shim_rows(record: JobRecord) -> Iterator[Row]:
    state = record.state
    for place in ShimPlace:
        found, left, added = state.found.get(place), state.shims[place], state.added[place]
        if found is None and left is None and added == NO_SHIMS:
            continue
        now = f"as found, changed by {pack_words(added)}" if left is None else pack_words(left)
        then = NOT_NOTED if found is None else pack_words(found)
        most_mm = thickest_at(place, record.sheet)
        limit = most_words(most_mm) if math.isfinite(most_mm) else NONE_SET
        yield f"Shims under {PLACE_NAMES[place]}", then, now, limit, _pack_verdict(left, most_mm)


def _pack_verdict(pack: Pack | None, most_mm: float) -> str:
    if pack is None:
        return NOT_COMPARED
    if not pack.alike:
        return "bolts unlike"
    return WITHIN if pack.most_mm <= most_mm + SMALL_MM else BEYOND


def _mark_rows(record: JobRecord) -> Iterator[Row]:
    found, marks = record.state.marks_found, record.state.marks
    if found is None and not (marks.turned_a or marks.turned_b):
        return
    alike = marks.turned_alike or marks.put_alike
    then = NOT_NOTED if found is None else holes_words(found)
    verdict = "turned alike" if alike else "turned unlike"
    yield "Marks of the eccentric carriers", then, marks_words(marks), "turned alike", verdict


def _reading_rows(record: JobRecord) -> Iterator[Row]:
    for check in MEASURED:
        before, now, limit = record.before[check], record.state.current_readings[check], limit_of(check, record.sheet)
        words = reading_words(before), reading_words(now)
        yield capital(CHECKS[check].name), *words, limit_words(limit), verdict_words(now, limit)


def _geometry_rows(record: JobRecord) -> Iterator[Row]:
    """What was measured on housing, seat and worm; the centre distance has no least or most."""
    limits = record.sheet.limits
    most = {
        Geometry.SQUARENESS: limits.squareness_mm,
        Geometry.SEAT_RUN_OUT: limits.seat_run_out_mm,
        Geometry.WORM_RUN_OUT: limits.worm_run_out_mm,
    }
    for what in Geometry:
        read = [event.reading_mm for event in record.state.events if isinstance(event, Measured) and event.what is what]
        if read:
            most_mm = most.get(what)
            verdict = NOT_COMPARED if most_mm is None else WITHIN if read[-1] <= most_mm + SMALL_MM else BEYOND
            first, last = fine_length_words(read[0]), fine_length_words(read[-1])
            yield GEOMETRY_WORDS[what], first, last, most_words(most_mm), verdict


def _pattern_row(record: JobRecord) -> Row:
    then, target = _shown_words(record.as_found), record.sheet.target
    limit = f"left {percent(target.left)}, right {percent(target.right)} from end A"
    if not record.trials:
        return "Pattern", then, NOT_READ, limit, NOT_READ
    current, shown = record.state.current_readings[Check.PATTERN], record.trials[-1].shown
    note = IN_PLACE if shown.pattern.move is Move.STAY else MOVE_NOTES[shown.pattern.move]
    verdict = note if current.counts else READ_AGAIN
    return "Pattern", then, f"{_shown_words(shown)}{no_more(current)}", limit, verdict


def _shown_words(shown: PatternShown | None) -> str:
    if shown is None:
        return NOT_READ
    flanks = [
        f"{one.flank} {percent(one.numbers.along.value)} from end A" for one in shown.flanks if one.numbers is not None
    ]
    return f"{', '.join(flanks) or 'no flank could be read'} (entry {shown.entry.number})"


def photos_table(record: JobRecord) -> Table:
    """Every photo that a pattern was read from, with the digest of its file."""
    rows = [
        (f"Entry {shown.entry.number}: {photo.link.name}", photo.link.sha256 or "not known", photo.place.value)
        for shown in record.patterns
        for photo in shown.photos
    ]
    return Table("What the patterns were read from", ("Photo", "SHA-256", "The photo itself"), tuple(rows))
