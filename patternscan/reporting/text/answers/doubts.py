"""The doubts of a judgement: what the answer rests on, the few that matter beside it, all others; each told once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from patternscan.cautions import ASKED_BACK, Caution
from patternscan.judging.advice import ASKED_FIRST, Move
from patternscan.reporting.text.answers.cure import cured, resting_on, what_to_do
from patternscan.reporting.text.cautions import (
    caution_lines,
    caution_messages,
    caution_remedy,
    sheet_notes,
    weightiest_first,
)
from patternscan.reporting.text.findings import NOTES
from patternscan.reporting.text.wording import as_markdown

if TYPE_CHECKING:
    from patternscan.judging.judgement import Judgement

MOST_DOUBTS = 2
"""More are not read by a person in a pit."""


def forbidding(judgement: Judgement) -> list[str]:
    """What forbids an answer, the photos named first, without its cure; nothing where there is an answer."""
    return [*caution_messages(resting_on(judgement))] if judgement.advice.move is Move.CANNOT_SAY else []


def full_cure(judgement: Judgement) -> list[str]:
    """The cure of which the headline holds only the beginning; nothing where the headline tells it whole."""
    remedies = dict.fromkeys(caution_remedy(one) for one in cured(judgement))
    return [f"**Do:** {as_markdown(one)}" for one in remedies if one.rstrip(".") not in what_to_do(judgement)]


def doubts_that_matter(judgement: Judgement) -> list[str]:
    """At most two: what may turn the answer, what only a person can tell, why it has little certainty, a sheet that is
    not this wheel's, what the pattern shows beside it, then what makes it less sure.

    Nothing that ``forbidding`` tells, and no cure that the headline tells. None while the marking is in doubt: whatever
    else such flanks show may be the wrong way round.
    """
    return [*_doubts(judgement)][:MOST_DOUBTS]


def questions(judgement: Judgement) -> list[str]:
    """What only a person can tell and may turn the answer; none while the marking is in doubt."""
    asked = () if _marking_in_doubt(judgement) else judgement.cautions
    return [*_messages([one for one in asked if one.code in ASKED_BACK])]


def other_doubts(judgement: Judgement) -> list[str]:
    """Every doubt that is not among those that matter, nor forbids the answer, with what to do about it."""
    told = doubts_that_matter(judgement)
    left = caution_messages(weightiest_first(_beside(judgement) if forbidding(judgement) else judgement.cautions))
    return [
        f"{as_markdown(message)} **Do:** {as_markdown(remedy)}"
        for message, remedy in left.items()
        if not any(words.startswith(message) for words in told)
    ]


def resting_lines(judgement: Judgement) -> list[str]:
    """The doubts that the answer rests on, with what to do about them."""
    return caution_lines(resting_on(judgement))


def beside_lines(judgement: Judgement) -> list[str]:
    """All other doubts, with what to do about them."""
    return caution_lines(_beside(judgement))


def _doubts(judgement: Judgement) -> Iterator[str]:
    told, beside, cure = judgement.advice.because, _beside(judgement), cured(judgement)
    if _marking_in_doubt(judgement):
        return
    grave = [one for one in beside if one.grave]
    yield from _messages(sorted(grave, key=lambda one: one.code != ASKED_FIRST))
    yield from questions(judgement)
    if not forbidding(judgement):
        yield from _messages(resting_on(judgement))
    yield from sheet_notes(beside)
    if not forbidding(judgement):
        yield from dict.fromkeys(NOTES[one.code] for one in judgement.advice.findings if one.code != told.code)
    widening = [one for one in beside if one.widens and not one.grave]
    yield from caution_messages([one for one in widening if one in cure])
    yield from _messages([one for one in widening if one not in cure])


def _marking_in_doubt(judgement: Judgement) -> bool:
    told = judgement.advice.because.caution
    return told is not None and told.code == ASKED_FIRST


def _beside(judgement: Judgement) -> list[Caution]:
    """The cautions that the answer does not rest on."""
    resting = resting_on(judgement)
    return [one for one in judgement.cautions if one not in resting]


def _messages(cautions: Sequence[Caution]) -> Iterator[str]:
    return (f"{message} {remedy}" for message, remedy in caution_messages(cautions).items())
