"""What is handed over of the actions that a job asks for."""

from __future__ import annotations

from patternscan.frame import Made
from patternscan.reporting.documents.next_actions import next_document
from patternscan.reporting.text.job.due import due_report
from patternscan.workflow.job.log import DueActions
from patternscan.workflow.outputs.answer import Answer


def next_answer(due: DueActions) -> Answer:
    """The document and the text."""
    document = next_document(due.machine, due.actions, due.damage, Made.now())
    return Answer(document, due_report(due.actions))
