"""What a result is about, in one line: machine, date, who made it, and how the teeth were marked."""

from __future__ import annotations

from collections.abc import Iterable

from patternscan.frame import Compound, Made, Marking
from patternscan.judging.judged_state import JudgedState
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.wording import MARKED

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
    return about_line(made, machine, marking_words({before.marking, after.marking}, before.compounds | after.compounds))


def about_line(made: Made, name: str | None, marked: str) -> str:
    """All of it; ``name`` is the machine or the photo, None when it has none."""
    by = f" by {made.by}" if made.by else ""
    return ", ".join(part for part in (name, f"{made.at:%Y-%m-%d %H:%M}{by}", marked) if part) + "."


def marked_words(readings: Iterable[Reading]) -> str:
    """How the flanks of the readings were marked, and with which compounds."""
    maps = [reading.contact_map for reading in readings]
    return marking_words({one.marking for one in maps}, {one.compound for one in maps})


def marking_words(markings: Iterable[Marking | None], compounds: Iterable[Compound]) -> str:
    """Markings with compounds, in the words of the workshop.

    >>> marking_words([Marking.TRANSFER], [Compound.BLUE])
    'printed by the worm (transfer, blue)'
    """
    colours = " and ".join(sorted(compounds))
    told = sorted(f"{MARKED[one]} ({one}{f', {colours}' if colours else ''})" for one in markings if one is not None)
    return " and ".join(told) or NOT_SAID
