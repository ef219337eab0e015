"""A step of the setting job in plain words, and a rule that says when it is due."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.state.job_state import JobState


class Priority(StrEnum):
    """What kind of step it is."""

    DO_NOW = "do-now"
    REDO = "redo"
    READ = "missing-reading"
    NOT_MET = "limit-not-met"
    WARNING = "warning"
    MET = "limit-met"
    NO_LIMIT = "limit-missing"
    DONE = "done"
    CAUTION = "caution"


WORK = frozenset({Priority.DO_NOW, Priority.REDO, Priority.READ, Priority.NOT_MET})
"""Steps that stand between the job and its end."""


@dataclass(frozen=True, slots=True)
class Action:
    """One action: the rule's code, what kind of step it is, what to do in this job, and the rule's reason."""

    code: str
    priority: Priority
    words: str
    because: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of the trade: ``words`` gives the step's words when the rule applies, None when it does not."""

    code: str
    priority: Priority
    because: str
    words: Callable[[JobState, Sheet], str | None]

    def action(self, state: JobState, sheet: Sheet) -> Action | None:
        """The step, None when the rule does not apply."""
        words = self.words(state, sheet)
        return None if words is None else Action(self.code, self.priority, words, self.because)
