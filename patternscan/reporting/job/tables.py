"""The tables of a job's record that show as found beside as left, and the photos."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.frame import percent
from patternscan.reporting.job.kept_patterns import PatternShown
from patternscan.reporting.job.record import JobRecord
from patternscan.reporting.text.job.events import MOVE_NOTES
from patternscan.reporting.text.job.readings import (
    NOT_READ,
    holes_words,
    marks_words,
    no_more,
    pack_words,
    reading_words,
)
from patternscan.reporting.text.job.words import CHECKS, capital
from patternscan.reporting.text.table import Table
from patternscan.setting.log.words import PLACE_NAMES, ShimPlace
from patternscan.setting.state.checks import MEASURED, Check
from patternscan.setting.state.packs import Pack

NOT_NOTED = "not noted"


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
        now = f"as found, changed by {pack_words(added)}" if left is None else pack_words(left)
        yield f"Shims under {PLACE_NAMES[place]}", NOT_NOTED if found is None else pack_words(found), now


def _mark_rows(record: JobRecord) -> Iterator[tuple[str, str, str]]:
    found, marks = record.state.marks_found, record.state.marks
    if found is None and not (marks.turned_a or marks.turned_b):
        return
    yield "Marks of the eccentric carriers", NOT_NOTED if found is None else holes_words(found), marks_words(marks)


def _reading_rows(record: JobRecord) -> Iterator[tuple[str, str, str]]:
    for check in MEASURED:
        before, now = record.before[check], record.state.current_readings[check]
        if before.entry is not None or now.entry is not None:
            yield capital(CHECKS[check].name), reading_words(before), reading_words(now)


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


def photos_table(record: JobRecord) -> Table:
    """Every photo that a pattern was read from, with the digest of its file."""
    rows = [
        (f"Entry {shown.entry.number}: {photo.link.name}", photo.link.sha256 or "not known", photo.place.value)
        for shown in record.patterns
        for photo in shown.photos
    ]
    return Table("What the patterns were read from", ("Photo", "SHA-256", "The photo itself"), tuple(rows))
