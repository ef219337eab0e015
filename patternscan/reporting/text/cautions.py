"""Cautions as a mechanic reads them: what is uncertain, on which flank and photo, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from patternscan.cautions import ASKED_BACK, Caution
from patternscan.reporting.text.caution_texts.contact import CONTACT_TEXTS
from patternscan.reporting.text.caution_texts.outline import OUTLINE_TEXTS, SHEET_NOTES
from patternscan.reporting.text.caution_texts.photo import PHOTO_TEXTS
from patternscan.reporting.text.caution_texts.results import RESULT_TEXTS
from patternscan.reporting.text.caution_texts.visits import VISIT_TEXTS
from patternscan.reporting.text.wording import as_markdown, filled

TEXTS: Mapping[str, tuple[str, str]] = {
    **PHOTO_TEXTS,
    **OUTLINE_TEXTS,
    **CONTACT_TEXTS,
    **RESULT_TEXTS,
    **VISIT_TEXTS,
}
"""What is uncertain, and what to do about it, by the code of the caution."""


def caution_sentence(caution: Caution) -> str:
    """What is uncertain, where the heading already names flank and photo."""
    return filled(TEXTS[caution.code][0], caution)


def caution_message(caution: Caution) -> str:
    """What is uncertain, flank and photo named first."""
    return _named([caution], caution_sentence(caution))


def left_out_sentence(caution: Caution) -> str:
    """Why a photo was left out where other teeth of the same flank were judged."""
    return f"{caution_sentence(caution)} The other teeth of this flank were judged without it."


def caution_remedy(caution: Caution) -> str:
    """What to do about it."""
    return filled(TEXTS[caution.code][1], caution)


def caution_messages(cautions: Sequence[Caution]) -> dict[str, str]:
    """Messages with their remedies. What holds of several photos is told once, all of them named."""
    same: dict[tuple[str, str], list[Caution]] = {}
    for caution in cautions:
        same.setdefault((caution_sentence(caution), caution_remedy(caution)), []).append(caution)
    return {_named(ones, sentence): remedy for (sentence, remedy), ones in same.items()}


def sheet_notes(cautions: Iterable[Caution]) -> list[str]:
    """What is wrong with the sheet's gear data, each fault in one line and once."""
    return [*dict.fromkeys(SHEET_NOTES[one.code] for one in cautions if one.code in SHEET_NOTES)]


def weightiest_first(cautions: Iterable[Caution]) -> list[Caution]:
    """Those that forbid a direction, what only a person can tell, then all others."""
    return sorted(cautions, key=lambda caution: (not caution.grave, caution.code not in ASKED_BACK))


def caution_lines(cautions: Iterable[Caution]) -> list[str]:
    """Doubts with what to do about them, the weightiest first."""
    told = caution_messages(weightiest_first(cautions))
    return [f"{as_markdown(message)} **Do:** {as_markdown(remedy)}" for message, remedy in told.items()]


def _named(cautions: Sequence[Caution], sentence: str) -> str:
    """The sentence after the flanks and photos that it is about."""
    places = "; ".join(dict.fromkeys(place for caution in cautions if (place := _place(caution, sentence))))
    return f"{places[0].upper()}{places[1:]}: {sentence}" if places else sentence


def _place(caution: Caution, sentence: str) -> str:
    """Flank and photo; a photo that the sentence itself names is not named twice."""
    flank = f"{caution.flank} flank" if caution.flank is not None else ""
    photo = "" if caution.photo is None or caution.photo in sentence else caution.photo
    return ", ".join(part for part in (flank, photo) if part)
