"""Numbers and directions as a mechanic says them, the same in reports and in pictures."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import percent
from patternscan.judging.advice import Move
from patternscan.judging.change import Verdict
from patternscan.measuring.interval import Interval
from patternscan.measuring.measurement import Measurement
from patternscan.measuring.reading import Reading

MOVE_WORDS = {
    Move.TOWARD_A: "Move the wheel toward end A",
    Move.TOWARD_B: "Move the wheel toward end B",
    Move.STAY: "Leave the wheel where it is",
    Move.CANNOT_SAY: "Cannot say which way to move the wheel",
}
VERDICT_WORDS = {
    Verdict.BETTER: "Better: the pattern came nearer to its place",
    Verdict.WORSE: "Worse: the pattern went further from its place",
    Verdict.NO_DIFFERENCE: "No difference that the photos can show",
    Verdict.NOT_COMPARABLE: "Cannot say whether the pattern got better",
}
NOTEWORTHY_UNJUDGED = 0.05
"""Part of a flank that may go unjudged without a word."""
WHY_UNJUDGED = {
    "glare": "shine",
    "much-glare": "shine",
    "too-bright": "too much light",
    "too-dark": "too little light",
    "far-too-dark": "too little light",
    "cut-off": "the edge of the photo",
    "much-cut-off": "the edge of the photo",
    "covered": "what is in front of it",
    "much-covered": "what is in front of it",
}
"""What takes part of a flank out of sight, by the code of the caution that tells how to retake the photo."""

MARKDOWN_SIGN = re.compile(r"[\\`*\[\]<>]|(?<![^\W_])_|_(?![^\W_])")
"""What Markdown takes for layout; an underscore between two letters is none (CommonMark 0.31, 6.2)."""


def as_markdown(words: str) -> str:
    r"""Words that a person chose (names of photos, machines, teeth), on one line and safe in a Markdown report.

    >>> print(as_markdown("left_flank *2*.jpg"))
    left_flank \*2\*.jpg
    """
    return MARKDOWN_SIGN.sub(r"\\\g<0>", " ".join(words.split()))


def with_range(interval: Interval) -> str:
    """A fraction with its doubt.

    >>> with_range(Interval(0.42, 0.38, 0.47))
    '42 % (38 to 47 %)'
    """
    return f"{percent(interval.value)} ({interval.low * 100:.0f} to {percent(interval.high)})"


def toward_end(shift: float) -> str:
    """A shift along the face with the end it goes toward; positive is toward B.

    >>> toward_end(-0.09)
    '9 % toward end A'
    """
    if percent(shift) == "0 %":
        return "0 %"
    return f"{percent(shift)} toward end {'B' if shift > 0 else 'A'}"


def shift_with_range(shift: Interval) -> str:
    """A shift along the face with its doubt, ends named.

    >>> shift_with_range(Interval(-0.09, -0.13, -0.05))
    '9 % toward end A (5 to 13 %)'
    >>> shift_with_range(Interval(0.01, -0.03, 0.05))
    '1 % toward end B (anything from 3 % toward end A to 5 % toward end B)'
    """
    if shift.holds(0.0):
        return f"{toward_end(shift.value)} (anything from {toward_end(shift.low)} to {toward_end(shift.high)})"
    near, far = sorted((abs(shift.low), abs(shift.high)))
    return f"{toward_end(shift.value)} ({near * 100:.0f} to {percent(far)})"


def unjudged_words(reading: Reading) -> str | None:
    """What could not be judged on a flank, where and why, and how to retake the photo; None when it is little."""
    unjudged = 1 - reading.measurement.judged_fraction
    if unjudged <= NOTEWORTHY_UNJUDGED:
        return None
    why = dict.fromkeys(WHY_UNJUDGED[one.code] for one in reading.cautions if one.code in WHY_UNJUDGED)
    cause = f", because of {' and '.join(why)}" if why else ""
    retake = (
        "what to change stands under the doubts" if why else "move the lamp to the side and keep all in front clear"
    )
    return (
        f"{percent(unjudged)} of the flank could not be judged{_lying(~reading.contact_map.judged)}{cause}. "
        f"The numbers are less sure for it. To see all, take the photo again: {retake}."
    )


def _lying(hidden: NDArray[np.bool_]) -> str:
    """Where the set cells of a rectified flank (rows, cols) lie for the most part; nothing when all over."""
    rows, columns = np.nonzero(hidden)
    if not len(rows):
        return ""
    along, up = (columns.mean() + 0.5) / hidden.shape[1], 1 - (rows.mean() + 0.5) / hidden.shape[0]
    place = [words for words, there in (("end A", along < 0.35), ("end B", along > 0.65)) if there]
    place += [words for words, there in (("the root", up < 0.35), ("the tip", up > 0.65)) if there]
    return f", mostly near {' and '.join(place)}" if place else ""


def place_words(measured: Measurement) -> str:
    """Where the middle of the pattern lies along the face."""
    if measured.along is None:
        return "no contact seen"
    return f"middle of the pattern {with_range(measured.along)} from end A"
