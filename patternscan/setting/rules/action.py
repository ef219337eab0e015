"""A step of the setting job in plain words, and a rule that says when it is due."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.state.job_state import JobState


class Need(StrEnum):
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


WORK = frozenset({Need.DO_NOW, Need.REDO, Need.READ, Need.NOT_MET})
"""Steps that stand between the job and its end."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the rule's code, what kind of step it is, what to do in this job, and the rule's reason."""

    code: str
    need: Need
    words: str
    because: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of the trade: ``words`` gives the step's words when the rule applies, None when it does not."""

    code: str
    need: Need
    because: str
    words: Callable[[JobState, Sheet], str | None]

    def step(self, state: JobState, sheet: Sheet) -> Step | None:
        """The step, None when the rule does not apply."""
        words = self.words(state, sheet)
        return None if words is None else Step(self.code, self.need, words, self.because)
