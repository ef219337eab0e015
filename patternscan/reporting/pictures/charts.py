"""Charts: how a pattern moved over trials and over shims, and readings against their limits.

Drawn with matplotlib's own objects, in greys and shapes that survive any printer; no text of a person goes in.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.style import context
from matplotlib.ticker import MaxNLocator

from patternscan.calibration.judging import SMALLEST_SHIFT
from patternscan.measuring.interval import Interval
from patternscan.reporting.text.job.readings import NO_LIMIT
from patternscan.setting.machine.sheet import Limit
from patternscan.units import MM_PER_INCH

DARK, MIDDLE, PALE = "#101418", "#6a7077", "#d9dde1"
SHIFT_MM = (93.0, 70.0, (22.0, 4.0, 9.0, 13.0))
LIMITS_MM = (37.0, 4.0, 9.0, 12.0)
"""Width, height and margins of the charts of shifts; margins of the chart of limits."""
LETTERS_PT = 10.0
"""On a phone 360 px wide a chart is so large that these are 12 px high."""
NUMBER_PT, NEAR = 11.0, (0.06, 0.14)
"""Height of a trial's number beside its mark; marks so near one another, in parts of the axes, stack their numbers."""
LARGEST = 1e4
PRINT_DPI = 300
"""What desk printers print (common practice)."""
LETTERS_A_LINE = 17
"""Longest line of a name beside the chart of limits."""
STYLE: Any = {
    "text.usetex": False,
    "font.family": ["DejaVu Sans"],
    "font.size": LETTERS_PT,
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


@dataclass(frozen=True, slots=True)
class ShiftMark:
    """A trial in a chart of shifts: its number, its place across (a number or mm of shims), and what was read."""

    number: int
    place: float
    shared: Interval
    opposed: Interval | None


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A row of the chart of limits: the last readings in mm, whether they still count, and the maker's limit."""

    name: str
    readings_mm: tuple[float, ...]
    counts: bool
    limit: Limit | None


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


def chart_over_trials(trials: Sequence[ShiftMark], caption: str, words: str) -> Chart:
    """Both shifts over the numbers of the trials."""

    def draw(axes: Axes) -> None:
        _draw_shifts(axes, trials, 0.06)
        axes.set_xticks([trial.number for trial in trials])
        axes.set_xlabel("Trial")
        axes.set_xlim(trials[0].number - 0.5, trials[-1].number + 0.5)

    return Chart(caption, words, *SHIFT_MM, draw)


def chart_over_shims(trials: Sequence[ShiftMark], caption: str, words: str) -> Chart:
    """Both shifts over mm of shims; at least two of the places must differ."""
    held = [replace(trial, place=_held(trial.place)) for trial in trials]

    def draw(axes: Axes) -> None:
        least, most = min(trial.place for trial in held), max(trial.place for trial in held)
        room = 0.15 * (most - least)
        _draw_shifts(axes, held, room / 12)
        axes.set_xlim(least - room, most + room)
        _number_marks(axes, held, room / 12)
        axes.set_xlabel("Shims added, mm (inch above)")
        _inches_above(axes)

    return Chart(caption, words, *SHIFT_MM, draw)


def chart_of_limits(rows: Sequence[LimitRow], caption: str, words: str) -> Chart:
    """Readings against limits, one row for each check."""
    held = [replace(row, readings_mm=tuple(map(_held, row.readings_mm))) for row in rows]
    return Chart(caption, words, 93, 22 + 9 * len(rows), LIMITS_MM, lambda axes: _draw_limits(axes, held))


def _number_marks(axes: Axes, trials: Sequence[ShiftMark], apart: float) -> None:
    """The number of each trial beside its mark, above those of marks that are near, with room for it above."""
    low, high = axes.get_ylim()
    axes.set_ylim(low, high + 0.12 * (high - low))
    marks = [(trial.place - apart, _held(trial.shared.value) * 100) for trial in trials]
    on_axes = [axes.transLimits.transform(mark) for mark in marks]
    for number, (mark, (x, y)) in enumerate(zip(marks, on_axes, strict=True)):
        near = sum(abs(x - other) < NEAR[0] and abs(y - level) < NEAR[1] for other, level in on_axes[:number])
        words = str(trials[number].number)
        axes.annotate(words, mark, (5, 3 + NUMBER_PT * near), textcoords="offset points")


def _draw_shifts(axes: Axes, trials: Sequence[ShiftMark], apart: float) -> None:
    """Both shifts with their doubt as bars; the pale band is what is not worth a move."""
    band = SMALLEST_SHIFT * 100
    axes.axhspan(-band, band, color=PALE, zorder=0)
    axes.axhline(0, color=DARK, linewidth=0.7, zorder=1)
    shared = [(trial.place - apart, trial.shared) for trial in trials]
    opposed = [(trial.place + apart, trial.opposed) for trial in trials if trial.opposed is not None]
    _draw_series(axes, shared, DARK, "o")
    _draw_series(axes, opposed, MIDDLE, "s")
    low, high = axes.get_ylim()
    axes.set_ylim(min(low, -2 * band), max(high, 2 * band))
    axes.yaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 5, 10], integer=True))
    axes.set_ylabel("% of the face width\n(up = toward end B)")


def _draw_series(axes: Axes, points: Sequence[tuple[float, Interval]], tone: str, marker: str) -> None:
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
        zorder=3,
    )


def _draw_limits(axes: Axes, rows: Sequence[LimitRow]) -> None:
    for place, row in enumerate(rows):
        _draw_reading(axes, place, row)
    axes.set_xlim(0, max(0.01, *map(_reach_mm, rows)))
    axes.set_yticks(range(len(rows)), [textwrap.fill(row.name, LETTERS_A_LINE) for row in rows])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlabel("mm (inch above)")
    _inches_above(axes)


def _reach_mm(row: LimitRow) -> float:
    """How far the axis has to go; the words beside a reading without a limit take three quarters of it."""
    largest = max(row.readings_mm)
    return 4.0 * largest if row.limit is None else 1.08 * max(largest, row.limit.most_mm)


def _draw_reading(axes: Axes, place: int, row: LimitRow) -> None:
    readings, limit = row.readings_mm, row.limit
    if limit is None:
        axes.annotate(NO_LIMIT, (max(readings), place), (6, -3), textcoords="offset points", size=9)
    else:
        axes.barh(place, limit.most_mm - limit.least_mm, 0.6, limit.least_mm, color=PALE, edgecolor=MIDDLE, zorder=1)
    axes.plot([min(readings), max(readings)], [place, place], color=DARK, linewidth=1.2, zorder=2)
    face = DARK if row.counts else "white"
    axes.plot(readings, [place] * len(readings), "o", color=DARK, markerfacecolor=face, markersize=4.5, zorder=3)


def _inches_above(axes: Axes) -> None:
    inches = axes.secondary_xaxis("top", functions=(_to_inch, _to_mm))
    inches.xaxis.set_major_locator(MaxNLocator(5))


def _held(number: float) -> float:
    """The number within what can be drawn; only a log written by hand holds larger ones."""
    return min(max(number, -LARGEST), LARGEST)


def _to_inch(mm: Any) -> Any:
    """Numbers or arrays, as matplotlib hands them over."""
    return mm / MM_PER_INCH


def _to_mm(inch: Any) -> Any:
    return inch * MM_PER_INCH
