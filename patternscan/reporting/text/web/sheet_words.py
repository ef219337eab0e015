"""Words of the machine sheet on a phone: what is asked, and what was written, read back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from patternscan.plain_text import one_line
from patternscan.reporting.text.wording import MARKED
from patternscan.setting.machine.allowed import Shape
from patternscan.setting.machine.fields import TABLES, Field, Table
from patternscan.setting.machine.stock import parse_stock
from patternscan.units import fine_length_words, parse_length

SHEET = "Machine sheet"
ALL_OPTIONAL = "Fill in what you know; all of it may stay empty."
SAID = "{said} of {all} filled in"
WHAT_CHANGES = "Is this right?"
NOTHING_NEW = ("Nothing was changed.", "Fill something in, or go back.")
TAKEN_OFF = "not said any more"
LEAST, MOST = "least", "most"
LENGTH_UNITS = ("mm", "in", "thou")

TITLES: Mapping[str, str] = {
    "machine": "The machine",
    "gear": "Gear data",
    "photos": "How teeth are marked and photographed",
    "target": "Where the pattern should sit",
    "shims": "Side shims",
    "eccentrics": "Eccentric carriers",
    "dial": "Reading backlash",
    "limits": "The maker's limits",
    "tags": "Printed tags",
}
ASKED: Mapping[tuple[str, str], str] = {
    ("photos", "marking"): "How are the teeth marked?",
    ("photos", "compound"): "Colour of the compound",
    ("photos", "film_um"): "Thickness of the compound, when known",
    ("photos", "medium"): "What is photographed: the flank itself, or its print on tape or paper?",
    ("photos", "seen"): "Of tape or paper: the side that touched the tooth, or the compound seen through it?",
    ("gear", "centre_distance_mm"): "Centre distance, in place of the module, when the plate gives that",
    ("gear", "rim"): "Rim of the wheel: throated, or turned straight to a plain cylinder",
    ("target", "left_along"): "On the left flank: 0 = end A, 1 = end B",
    ("target", "right_along"): "On the right flank: 0 = end A, 1 = end B",
    ("shims", "carrier"): "The carrier under which the side shims are",
    ("shims", "adding_moves_wheel"): "Which way does adding shims there move the wheel?",
    ("shims", "holds_shaft"): "Does this carrier alone hold the shaft endways, or both?",
    ("eccentrics", "span"): "Distance from carrier to carrier",
    ("eccentrics", "numbers_rise"): "Which way do the numbers at end A rise, seen before end A?",
    ("eccentrics", "numbers_rise_b"): "Which way do the numbers at end B rise, seen before end B?",
    ("eccentrics", "more_backlash"): "Which way does the mark at end A move for more backlash?",
    ("dial", "radius"): "Distance from the wheel's axis to where the gauge touches",
    ("limits", "backlash_radius"): (
        "Distance from the wheel's axis to where the backlash limit counts, when not at the pitch circle"
    ),
    ("limits", "backlash_of"): "What the backlash limit holds: the teeth alone, or the worm's end play too",
}
"""What is asked where the sheet's own note is no question, or says what it is of by its key alone."""


def table_title(table: Table) -> str:
    """A table of the sheet as its page is headed."""
    return TITLES[table.name]


def asked_words(table: Table, field: Field) -> str:
    """What is asked of a field, with its unit and what is taken when it is not known."""
    asked = ASKED.get((table.name, field.key), f"{field.meaning[:1].upper()}{field.meaning[1:]}")
    unit = f", in {field.allowed.unit}" if field.allowed.unit else ""
    return asked + unit + ("" if field.guess is None else f" (when not known: {field.guess_words})")


def field_asked(table: str, key: str) -> str:
    """What is asked of the field of a table."""
    return asked_words(TABLES[table], TABLES[table][key])


def choice_words(word: str) -> str:
    """One of the words to choose from, as a person reads it."""
    return f"{MARKED[word]} ({word})" if word in MARKED else word.replace("-", " ")


def value_words(field: Field, value: Any) -> str:
    """A value read back, lengths in both units; what does not fit as it stands."""
    if value is None:
        return TAKEN_OFF
    if not field.allowed.holds(value):
        return one_line(str(value))
    match field.allowed.shape:
        case Shape.LENGTH:
            return fine_length_words(parse_length(value))
        case Shape.LIMITS:
            least, most = (fine_length_words(parse_length(one)) for one in value)
            return f"{least} to {most}"
        case Shape.STOCK:
            return parse_stock(value).words
        case Shape.NUMBER:
            return f"{value:g} {field.allowed.unit}".strip()
    return choice_words(value) if field.allowed.choices else str(value)
