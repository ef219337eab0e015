"""The document of ``next --json``: what a setting job asks for now."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from patternscan.cautions import Caution
from patternscan.frame import Made
from patternscan.reporting.documents.parts import CautionPart, Document, caution_parts, head
from patternscan.reporting.text.job.actions import action_reason, action_sentence
from patternscan.setting.rules.action import Action, Priority


class ActionPart(Struct, frozen=True):
    """One action: the code of its rule, what kind it is, what to do, and why."""

    code: str
    need: Priority
    words: str
    because: str


class NextDocument(Document, frozen=True, kw_only=True, tag="patternscan-next"):
    """What ``next --json`` prints; the first step is what to do now."""

    machine: str | None
    steps: tuple[ActionPart, ...]
    cautions: tuple[CautionPart, ...]


def next_document(
    machine: str | None, actions: Sequence[Action], damage: Iterable[Caution], made: Made
) -> NextDocument:
    """The document of a job's actions, and of what is damaged in its log."""
    return NextDocument(
        **head(made),
        machine=machine,
        steps=tuple(ActionPart(one.code, one.priority, action_sentence(one), action_reason(one)) for one in actions),
        cautions=caution_parts(damage),
    )
