"""Numbers and directions as a mechanic says them, the same in reports and in pictures, and sentences with gaps."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from string import Formatter
from typing import TYPE_CHECKING, Any

from patternscan.calibration.judging import SAME_PACK_MM
from patternscan.cautions import Statement
from patternscan.frame import Flank, Medium, percent
from patternscan.handles import Handle, named
from patternscan.judging.advice import Move
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.interval import Interval
from patternscan.plain_text import one_line
from patternscan.units import count_words, fine_length_words

if TYPE_CHECKING:
    from patternscan.judging.states.change import Change
    from patternscan.measuring.measurement import Measurement

MOVE_WORDS = {
    Move.TOWARD_A: "Move the wheel toward end A",
    Move.TOWARD_B: "Move the wheel toward end B",
    Move.STAY: "Leave the wheel where it is",
    Move.CANNOT_SAY: "Cannot say which way to move the wheel",
    Move.NOT_BY_SHIM: "Do not shim: the flanks pull to opposite ends",
}
VERDICT_WORDS = {
    Verdict.BETTER: "Better: the pattern came nearer to its place",
    Verdict.WORSE: "Worse: the pattern went further from its place",
    Verdict.NO_DIFFERENCE: "No difference that the photos can show",
    Verdict.NOT_COMPARABLE: "Cannot say whether the pattern got better",
}
IF_ONE_MACHINE = {
    Verdict.BETTER: "Better, if both results are of one machine: the pattern came nearer to its place",
    Verdict.WORSE: "Worse, if both results are of one machine: the pattern went further from its place",
}


def verdict_words(change: Change) -> str:
    """The verdict, without a full stop; not firm where nothing tells that the machine is the same."""
    untold = any(caution.code == "machine-untold" for caution in change.cautions)
    return (IF_ONE_MACHINE if untold else {}).get(change.verdict, VERDICT_WORDS[change.verdict])


MARKDOWN_SIGN = re.compile(r"[\\`*\[\]<>]|(?<![^\W_])_|_(?![^\W_])")
"""What Markdown takes for layout; an underscore between two letters is none (CommonMark 0.31, 6.2)."""


def as_markdown(words: str) -> str:
    r"""Words that a person chose (names of photos, machines, teeth), on one line and safe in a Markdown report.

    >>> print(as_markdown("left_flank *2*.jpg"))
    left_flank \*2\*.jpg
    """
    return MARKDOWN_SIGN.sub(r"\\\g<0>", one_line(words))


def listed(names: Sequence[str]) -> str:
    """Names in a row, with "and" before the last.

    >>> listed(["one", "two", "three"])
    'one, two and three'
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def flank_name(flank: Flank) -> str:
    """A flank at the beginning of a line.

    >>> flank_name(Flank.LEFT)
    'Left flank'
    """
    return f"{flank.value.capitalize()} flank"


def with_range(interval: Interval) -> str:
    """A fraction with its range.

    >>> with_range(Interval(0.42, 0.38, 0.47))
    '42 % (38 to 47 %)'
    """
    return f"{percent(interval.value)} ({interval.low * 100:.0f} to {percent(interval.high)})"


def sure_words(confidence: float) -> str:
    """How sure the tool is of what it found; it is never wholly so.

    >>> sure_words(0.82), sure_words(1.0)
    ('82 % sure', 'over 99 % sure')
    """
    return "over 99 % sure" if confidence > 0.99 else f"{percent(confidence)} sure"


def toward_end(shift: float) -> str:
    """A shift along the face with the end it goes toward; positive is toward B.

    >>> toward_end(-0.09)
    '9 % toward end A'
    """
    if percent(shift) == "0 %":
        return "0 %"
    return f"{percent(shift)} toward end {'B' if shift > 0 else 'A'}"


def shift_with_range(shift: Interval) -> str:
    """A shift along the face with its range, ends named.

    >>> shift_with_range(Interval(-0.09, -0.13, -0.05))
    '9 % toward end A (5 to 13 %)'
    >>> shift_with_range(Interval(0.01, -0.03, 0.05))
    '1 % toward end B (anything from 3 % toward end A to 5 % toward end B)'
    """
    if shift.holds(0.0):
        return f"{toward_end(shift.value)} (anything from {toward_end(shift.low)} to {toward_end(shift.high)})"
    near, far = sorted((abs(shift.low), abs(shift.high)))
    return f"{toward_end(shift.value)} ({near * 100:.0f} to {percent(far)})"


def place_words(measured: Measurement) -> str:
    """Where the middle of the pattern lies along the face."""
    if measured.along is None:
        return "no contact seen"
    return f"middle of the pattern {with_range(measured.along)} from end A"


PRINT_ON = {Medium.FLANK: "", Medium.TAPE: "tape lift", Medium.PAPER: "paper print"}
"""What was photographed, where it was not the flank itself."""
MARKED = {"transfer": "printed by the worm", "rub-off": "painted and rubbed off"}


def off_words(shift: float) -> str:
    """A shift along the face, toward B when positive, as so much off."""
    words = toward_end(shift)
    return f"{words} off" if words == "0 %" else words


def pack_words(shim_mm: float) -> str:
    """Shims against those as found."""
    if abs(shim_mm) <= SAME_PACK_MM:
        return "the shims as found"
    return f"{fine_length_words(abs(shim_mm))} {'more' if shim_mm > 0 else 'less'} than as found"


def gone_words(answer: int | None) -> str:
    """What became of a job's entry that no longer counts, by the answer that did it; None where it was struck."""
    return "struck out" if answer is None else f"does not count, by entry {answer}"


def change_words(step_mm: float) -> str:
    """A change of shims, more when positive."""
    return f"{'Add' if step_mm > 0 else 'Remove'} {fine_length_words(round(abs(step_mm), 6))}"


FORMS: Mapping[str, Callable[[Any], str]] = {
    "percent": percent,
    "whole": lambda share: f"{share * 100:.0f}",
    "tenth": lambda number: f"{number:.1f}",
    "tenths": lambda share: f"{share * 100:.1f} %",
    "other_end": lambda end: "B" if end == "A" else "A",
    "off": off_words,
    "machines": lambda count: count_words(count, "machine"),
    "marked": MARKED.__getitem__,
    "fine": lambda length_mm: fine_length_words(abs(length_mm)),
    "pack": pack_words,
    "change": change_words,
    "gone": gone_words,
    "visit": {"before": "earlier", "after": "later"}.__getitem__,
}
"""What may stand after the colon of a gap: in which words a value is put there."""


AT = "at_"


class _Gaps(Formatter):
    def __init__(self, forms: Mapping[str, Callable[[Any], str]]) -> None:
        self.forms = forms

    def get_value(self, key: int | str, args: Sequence[Any], kwargs: Mapping[str, Any]) -> Any:
        handle = str(key).removeprefix(AT)
        return Handle(handle) if handle != key else super().get_value(key, args, kwargs)

    def format_field(self, value: Any, form: str) -> str:
        if isinstance(value, Handle):
            return named(value, form)
        return self.forms[form](value) if form else str(value)


def filled(template: str, statement: Statement, forms: Mapping[str, Callable[[Any], str]] = FORMS) -> str:
    """The template with its gaps filled from the statement's values, worded by ``forms``.

    A gap that begins with ``AT`` is a handle, by its name at the door; after the colon stand an entry's words.
    Raises KeyError for a gap that the statement has no value for, or a form that there is none of.
    """
    return _Gaps(forms).vformat(template, (), dict(statement.values))
