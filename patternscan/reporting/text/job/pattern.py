"""A pattern of a job in words: what was advised from it, how it was taken, its numbers, and what trials taught."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.calibration.judging import SAME_PACK_MM
from patternscan.frame import End, Flank, percent
from patternscan.judging.advice import Move, ShimRule
from patternscan.judging.trials.response import Response
from patternscan.measuring.interval import Interval
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.figures.number_tables import NO_READING
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.reports.about import with_media
from patternscan.reporting.text.reports.parts import NUMBER_NAMES
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.wording import MOVE_WORDS, as_markdown, flank_name, shift_with_range, with_range
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.pattern_parts import FlankPrint
from patternscan.units import fine_length_words, length_words

ENDS = {Move.TOWARD_A: End.A, Move.TOWARD_B: End.B}


def entry_sentence(entry: Entry) -> str:
    """What happened, with the number of the entry."""
    return f"{as_markdown(event_sentence(entry.event))} (Entry {entry.number}.)"


def pattern_lines(pattern: Pattern, rule: ShimRule | None) -> Iterator[str]:
    """What was advised, under which carrier to add or remove, and how far the pattern was off."""
    yield f"**Advised:** {MOVE_WORDS[pattern.move]}{_shims_words(pattern, rule)}."
    if pattern.shared is not None:
        yield f"Both flanks together were off their target by {shift_with_range(pattern.shared)}."
    if pattern.opposed is not None:
        yield f"Against each other the left flank lay {shift_with_range(pattern.opposed)}, the right opposite."


def _shims_words(pattern: Pattern, rule: ShimRule | None) -> str:
    """Which shims move the wheel there, as far as the sheet's rule tells, and the first step where one was told."""
    if pattern.move not in ENDS:
        return ""
    much = "" if pattern.step_mm is None else f"{fine_length_words(pattern.step_mm)} of "
    if rule is None:
        return f", with {much}shims as a first step" if much else ""
    way = "add" if rule.adding_moves_toward is ENDS[pattern.move] else "remove"
    return f": {way} {much}shims under the carrier at end {rule.carrier}{', as a first step' if much else ''}"


def shift_words(pattern: Pattern) -> str:
    """Both shifts of a pattern of which both flanks were read."""
    assert pattern.shared is not None
    against = "" if pattern.opposed is None else f", left against right {shift_with_range(pattern.opposed)}"
    return f"together {shift_with_range(pattern.shared)}{against}."


def taken_sentence(pattern: Pattern, by: str | None) -> str:
    """How the pattern was marked, and what and who read it."""
    compounds = " and ".join(pattern.compounds)
    film = "" if pattern.film is None else f", film: {pattern.film}"
    reader = "" if by is None else f" by {by}"
    marked = with_media(f"Marked {compounds}, {pattern.marking}{film}", pattern.media)
    return as_markdown(f"{marked}. Read with {pattern.tool}{reader}.")


def added_words(added_mm: float) -> str:
    """Shims against as found.

    >>> added_words(0.12), added_words(0.0)
    ('0.12 mm (0.005 in) more than as found', 'as found')
    """
    if abs(added_mm) <= SAME_PACK_MM:
        return "as found"
    return f"{fine_length_words(abs(added_mm))} {'more' if added_mm > 0 else 'less'} than as found"


def print_words(numbers: FlankPrint | None) -> str:
    """Place and size of the pattern of one flank."""
    if numbers is None:
        return "No reading."
    place, touched = with_range(numbers.along), with_range(numbers.coverage)
    return f"Middle of the pattern {place} from end A, touched {touched} of the flank."


def pattern_table(pattern: Pattern) -> Table:
    """The numbers of both flanks side by side."""
    target, prints = pattern.target, (pattern.left, pattern.right)
    rows = [
        ("Target from end A", percent(target.left), percent(target.right)),
        *((name, *(_number(one, key) for one in prints)) for key, name in NUMBER_NAMES.items()),
        ("Teeth read", *(str(0 if one is None else one.teeth) for one in prints)),
    ]
    return Table("In brackets what holds in 9 cases out of 10", ("", *map(flank_name, Flank)), tuple(rows))


def _number(numbers: FlankPrint | None, key: str) -> str:
    return NO_READING if numbers is None else with_range(getattr(numbers, key))


def learned_lines(response: Response, trials: Sequence[int]) -> Iterator[str]:
    """What shims did on this machine, by the numbers of the trials that show it."""
    effect = response.effect_per_mm
    per_tenth = Interval(effect.value / 10, effect.low / 10, effect.high / 10)
    yield (
        f"By trials {', '.join(map(str, trials))} of this very machine, {length_words(0.1)} more of shims move the "
        f"pattern {shift_with_range(per_tenth)}."
    )
    if response.wrong_way is not None:
        yield as_markdown(f"{caution_message(response.wrong_way)} {caution_remedy(response.wrong_way)}")
