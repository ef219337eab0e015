"""What a job asks for, as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.reporting.text.job.actions import action_lines, action_reason, safety_sentences
from patternscan.setting.rules.action import WORK, Action, Priority


def due_report(actions: Sequence[Action]) -> str:
    """Safety, then what to do now and why, then the rest by kind."""
    return "\n".join(_lines(actions))


def _lines(actions: Sequence[Action]) -> Iterator[str]:
    first, *rest = actions
    yield from (f"{words}\n" for words in safety_sentences(actions))
    yield from action_lines(first)
    yield f"Why: {action_reason(first)}"
    for heading, priorities in (
        ("Then:", {Priority.ASK, *WORK}),
        ("Mind:", {Priority.WARNING}),
        ("Missing on the sheet:", {Priority.NO_LIMIT}),
        ("In order:", {Priority.MET}),
    ):
        listed = ["\n  ".join(action_lines(action)) for action in rest if action.priority in priorities]
        if listed:
            yield from ("", heading, *(f"- {words}" for words in listed))
