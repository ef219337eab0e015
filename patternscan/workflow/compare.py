"""Comparing two states of one machine, each a kept judgement or its photos."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.frame import Made
from patternscan.judging.judgement import Judgement
from patternscan.judging.states.change import Change, compare_states
from patternscan.judging.states.judged_state import GoneEntry
from patternscan.reporting.kept.judgement import judgement_path
from patternscan.reporting.kept.result import KeptResult, as_kept, read_kept
from patternscan.workflow.judge import JudgeRequest, judge_photos

State = Path | JudgeRequest
"""One state: the file or folder of a judgement, or the photos to judge."""


@dataclass(frozen=True, slots=True)
class CompareRequest:
    """Both states of one machine, before and after a move of the wheel.

    ``gone`` says of either that its entry in a job no longer counts, where its own place does not tell.
    """

    before: State
    after: State
    by: str | None = None
    gone: tuple[GoneEntry | None, GoneEntry | None] = (None, None)

    @property
    def files(self) -> Sequence[Path]:
        """The files that are read and never written over."""
        return [path for state in (self.before, self.after) for path in _files(state)]


@dataclass(frozen=True, slots=True, eq=False)
class CompareResult:
    """What changed, with both states and their pictures as far as these were kept."""

    change: Change
    before: KeptResult
    after: KeptResult
    made: Made


def compare_results(request: CompareRequest) -> CompareResult:
    """Compare both states. Raises WrongUse, InconsistentInputs for states that do not belong together."""
    before, after = (
        one if gone is None else replace(one, state=replace(one.state, gone=gone))
        for one, gone in zip(map(_kept, (request.before, request.after)), request.gone, strict=True)
    )
    return CompareResult(compare_states(before.state, after.state), before, after, Made.now(request.by))


def compare(before: Judgement, after: Judgement) -> Change:
    """What changed between two judgements of one machine; ``verdict`` says whether for the better.

    Raises InconsistentInputs for judgements that are proved not to belong together.
    """
    return compare_states(as_kept(before).state, as_kept(after).state)


def _kept(state: State) -> KeptResult:
    if isinstance(state, Path):
        return read_kept(state)
    return as_kept(judge_photos(replace(state, millimetres=False)).judgement)


def _files(state: State) -> Sequence[Path]:
    return [judgement_path(state)] if isinstance(state, Path) else state.files
