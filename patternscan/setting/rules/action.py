"""An action that a setting job asks for, as codes with values, and a rule that says when it is due."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from patternscan.cautions import Statement, Value
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.state.job_state import JobState

Points = Iterator[Statement]
"""What there is to say, one point after the other; none when a rule does not apply."""


class Priority(StrEnum):
    """What kind of action it is."""

    ASK = "ask"
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
"""Actions that stand between the job and its end."""


@dataclass(frozen=True, slots=True)
class Action:
    """One action: the code of its rule, what kind it is, and what there is to do in this job, point by point."""

    code: str
    priority: Priority
    points: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of the trade: ``points`` says what is to be done when the rule applies, nothing when it does not."""

    code: str
    priority: Priority
    points: Callable[[JobState, Sheet], Points]

    def action(self, state: JobState, sheet: Sheet) -> Action | None:
        """The action, None when the rule does not apply."""
        points = tuple(self.points(state, sheet))
        return Action(self.code, self.priority, points) if points else None


def point(code: str, **values: Value) -> Statement:
    """One point with its values."""
    return Statement(code, tuple(values.items()))
