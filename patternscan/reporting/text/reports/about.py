"""What a result is about, in one line: machine, date, who made it, and how the teeth were marked."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from patternscan.frame import Compound, Made, Marking, Medium
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.wording import MARKED, PRINT_ON

if TYPE_CHECKING:
    from patternscan.judging.judgement import Judgement
    from patternscan.judging.states.judged_state import JudgedState

NOT_SAID = "marking not known"


def about_judgement(judgement: Judgement, made: Made | None) -> str:
    """What a judgement is about; only the machine when it is not said when it was made."""
    if made is None:
        return judgement.machine or ""
    return about_line(made, judgement.machine, marked_words((*judgement.left, *judgement.right)))


def about_change(before: JudgedState, after: JudgedState, made: Made | None) -> str:
    """What a comparison is about; only the machine when it is not said when it was made."""
    machine = after.machine or before.machine
    if made is None:
        return machine or ""
    marked = marking_words({before.marking, after.marking}, before.compounds | after.compounds)
    return about_line(made, machine, with_media(marked, before.media | after.media))


def about_line(made: Made, name: str | None, marked: str) -> str:
    """All of it; ``name`` is the machine or the photo, None when it has none."""
    by = f" by {made.by}" if made.by else ""
    return ", ".join(part for part in (name, f"{made.at:%Y-%m-%d %H:%M}{by}", marked) if part) + "."


def marked_words(readings: Iterable[Reading]) -> str:
    """How the flanks of the readings were marked, and with which compounds."""
    read = [*readings]
    maps, lifts = [one.contact_map for one in read], {one.outline.lift for one in read}
    marked = marking_words({one.marking for one in maps}, {one.compound for one in maps})
    return with_media(marked, {Medium.FLANK if lift is None else lift.medium for lift in lifts})


def marking_words(markings: Iterable[Marking | None], compounds: Iterable[Compound]) -> str:
    """Markings with compounds, in the words of the workshop.

    >>> marking_words([Marking.TRANSFER], [Compound.BLUE])
    'printed by the worm (transfer, blue)'
    """
    colours = " and ".join(sorted(compounds))
    told = sorted(f"{MARKED[one]} ({one}{f', {colours}' if colours else ''})" for one in markings if one is not None)
    return " and ".join(told) or NOT_SAID


def with_media(marked: str, media: Collection[Medium]) -> str:
    """How the flanks were marked, and from what they were read where that was not the flank itself.

    >>> with_media("printed by the worm (transfer, blue)", [Medium.TAPE])
    'printed by the worm (transfer, blue), read from a tape lift'
    """
    prints = " and a ".join(PRINT_ON[medium] for medium in Medium if medium in media and PRINT_ON[medium])
    flank = "the flank itself and " if prints and Medium.FLANK in media else ""
    return f"{marked}, read from {flank}a {prints}" if prints else marked
