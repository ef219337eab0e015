"""Charts of a job: how the pattern moved over the trials and over the shims, and the readings against the limits.

Drawn with matplotlib's own objects, in greys and shapes that survive any printer; no text of a person goes in.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.style import context
from matplotlib.ticker import MaxNLocator

from patternscan.calibration import SMALLEST_SHIFT
from patternscan.measuring.interval import Interval
from patternscan.reporting.job.record import JobRecord, TrialShown
from patternscan.reporting.text.job_readings import NO_LIMIT
from patternscan.reporting.text.job_words import CHECKS, span_words
from patternscan.reporting.text.wording import shift_with_range
from patternscan.setting.machine.sheet import Limit
from patternscan.setting.state.checks import MEASURED, limit_of
from patternscan.units import MM_PER_INCH, length_words

DARK, MIDDLE, PALE = "#101418", "#6a7077", "#d9dde1"
SHARED, OPPOSED = "both flanks together", "flanks against each other"
SHIFT_MM = (93.0, 72.0, (19.0, 3.0, 8.0, 20.0))
LIMITS_MM = (30.0, 4.0, 8.0, 10.0)
"""Width, height and margins of the charts of shifts; margins of the chart of limits."""
NUMBER_PT, NEAR = 9.0, (0.06, 0.12)
"""Height of a trial's number beside its mark; marks so near one another, in parts of the axes, stack their numbers."""
LARGEST = 1e4
PRINT_DPI = 300
"""What desk printers print (common practice)."""
LETTERS_A_LINE = 17
"""Longest line of a name beside the chart of limits."""
STYLE: Any = {
    "text.usetex": False,
    "font.family": ["DejaVu Sans"],
    "font.size": 8.0,
    "axes.linewidth": 0.7,
    "axes.edgecolor": DARK,
    "svg.fonttype": "path",
    "svg.hashsalt": "patternscan",
}


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart: ``caption`` above or below it, ``words`` with all its numbers, size on paper, and what draws it.

    ``margins_mm`` are left, right, top and bottom, outside of the axes but within the size.
    """

    caption: str
    words: str
    width_mm: float
    height_mm: float
    margins_mm: tuple[float, float, float, float]
    draw: Callable[[Axes], None]


def chart_svg(chart: Chart) -> bytes:
    """The chart alone as SVG, letters as outlines, always the same for the same numbers."""
    return _saved(chart, format="svg", metadata={"Date": None, "Creator": None})


def chart_png(chart: Chart) -> bytes:
    """The chart alone as PNG in greys, fine enough for paper."""
    return _saved(chart, format="png", dpi=PRINT_DPI, metadata={"Software": None})


def draw_chart(chart: Chart) -> Figure:
    """The chart at its size, whatever matplotlib is set up for on this computer."""
    (left, right, top, bottom), width, height = chart.margins_mm, chart.width_mm, chart.height_mm
    with context(STYLE, after_reset=True):
        figure = Figure(figsize=(width / MM_PER_INCH, height / MM_PER_INCH))
        box = (left / width, bottom / height, 1 - (left + right) / width, 1 - (top + bottom) / height)
        chart.draw(figure.add_axes(box))
    return figure


def _saved(chart: Chart, **options: Any) -> bytes:
    memory = io.BytesIO()
    with context(STYLE, after_reset=True):
        draw_chart(chart).savefig(memory, **options)
    return memory.getvalue()


def shift_charts(record: JobRecord) -> tuple[Chart, ...]:
    """Shared and opposed shift over the trials, and over the shims when two packs were tried; none without trials."""
    read = [trial for trial in record.trials if trial.shown.pattern.shared is not None]
    charts = [_over_trials(read)] if read else []
    packs = {trial.added_mm for trial in read if trial.added_mm is not None}
    if len(packs) > 1:
        charts.append(_over_shims([trial for trial in read if trial.added_mm is not None]))
    return tuple(charts)


def limit_chart(record: JobRecord) -> tuple[Chart, ...]:
    """The last readings of end play and backlash against the maker's limits; none without readings."""
    rows = list(_readings(record))
    if not rows:
        return ()
    caption = "Last readings (dark; hollow where they count no more) and the maker's limits (pale band)"
    words = " ".join(map(_reading_words, rows))
    return (Chart(caption, words, 93, 22 + 9 * len(rows), LIMITS_MM, lambda axes: _draw_limits(axes, rows)),)


def _over_trials(trials: Sequence[TrialShown]) -> Chart:
    words = " ".join(f"{trial.name}: {_shift_words(trial)}" for trial in trials)

    def draw(axes: Axes) -> None:
        _draw_shifts(axes, trials, [float(trial.number) for trial in trials], 0.06)
        axes.set_xticks([trial.number for trial in trials])
        axes.set_xlabel("Trial")
        axes.set_xlim(trials[0].number - 0.5, trials[-1].number + 0.5)

    return Chart("How far off its place the pattern lay, trial by trial", words, *SHIFT_MM, draw)


def _over_shims(trials: Sequence[TrialShown]) -> Chart:
    places = [_held(trial.added_mm or 0.0) for trial in trials]
    words = " ".join(
        f"{length_words(place)} added, trial {trial.number}: {_shift_words(trial)}"
        for place, trial in zip(places, trials, strict=True)
    )

    def draw(axes: Axes) -> None:
        room = 0.15 * (max(places) - min(places))
        _draw_shifts(axes, trials, places, room / 12)
        axes.set_xlim(min(places) - room, max(places) + room)
        _number_marks(axes, trials, [place - room / 12 for place in places])
        axes.set_xlabel("Shims added since as found, mm (inch above)")
        _inches_above(axes)

    return Chart("The same over the shims under the carrier; the small number is the trial", words, *SHIFT_MM, draw)


def _number_marks(axes: Axes, trials: Sequence[TrialShown], places: Sequence[float]) -> None:
    """The number of each trial beside its mark, above those of marks that are near, with room for it above."""
    low, high = axes.get_ylim()
    axes.set_ylim(low, high + 0.12 * (high - low))
    marks = [(place, _held(_shared(trial).value) * 100) for place, trial in zip(places, trials, strict=True)]
    on_axes = [axes.transLimits.transform(mark) for mark in marks]
    for number, (mark, (x, y)) in enumerate(zip(marks, on_axes, strict=True)):
        near = sum(abs(x - other) < NEAR[0] and abs(y - level) < NEAR[1] for other, level in on_axes[:number])
        words = str(trials[number].number)
        axes.annotate(words, mark, (5, 3 + NUMBER_PT * near), textcoords="offset points")


def _shared(trial: TrialShown) -> Interval:
    shared = trial.shown.pattern.shared
    assert shared is not None
    return shared


def _shift_words(trial: TrialShown) -> str:
    opposed = trial.shown.pattern.opposed
    against = "" if opposed is None else f", left against right {shift_with_range(opposed)}"
    return f"together {shift_with_range(_shared(trial))}{against}."


def _draw_shifts(axes: Axes, trials: Sequence[TrialShown], places: Sequence[float], apart: float) -> None:
    """Both shifts with their doubt as bars; the pale band is what is not worth a move."""
    band = SMALLEST_SHIFT * 100
    axes.axhspan(-band, band, color=PALE, zorder=0)
    axes.axhline(0, color=DARK, linewidth=0.7, zorder=1)
    opposed = [(place, trial.shown.pattern.opposed) for place, trial in zip(places, trials, strict=True)]
    shared = [(place - apart, _shared(trial)) for place, trial in zip(places, trials, strict=True)]
    _draw_series(axes, shared, SHARED, DARK, "o")
    _draw_series(axes, [(place + apart, one) for place, one in opposed if one is not None], OPPOSED, MIDDLE, "s")
    low, high = axes.get_ylim()
    axes.set_ylim(min(low, -2 * band), max(high, 2 * band))
    axes.yaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 5, 10], integer=True))
    axes.set_ylabel("Percent of the face width\n(up = toward end B)")
    legend = axes.legend(fontsize=7, frameon=False, ncols=2, columnspacing=1.0, handletextpad=0.3, loc="upper center")
    legend.set_bbox_to_anchor((0.5, -0.28), axes.transAxes)


def _draw_series(axes: Axes, points: Sequence[tuple[float, Interval]], name: str, tone: str, marker: str) -> None:
    if not points:
        return
    values = [_held(shift.value) * 100 for _, shift in points]
    below = [(_held(shift.value) - _held(shift.low)) * 100 for _, shift in points]
    above = [(_held(shift.high) - _held(shift.value)) * 100 for _, shift in points]
    face = tone if marker == "o" else "white"
    axes.errorbar(
        [place for place, _ in points],
        values,
        yerr=[below, above],
        fmt=marker,
        color=tone,
        markerfacecolor=face,
        markersize=4.5,
        capsize=3,
        linewidth=1.1,
        label=name,
        zorder=3,
    )


@dataclass(frozen=True, slots=True)
class _Reading:
    """A row of the chart of limits: the last readings in mm, whether they still count, and the maker's limit."""

    name: str
    readings_mm: tuple[float, ...]
    counts: bool
    limit: Limit | None


def _readings(record: JobRecord) -> Iterator[_Reading]:
    for check in MEASURED:
        current = record.state.current_readings[check]
        if current.readings_mm:
            readings = tuple(_held(reading) for reading in current.readings_mm)
            yield _Reading(CHECKS[check].name, readings, current.counts, limit_of(check, record.sheet))


def _reading_words(row: _Reading) -> str:
    counts = "" if row.counts else ", counts no more"
    limit = NO_LIMIT if row.limit is None else f"maker's limit {span_words((row.limit.least_mm, row.limit.most_mm))}"
    return f"{row.name}: {span_words(row.readings_mm)}{counts}, {limit}."


def _draw_limits(axes: Axes, rows: Sequence[_Reading]) -> None:
    for place, row in enumerate(rows):
        _draw_reading(axes, place, row)
    axes.set_xlim(0, max(0.01, *map(_reach_mm, rows)))
    axes.set_yticks(range(len(rows)), [textwrap.fill(row.name, LETTERS_A_LINE) for row in rows])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlabel("mm (inch above)")
    _inches_above(axes)


def _reach_mm(row: _Reading) -> float:
    """How far the axis has to go; the words beside a reading without a limit take half of it."""
    largest = max(row.readings_mm)
    return 2.1 * largest if row.limit is None else 1.08 * max(largest, row.limit.most_mm)


def _draw_reading(axes: Axes, place: int, row: _Reading) -> None:
    readings, limit = row.readings_mm, row.limit
    if limit is None:
        axes.annotate(NO_LIMIT, (max(readings), place), (6, -3), textcoords="offset points", size=7)
    else:
        axes.barh(place, limit.most_mm - limit.least_mm, 0.6, limit.least_mm, color=PALE, edgecolor=MIDDLE, zorder=1)
    axes.plot([min(readings), max(readings)], [place, place], color=DARK, linewidth=1.2, zorder=2)
    face = DARK if row.counts else "white"
    axes.plot(readings, [place] * len(readings), "o", color=DARK, markerfacecolor=face, markersize=4.5, zorder=3)


def _inches_above(axes: Axes) -> None:
    inches = axes.secondary_xaxis("top", functions=(_to_inch, _to_mm))
    inches.xaxis.set_major_locator(MaxNLocator(5))
    inches.tick_params(labelsize=7)


def _held(number: float) -> float:
    """The number within what can be drawn; only a log written by hand holds larger ones."""
    return min(max(number, -LARGEST), LARGEST)


def _to_inch(mm: Any) -> Any:
    """Numbers or arrays, as matplotlib hands them over."""
    return mm / MM_PER_INCH


def _to_mm(inch: Any) -> Any:
    return inch * MM_PER_INCH
