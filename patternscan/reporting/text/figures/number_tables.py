"""The tables of a judgement and of a comparison: numbers of both flanks, before and after, and how they were taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.frame import Flank, percent
from patternscan.judging.comparison import Comparison, PooledFlank
from patternscan.judging.states.change import BeforeAfter, Change, FlankChange
from patternscan.judging.states.judged_state import JudgedState
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.reports.change import APART_WORDS, PLACE_WORDS, grown_words
from patternscan.reporting.text.reports.parts import NUMBER_NAMES
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.wording import PRINT_ON, flank_name, shift_with_range, sure_words, with_range
from patternscan.seeing.geometry.outline import Outline, OutlineSource

GROWN = {"coverage": ("more", "less"), "length": ("longer", "shorter"), "height": ("higher", "lower")}
"""What hangs on the film of compound, with the words for growing and shrinking."""
TAKEN_HEAD = ("Flank", "Photo", "Size", "Seen", "Compound", "Way of marking", "Could be judged", "Outline")
CHANGE_HEAD = ("", "Before", "After", "Change")
NO_READING, NOT_KNOWN, NO_CHANGE_SAID = "no reading", "not known", "cannot be compared"

Row = tuple[str, ...]


def numbers_table(comparison: Comparison) -> Table:
    """The numbers of both flanks side by side."""
    left = _column(comparison.left, comparison.target.left)
    right = _column(comparison.right, comparison.target.right)
    rows = tuple((name, left[name], right[name]) for name in left)
    return Table("Numbers of both flanks", ("", "Left flank", "Right flank"), rows)


def _column(pooled: PooledFlank | None, target: float) -> dict[str, str]:
    numbers = {name: with_range(getattr(pooled, key)) if pooled else NO_READING for key, name in NUMBER_NAMES.items()}
    spread = percent(pooled.spread) if pooled and pooled.spread is not None else "only one tooth"
    return {
        "Target from end A": percent(target),
        **numbers,
        "Teeth read": str(pooled.teeth if pooled else 0),
        "Difference between teeth": spread if pooled else NO_READING,
    }


def taken_table(readings: Sequence[Reading]) -> Table:
    """How each flank was photographed and marked; teeth of one photo in one row, which says what they differ in."""
    teeth: dict[tuple[Flank, int], list[Reading]] = {}
    for reading in readings:
        teeth.setdefault((reading.outline.flank, id(reading.photo)), []).append(reading)
    return Table("Each flank that was read", TAKEN_HEAD, tuple(map(_taken, teeth.values())))


def _taken(teeth: Sequence[Reading]) -> Row:
    names = [one.outline.tooth for one in teeth]
    told = zip(*map(_taken_cells, teeth), strict=True)
    return (_teeth_name(teeth[0].outline.flank, names), *(_told_of_teeth(cells, names) for cells in told))


def _teeth_name(flank: Flank, names: Sequence[str]) -> str:
    *first, last = names
    several = f"teeth {', '.join(first)} and {last}" if first else f"tooth {last}"
    return f"{flank.value.capitalize()}, {several}"


def _told_of_teeth(cells: Sequence[str], names: Sequence[str]) -> str:
    """What is told of all teeth once, else each with its tooth."""
    if len(set(cells)) == 1:
        return cells[0]
    return ", ".join(f"{told} (tooth {name})" for told, name in zip(cells, names, strict=True))


def _taken_cells(reading: Reading) -> Row:
    photo, found = reading.photo, reading.contact_map
    seen = NOT_KNOWN
    if reading.flank_map.pose is not None:
        seen = f"{reading.flank_map.pose.off_square_deg:.0f} degrees off square"
    return (
        photo.name,
        f"{photo.width_px} x {photo.height_px} pixels",
        seen,
        found.compound.value,
        found.marking.value,
        percent(reading.measurement.judged_fraction),
        _outlined(reading.outline),
    )


def _outlined(outline: Outline) -> str:
    """Where an outline comes from, in words."""
    if outline.source is OutlineSource.FOUND:
        return f"found by the tool, {sure_words(outline.confidence)}"
    if outline.lift is not None:
        return f"frame round the {PRINT_ON[outline.lift.medium]}, given by a person"
    return "given by a person" + (", then pulled onto the edges" if outline.pulled else "")


def marking_table(before: JudgedState, after: JudgedState) -> Table:
    """How the flanks were marked; what is not known is said to be."""
    states = before, after
    rows = (
        ("Way of marking", *(state.marking.value if state.marking else NOT_KNOWN for state in states)),
        ("Compound", *(" and ".join(sorted(state.compounds)) or NOT_KNOWN for state in states)),
        ("Film of compound", *(state.film or "not noted" for state in states)),
    )
    return Table("Marking", CHANGE_HEAD[:3], rows)


def change_tables(change: Change) -> Iterator[Table]:
    """Both flanks together, then each flank, before and after."""
    pair = tuple(_pair_rows(change))
    if pair:
        yield Table("Both flanks together", CHANGE_HEAD, pair)
    for one in (change.left, change.right):
        if one is not None:
            yield Table(flank_name(one.flank), CHANGE_HEAD, tuple(_flank_rows(one, change)))


def _pair_rows(change: Change) -> Iterator[Row]:
    for name, numbers, words in (
        ("Off their place", change.shared, PLACE_WORDS.get(change.verdict)),
        ("Left against right", change.opposed, APART_WORDS.get(change.opposed_verdict)),
    ):
        if numbers is not None:
            yield name, shift_with_range(numbers.before), shift_with_range(numbers.after), _went(numbers, words)


def _flank_rows(one: FlankChange, change: Change) -> Iterator[Row]:
    yield _row("along", one.along, _went(one.along, PLACE_WORDS.get(one.verdict)))
    placed = one.verdict is not Verdict.NOT_COMPARABLE
    yield _row("up", one.up, _change_words(one.up, "higher", "lower") if placed else NO_CHANGE_SAID)
    for key, words in GROWN.items():
        numbers: BeforeAfter | None = getattr(one, key)
        if numbers is not None:
            yield _row(key, numbers, _change_words(numbers, *words) if change.coverage_comparable else NO_CHANGE_SAID)


def _went(numbers: BeforeAfter, words: str | None) -> str:
    """How far along the face, and what that means; ``words`` None when places cannot be compared."""
    return f"{shift_with_range(numbers.change)}: {words}" if words else NO_CHANGE_SAID


def _change_words(numbers: BeforeAfter, more: str, less: str) -> str:
    """What the photos show of a change, always with its range."""
    words, change = grown_words(numbers, more, less), numbers.change
    return words if numbers.seen else f"{words} ({change.low * 100:+.0f} to {change.high * 100:+.0f} %)"


def _row(key: str, numbers: BeforeAfter, change: str) -> Row:
    return NUMBER_NAMES[key], with_range(numbers.before), with_range(numbers.after), change
