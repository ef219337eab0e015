"""What is handed over of the actions that a job asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.frame import Made
from patternscan.reporting.documents.next_actions import next_document
from patternscan.reporting.documents.parts import encode
from patternscan.reporting.text.job.actions import action_reason, action_sentence
from patternscan.setting.rules.action import WORK, Action, Priority
from patternscan.workflow.job import DueActions
from patternscan.workflow.outputs.answer import Answer


def next_answer(due: DueActions) -> Answer:
    """The document and the text."""
    document = next_document(due.machine, due.actions, due.damage, Made.now())
    return Answer(encode(document), "\n".join(_lines(due.actions)))


def _lines(actions: Sequence[Action]) -> Iterator[str]:
    """First what to do now and why, then the rest by kind, the caution last."""
    first, *rest = actions
    yield action_sentence(first)
    yield f"Why: {action_reason(first)}"
    for heading, priorities in (
        ("Then:", WORK),
        ("Mind:", {Priority.WARNING}),
        ("Missing on the sheet:", {Priority.NO_LIMIT}),
        ("In order:", {Priority.MET}),
    ):
        listed = [action_sentence(action) for action in rest if action.priority in priorities]
        if listed:
            yield from ("", heading, *(f"- {words}" for words in listed))
    yield from ("", *(action_sentence(action) for action in rest if action.priority is Priority.CAUTION))
