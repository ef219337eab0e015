"""Readings, shims and marks of a job in words, and its tables of limits, of the log, and to sign."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.words import INVALIDATED, span_words
from patternscan.reporting.text.table import Table
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import EccentricsFound, ShimsFound
from patternscan.setting.machine.sheet import Limit
from patternscan.setting.state.checks import Check
from patternscan.setting.state.current_readings import CurrentReading
from patternscan.setting.state.packs import Marks, Pack
from patternscan.units import fine_length_words

NOT_READ, NO_LIMIT = "not read", "no limit on the sheet"
WITHIN, BEYOND, NOT_COMPARED = "within", "more than the most", "cannot be compared"
READ_AGAIN = "counts no more: read again"
LOG_HEAD = ("Entry", "When", "By", "What happened", "Counts")
SIGNERS = ("Fitter", "Reviewer")


def pack_words(pack: Pack | ShimsFound) -> str:
    """The thickness under both bolts, or under each when they differ."""
    if pack.upper_mm == pack.lower_mm:
        return fine_length_words(pack.upper_mm)
    return f"{fine_length_words(pack.upper_mm)} at the upper, {fine_length_words(pack.lower_mm)} at the lower bolts"


def holes_words(marks: EccentricsFound | Marks) -> str:
    """At which holes the eccentric carriers stand."""
    return f"hole {marks.hole_a} (end A), hole {marks.hole_b} (end B)"


def marks_words(marks: Marks) -> str:
    """The same, or how far they were turned when where they stood is not known."""
    if marks.hole_a is not None:
        return holes_words(marks)
    return f"turned by {marks.turned_a:+d} holes (end A), {marks.turned_b:+d} holes (end B)"


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
    """That a reading was invalidated, and by what; nothing when it counts."""
    return "" if current.invalidation is None else f"; counts no more: {INVALIDATED[current.invalidation]}"


def limit_words(limit: Limit | None) -> str:
    """The maker's least and most; only the most where there is no least."""
    if limit is None:
        return NO_LIMIT
    return span_words((limit.least_mm, limit.most_mm)) if limit.least_mm else most_words(limit.most_mm)


def most_words(most_mm: float | None) -> str:
    """The maker's most."""
    return NO_LIMIT if most_mm is None else f"at most {fine_length_words(most_mm)}"


def verdict_words(current: CurrentReading, limit: Limit | None) -> str:
    """What the maker's limit says of the last reading."""
    if current.entry is None:
        return NOT_READ
    if not current.counts:
        return READ_AGAIN
    if limit is None or not current.readings_mm:
        return NOT_COMPARED
    if limit.holds(current.readings_mm):
        return WITHIN
    return BEYOND if max(current.readings_mm) > limit.most_mm else "less than the least"


def against_limit_words(name: str, readings_mm: Sequence[float], counts: bool, limit: Limit | None) -> str:
    """The last readings of a check and the maker's limit."""
    valid = "" if counts else ", counts no more"
    allowed = NO_LIMIT if limit is None else f"maker's limit {span_words((limit.least_mm, limit.most_mm))}"
    return f"{name}: {span_words(readings_mm)}{valid}, {allowed}."


def log_table(entries: Sequence[Entry], gone: Mapping[int, int]) -> Table:
    """The log in full; ``gone`` holds the entries that no longer count, each with the entry by which it does not."""
    rows = tuple(
        (
            str(entry.number),
            f"{entry.at:%Y-%m-%d %H:%M}",
            entry.by or "not said",
            event_sentence(entry.event),
            f"no (entry {gone[entry.number]})" if entry.number in gone else "yes",
        )
        for entry in entries
    )
    crossed_out = frozenset(place for place, entry in enumerate(entries) if entry.number in gone)
    return Table("All entries of the log, in their order", LOG_HEAD, rows, crossed_out)


def signature_table(signed: Entry | None) -> Table:
    """Room to sign by hand."""
    head = ("", "Name", "Date", "Signature")
    noted = "" if signed is None else f" The log holds: {event_sentence(signed.event)} {signed.at:%Y-%m-%d}."
    return Table(f"To be signed by hand.{noted}", head, tuple((who, "", "", "") for who in SIGNERS), blank=True)
