"""What every report is made of: headings with lists, doubts with what to do."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval
from patternscan.reporting.text.wording import as_markdown, with_range

DOUBTS = "Doubts, and what to do"
NUMBER_NAMES = {
    "along": "Middle of the pattern from end A",
    "up": "Middle of the pattern above the root",
    "coverage": "Part of the flank touched",
    "length": "Length along the face width",
    "height": "Height of the pattern",
}
"""What the numbers of a flank are called."""
IN_PERCENT = "Places are in percent of the face width; in brackets what holds in 9 cases out of 10."


def report_text(lines: Sequence[str]) -> str:
    """The lines of a report as one text."""
    return "\n".join(lines) + "\n"


def section_lines(title: str, entries: Sequence[str]) -> list[str]:
    """A heading with a list under it, nothing when there is nothing to list."""
    return ["", f"## {title}", "", *(f"- {entry}" for entry in entries)] if entries else []


def reference_lines(target: Target) -> list[str]:
    """In one sentence, which pattern was the target and how well it is known; nothing without a reference."""
    if target.reference is None:
        return []
    left, right = Interval.around(target.left, target.left_doubt), Interval.around(target.right, target.right_doubt)
    return [
        f"The target is not the middle but the pattern of the reference {as_markdown(target.reference)}: "
        f"{with_range(left)} from end A on the left flank, {with_range(right)} on the right flank. "
        "Its own uncertainty is counted in."
    ]
