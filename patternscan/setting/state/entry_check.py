"""What the log refuses: events that cannot have happened after what stands in it."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.errors import NotYetLogged, WrongUse
from patternscan.handles import Handle, named
from patternscan.setting.log.entries import Entry, gone_entries, kept_entries
from patternscan.setting.log.events import EccentricChange, EccentricsFound, Event, Pattern, Replied, ShimChange, Struck
from patternscan.setting.log.replies import REPLIES
from patternscan.setting.log.words import PLACE_NAMES
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.state.checks import thickest_at
from patternscan.setting.state.job_state import job_state
from patternscan.setting.state.open_questions import answers_about
from patternscan.setting.state.packs import Pack
from patternscan.units import length_words


def refuse_impossible(event: Event, entries: Sequence[Entry], sheet: Sheet) -> None:
    """Raise WrongUse when the event cannot follow the entries; all others pass."""
    match event:
        case ShimChange():
            _refuse_shims(event, entries, sheet)
        case EccentricsFound(hole_a, hole_b):
            _refuse_holes((hole_a, hole_b), sheet)
        case EccentricChange():
            _refuse_turn(event, entries, sheet)
        case Struck(number):
            _refuse_strike(number, entries)
        case Replied():
            _refuse_reply(event, entries)


def _refuse_shims(event: ShimChange, entries: Sequence[Entry], sheet: Sheet) -> None:
    place = PLACE_NAMES[event.place]
    before = job_state(entries, sheet).shims[event.place]
    if before is None:
        raise NotYetLogged(
            f"It is not in the log how thick the shims under {place} were.",
            f"First log what was found: {named(Handle.LOG, f'shims-found {event.place} THICKNESS')}.",
            "shims-found",
        )
    after = before.plus(Pack(event.upper_mm, event.lower_mm))
    for was, now in ((before.upper_mm, after.upper_mm), (before.lower_mm, after.lower_mm)):
        if now < -PACK_TOLERANCE_MM:
            raise WrongUse(
                f"Under {place} lie only {length_words(was)} of shims, so {length_words(was - now)} cannot come out.",
                f"Check the number and its unit, and look at what stands in the log {named(Handle.ENTRIES)}.",
            )
    thickest = thickest_at(event.place, sheet)
    if after.most_mm > thickest + PACK_TOLERANCE_MM:
        raise WrongUse(
            f"That would make {length_words(after.most_mm)} under {place}, "
            f"but by the machine sheet it takes {length_words(thickest)} at most.",
            "Check the number and its unit, or correct 'thickest' under [shims] in the sheet.",
        )


def _refuse_holes(holes: Sequence[int], sheet: Sheet) -> None:
    count = None if sheet.eccentrics is None else sheet.eccentrics.holes
    if count is not None and max(holes) > count:
        raise WrongUse(
            f"Hole {max(holes)} is not there: by the machine sheet the carriers have {count} holes.",
            "Read the mark again, or correct 'holes' under [eccentrics] in the sheet.",
        )


def _refuse_turn(event: EccentricChange, entries: Sequence[Entry], sheet: Sheet) -> None:
    if job_state(entries, sheet).marks_found is None:
        raise NotYetLogged(
            "It is not in the log where the marks of the eccentrics stood.",
            f"First log what was found: {named(Handle.LOG, 'eccentrics-found HOLE_A HOLE_B')}.",
            "eccentrics-found",
        )
    count = None if sheet.eccentrics is None else sheet.eccentrics.holes
    most = max(abs(event.holes_a), abs(event.holes_b))
    if count is not None and most >= count:
        raise WrongUse(
            f"{most} holes are a whole turn or more: by the machine sheet the carriers have {count}.",
            "Count the holes again.",
        )


def _refuse_strike(number: int, entries: Sequence[Entry]) -> None:
    if all(entry.number != number for entry in entries):
        raise WrongUse(f"There is no entry {number} in the log.", f"See the numbers {named(Handle.ENTRIES)}.")
    strikes = [one for one in entries if isinstance(one.event, Struck) and one.event.entry == number]
    if strikes:
        raise WrongUse(f"Entry {number} was struck before, by entry {strikes[-1].number}.", "Leave it as it is.")


def _refuse_reply(event: Replied, entries: Sequence[Entry]) -> None:
    number = event.entry
    asked = next((one for one in entries if one.number == number), None)
    if asked is None:
        raise WrongUse(f"There is no entry {number} in the log.", f"See the numbers {named(Handle.ENTRIES)}.")
    questions = asked.event.questions if isinstance(asked.event, Pattern) else ()
    codes = dict.fromkeys(one.code for one in questions if one.code in REPLIES)
    if questions and not codes:
        raise WrongUse(
            f"What is asked about entry {number} was kept by another version, and takes no answer here.",
            f"Look at the machine. If the pattern was not taken well, strike entry {number}; else leave it.",
        )
    if not codes:
        raise WrongUse(f"Nothing is asked about entry {number}.", "Give the number of the pattern that is asked about.")
    if event.question not in codes:
        fitting = " or ".join(word for code in codes for word in (REPLIES[code].stands, REPLIES[code].falls))
        raise WrongUse(f"{event.reply} does not answer what is asked about entry {number}.", f"Say {fitting}.")
    gone = gone_entries(entries).get(number)
    answer = answers_about(asked, kept_entries(entries)).get(event.question)
    if answer is not None and isinstance(answer.event, Replied):
        raise WrongUse(
            f"That was answered before, by entry {answer.number}: {answer.event.reply}.",
            f"Leave it; or strike entry {answer.number} first, if it was wrong.",
        )
    if gone is not None:
        raise WrongUse(f"Entry {number} counts no more, by entry {gone}.", "Leave it as it is.")
