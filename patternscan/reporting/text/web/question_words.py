"""A question about a pattern as the pages show it: its words, and a button for each answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patternscan.reporting.text.job.asking import due_words
from patternscan.reporting.text.job.point_texts.pattern import ONE_ANSWER
from patternscan.reporting.text.job.points import points_sentence
from patternscan.reporting.text.job.reply_words import REPLY_WORDS
from patternscan.reporting.text.job.words import capital
from patternscan.setting.rules.entries_due import Asked
from patternscan.setting.state.open_questions import OpenQuestion


@dataclass(frozen=True, slots=True)
class ShownQuestion:
    """What is asked, about which entry, and the answers, each with what its button says; none that can be given."""

    told: str
    entry: int | None = None
    replies: Sequence[tuple[str, str]] = ()


def asked_by_job(asked: Asked) -> ShownQuestion:
    """A question among what a job asks for."""
    entry = asked.replies[0].known["entry"] if asked.replies else None
    replies = [(one.known["reply"].value, due_words(one)) for one in asked.replies]
    return ShownQuestion(points_sentence(asked.points), entry, replies)


def asked_of_pattern(question: OpenQuestion) -> ShownQuestion:
    """A question beside the pattern that it is about."""
    known = () if question.replies is None else (question.replies.stands, question.replies.falls)
    replies = [(one.value, capital(REPLY_WORDS[one])) for one in known]
    told = question.told if len(question.told) == 1 or not known else (*question.told, ONE_ANSWER)
    return ShownQuestion(" ".join(told), question.entry, replies)
