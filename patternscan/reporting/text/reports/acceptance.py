"""The class of a published table in the words of the workshop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patternscan.judging.acceptance import Acceptance, AcceptanceTable, FlankClass
from patternscan.reporting.text.wording import as_markdown, flank_name, with_range

OUTRANKED = "The limits in the maker's manual outrank this table."
TITLES: Mapping[str, str] = {"jgma-1002": "JGMA 1002-01 (2003), worm wheels"}
SCOPES: Mapping[str, str] = {
    "jgma-1002": "It speaks of length and height of tooth contact on assembled gears, not of the place of the pattern."
}
SOURCES: Mapping[str, str] = {"jgma-1002": "KHK gear guide, table 8.4, which quotes the standard."}
"""Title, scope and source of each table by its name."""
MEASURED_AS = (
    "Length and height are the parts of face width and flank height over which the pattern reaches, gaps taken out; a "
    "slanting pattern reaches higher than it is thick."
)
FILM_COUNTS = "A thicker film makes a larger pattern and a better class: compare classes only between equal films."


def acceptance_section(acceptance: Acceptance | None) -> dict[str, Sequence[str]]:
    """The section of a report on the chosen table; none when no table was chosen."""
    if acceptance is None:
        return {}
    return {f"By the table {TITLES[acceptance.name]}": acceptance_lines(acceptance)}


def acceptance_lines(acceptance: Acceptance) -> list[str]:
    """The class of each flank and of both, then what the table does not say."""
    table = acceptance.table
    return [
        f"{_both(acceptance)}.",
        *(_flank_line(table, one) for one in acceptance.flanks),
        f"Film of compound, as noted: {as_markdown(acceptance.film)}. {FILM_COUNTS}",
        MEASURED_AS,
        SCOPES[acceptance.name],
        f"Source of the numbers: {SOURCES[acceptance.name]}",
        OUTRANKED,
    ]


def _both(acceptance: Acceptance) -> str:
    if not acceptance.complete:
        return "Both flanks together: no class, because a flank was not read"
    return f"Both flanks together: {_named(acceptance.table, acceptance.reached)}, the worse of the two flanks"


def _flank_line(table: AcceptanceTable, one: FlankClass) -> str:
    ends = [_named(table, name) for name in dict.fromkeys((one.at_worst, one.at_best))]
    within = f"Within the range of the reading it may be anything from {ends[0]} to {ends[-1]}."
    return (
        f"{flank_name(one.flank)}: length {with_range(one.length)} of the face width, "
        f"{_named(table, one.by_length)}; height {with_range(one.height)} of the flank, "
        f"{_named(table, one.by_height)}; "
        f"the worse of the two counts: {_named(table, one.reached)}.{f' {within}' if len(ends) > 1 else ''}"
    )


def _named(table: AcceptanceTable, name: str | None) -> str:
    return f"class {name}" if name is not None else f"below class {table.limits[-1].name}"
