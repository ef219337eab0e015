"""What is handed over of the actions that a job asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.reporting.documents.result import caution_document
from patternscan.setting.rules.action import WORK, Action, Priority
from patternscan.workflow.job import DueActions
from patternscan.workflow.outputs.answer import Answer, json_text


def next_answer(due: DueActions) -> Answer:
    """The document and the text."""
    document = {
        "format": "patternscan-next",
        "version": 1,
        "machine": due.machine,
        "steps": [_plain(action) for action in due.actions],
        "cautions": [caution_document(caution) for caution in due.damage],
    }
    return Answer(json_text(document), "\n".join(_lines(due.actions)))


def _plain(action: Action) -> dict[str, str]:
    return {"code": action.code, "need": action.priority, "words": action.words, "because": action.because}


def _lines(actions: Sequence[Action]) -> Iterator[str]:
    """First what to do now and why, then the rest by kind, the caution last."""
    first, *rest = actions
    yield first.words
    yield f"Why: {first.because}"
    for heading, priorities in (
        ("Then:", WORK),
        ("Mind:", {Priority.WARNING}),
        ("Missing on the sheet:", {Priority.NO_LIMIT}),
        ("In order:", {Priority.MET}),
    ):
        listed = [action.words for action in rest if action.priority in priorities]
        if listed:
            yield from ("", heading, *(f"- {words}" for words in listed))
    yield from ("", *(action.words for action in rest if action.priority is Priority.CAUTION))
