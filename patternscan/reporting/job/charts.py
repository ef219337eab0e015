"""The charts of a job: how the pattern moved from trial to trial, and the last readings against the maker's limits."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.reporting.job.record import JobRecord, TrialShown
from patternscan.reporting.pictures.charts import (
    Chart,
    LimitRow,
    ShiftMark,
    chart_of_limits,
    chart_over_shims,
    chart_over_trials,
)
from patternscan.reporting.text.job.pattern import shift_words
from patternscan.reporting.text.job.readings import against_limit_words
from patternscan.reporting.text.job.words import CHECKS
from patternscan.setting.state.checks import MEASURED, limit_of
from patternscan.units import length_words

OVER_TRIALS = (
    "How far off its place the pattern lay, trial by trial. Dots: both flanks together; squares: the flanks against "
    "each other; the pale band is not worth a move"
)
OVER_SHIMS = "The same over the shims added under the carrier since as found; the number is the trial"
LIMITS = "Last readings (dark; hollow where they count no more) and the maker's limits (pale band)"


def shift_charts(record: JobRecord) -> tuple[Chart, ...]:
    """Shared and opposed shift over the trials, and over the shims when two packs were tried; none without trials."""
    read = [trial for trial in record.trials if trial.shown.pattern.shared is not None]
    packed = [(trial, trial.added_mm) for trial in read if trial.added_mm is not None]
    charts = []
    if read:
        words = (f"{trial.name}: {shift_words(trial.shown.pattern)}" for trial in read)
        marks = [_mark(trial, trial.number) for trial in read]
        charts.append(chart_over_trials(marks, OVER_TRIALS, " ".join(words)))
    if len({added for _, added in packed}) > 1:
        words = (
            f"{length_words(mm)} added, trial {one.number}: {shift_words(one.shown.pattern)}" for one, mm in packed
        )
        marks = [_mark(trial, added) for trial, added in packed]
        charts.append(chart_over_shims(marks, OVER_SHIMS, " ".join(words)))
    return tuple(charts)


def _mark(trial: TrialShown, place: float) -> ShiftMark:
    pattern = trial.shown.pattern
    assert pattern.shared is not None
    return ShiftMark(trial.number, place, pattern.shared, pattern.opposed)


def limit_chart(record: JobRecord) -> tuple[Chart, ...]:
    """The last readings of end play and backlash against the maker's limits; none without readings."""
    rows = list(_rows(record))
    if not rows:
        return ()
    words = (against_limit_words(row.name, row.readings_mm, row.counts, row.limit) for row in rows)
    return (chart_of_limits(rows, LIMITS, " ".join(words)),)


def _rows(record: JobRecord) -> Iterator[LimitRow]:
    for check in MEASURED:
        current = record.state.current_readings[check]
        if current.readings_mm:
            limit = limit_of(check, record.sheet)
            yield LimitRow(CHECKS[check].name, tuple(current.readings_mm), current.counts, limit)
