"""What a command prints: at most fifteen lines of a narrow screen, the answer last."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING

from patternscan.cautions import ASKED_BACK
from patternscan.frame import Flank, Made
from patternscan.judging.advice import Move
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.answers.doubts import MOST_DOUBTS, doubts_that_matter, forbidding, questions
from patternscan.reporting.text.answers.ends import STATES_CHECK, end_check
from patternscan.reporting.text.answers.headline import (
    judgement_headline,
    why_sentence,
)
from patternscan.reporting.text.cautions import caution_messages, sheet_notes
from patternscan.reporting.text.findings import apart_checks
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.reports.about import about_judgement, about_line, marked_words
from patternscan.reporting.text.reports.change import ASKED
from patternscan.reporting.text.reports.reading import headed
from patternscan.reporting.text.safety import SAFETY_LINE, SAFETY_TITLE
from patternscan.reporting.text.wording import flank_name, place_words, shift_with_range, verdict_words, with_range

if TYPE_CHECKING:
    from patternscan.judging.comparison import Comparison
    from patternscan.judging.judgement import Judgement
    from patternscan.judging.states.change import Change

MOST_LINES, COLUMNS = 15, 80
NO_READING = "no reading"
SAFETY = f"{SAFETY_TITLE}: {SAFETY_LINE}"
MORE = "{}: with --full, or in page.html (with --out FOLDER)."
MORE_OF_ONE = "{}: with --full. Report and drawn photo: with --out FOLDER."
ALL, UNASKED = "All numbers and doubts", "There is more to answer"
"""What is found there; the second where there was no room for a question that may turn the answer."""


def judgement_brief(judgement: Judgement, made: Made) -> str:
    """The judgement of a machine as the terminal shows it."""
    head = [about_judgement(judgement, made), *_numbers(judgement.comparison)]
    cannot = judgement.advice.move is Move.CANNOT_SAY
    why = [" ".join([why_sentence(judgement), *forbidding(judgement)])] if cannot else []
    first = apart_checks(judgement.advice)[:1]
    answer = [*end_check(judgement), *first, *why, f"{judgement_headline(judgement)}."]
    return _fitting(head, doubts_that_matter(judgement), answer, questions(judgement))


def reading_brief(readings: Sequence[Reading], made: Made) -> str:
    """The flanks of one photo as the terminal shows them."""
    about = about_line(made, readings[0].photo.name, marked_words(readings))
    cautions = headed(readings)
    grave, asked, widening = (
        [f"{message} {remedy}" for message, remedy in caution_messages(ones).items()]
        for ones in (
            [one for one in cautions if one.grave],
            [one for one in cautions if one.code in ASKED_BACK],
            [one for one in cautions if one.widens and not one.grave],
        )
    )
    doubts = [*grave, *asked, *sheet_notes(cautions), *widening][:MOST_DOUBTS]
    alone = "One flank alone does not tell which way the wheel must go: judge both together."
    return _fitting([about], doubts, [alone, *map(_reading_line, readings)], asked, MORE_OF_ONE)


def change_brief(change: Change, about: str) -> str:
    """Two states of a machine as the terminal shows them; ``about`` tells machine, date and marking."""
    asked, told = (
        [f"{message} {remedy}" for message, remedy in caution_messages(ones).items()]
        for ones in ([one for one in change.cautions if one.code == ASKED], change.cautions)
    )
    answer = [STATES_CHECK, reason_sentence(change.because), f"{verdict_words(change)}."]
    return _fitting([about], told[:MOST_DOUBTS], answer, asked)


def _fitting(
    head: Sequence[str], doubts: Sequence[str], answer: Sequence[str], asked: Sequence[str], more: str = MORE
) -> str:
    """All lines, with as many of the doubts as there is room for; ``asked``: those that ask back."""
    for kept in range(len(doubts), -1, -1):
        told = [f"Doubt: {one}" for one in doubts[:kept]]
        where = more.format(ALL if set(asked) <= {*doubts[:kept]} else UNASKED)
        lines = [row for one in (*head, *told, where, SAFETY, *answer) for row in textwrap.wrap(one, COLUMNS)]
        if len(lines) <= MOST_LINES:
            break
    return "\n".join(lines) + "\n"


def _numbers(comparison: Comparison) -> list[str]:
    pooled = {Flank.LEFT: comparison.left, Flank.RIGHT: comparison.right}
    places = (f"{flank} {NO_READING if one is None else with_range(one.along)}" for flank, one in pooled.items())
    lines = [f"Pattern's middle from end A: {', '.join(places)}."]
    if comparison.shared is not None:
        lines.append(f"Both flanks together are off by {shift_with_range(comparison.shared)}.")
    return lines


def _reading_line(reading: Reading) -> str:
    measured = reading.measurement
    return (
        f"{flank_name(reading.outline.flank)}, tooth {reading.outline.tooth}: {place_words(measured)}, "
        f"touched {with_range(measured.coverage)} of the flank."
    )
