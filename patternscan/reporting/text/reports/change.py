"""Two states of a machine side by side, in the words of the workshop: whether it got better, by how much, how sure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from patternscan.frame import Flank, percent
from patternscan.judging.states.verdict import Verdict
from patternscan.reporting.text.cautions import caution_lines, caution_messages
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.reports.parts import (
    DOUBTS,
    IN_PERCENT,
    NUMBER_NAMES,
    reference_lines,
    report_text,
    section_lines,
)
from patternscan.reporting.text.safety import LIMIT, safety_lines
from patternscan.reporting.text.wording import as_markdown, flank_name, shift_with_range, verdict_words, with_range

if TYPE_CHECKING:
    from patternscan.judging.states.change import BeforeAfter, Change, FlankChange
    from patternscan.measuring.interval import Interval

NOT_SHOWN = "no difference that the photos can show"
PLACE_WORDS = {
    Verdict.BETTER: "nearer to its place",
    Verdict.WORSE: "further from its place",
    Verdict.NO_DIFFERENCE: NOT_SHOWN,
}
"""What a verdict says of one flank."""
APART_WORDS = {
    Verdict.BETTER: "the flanks pull apart less",
    Verdict.WORSE: "the flanks pull apart more",
    Verdict.NO_DIFFERENCE: NOT_SHOWN,
}
"""What a verdict says of left against right."""
HIGHER = ("of the flank higher", "of the flank lower")
MORE = ("of the flank more", "of the flank less")
LONGER = ("of the face width longer", "of the face width shorter")
"""What follows a change in percent: a part of the flank, never a part of what was there before."""
ASKED = "visit-asked"
"""The caution that asks before the verdict is believed."""


def change_report(change: Change, pictures: Sequence[str] = (), about: str = "") -> str:
    """The report on one machine before and after a move; ``pictures`` says what pictures there are, or why none.

    ``about`` tells machine, date and marking.
    """
    lines = [f"# {verdict_words(change)}", ""]
    lines += [as_markdown(about), ""] if about else []
    lines += [*safety_lines(), ""]
    lines += [line for asked in asked_lines(change) for line in (asked, "")]
    lines += [f"**Why:** {as_markdown(reason_sentence(change.because))}"]
    for title, entries in change_sections(change).items():
        lines += section_lines(title, entries)
    lines += section_lines("Pictures", pictures)
    return report_text([*lines, "", LIMIT])


def change_sections(change: Change) -> dict[str, Sequence[str]]:
    """What there is to say under each heading, in their order; nothing to say under some of them."""
    return {
        "Both flanks together": [*_pair_lines(change)],
        **{flank_name(flank): [*flank_change_lines(change, flank)] for flank in Flank},
        "What cannot be compared": [as_markdown(reason_sentence(one)) for one in change.why],
        DOUBTS: doubt_lines(change),
    }


def asked_lines(change: Change) -> list[str]:
    """What only a person at the machine can tell, to be answered before the verdict is believed."""
    told = caution_messages([one for one in change.cautions if one.code == ASKED])
    return [f"**First:** {as_markdown(message)} {as_markdown(remedy)}" for message, remedy in told.items()]


def doubt_lines(change: Change) -> list[str]:
    """All other doubts, with what to do about them."""
    return caution_lines([one for one in change.cautions if one.code != ASKED])


def flank_change_lines(change: Change, flank: Flank) -> Iterator[str]:
    """One line for each number of a flank; coverage, length and height only when they can be compared."""
    one = change.left if flank is Flank.LEFT else change.right
    if one is None:
        yield "No pattern on one of the two sides, so there is nothing to compare."
        return
    place = one.verdict is not Verdict.NOT_COMPARABLE
    yield _line("along", one.along, _moved(one) if place else "")
    yield _line("up", one.up, grown_words(one.up, *HIGHER) if place else "")
    if change.coverage_comparable:
        yield _line("coverage", one.coverage, grown_words(one.coverage, *MORE))
        if one.length is not None:
            yield _line("length", one.length, grown_words(one.length, *LONGER))
        if one.height is not None:
            yield _line("height", one.height, grown_words(one.height, *HIGHER))


def _pair_lines(change: Change) -> Iterator[str]:
    if change.shared is None:
        yield "Not both flanks were read both times, so nothing can be said of the pair."
    if change.shared is not None:
        words = [_toward(change.shared.change)] if change.shared.seen and change.position_comparable else []
        words += [PLACE_WORDS[change.verdict]] if change.verdict in PLACE_WORDS else []
        yield f"{'; '.join([_shifts('Off their place', change.shared), *([', '.join(words)] if words else [])])}."
    if change.opposed is not None:
        shown = APART_WORDS.get(change.opposed_verdict)
        yield f"{_shifts('Left flank against right flank', change.opposed)}{f'; {shown}' if shown else ''}."
    yield from how_to_read_lines(change)


def how_to_read_lines(change: Change) -> Iterator[str]:
    """Against which target, and what the numbers are percent of; nothing where there are no numbers."""
    yield from reference_lines(change.target)
    if change.shared is not None or change.left is not None or change.right is not None:
        yield IN_PERCENT


def _shifts(name: str, numbers: BeforeAfter) -> str:
    return f"{name}: {shift_with_range(numbers.before)} before, {shift_with_range(numbers.after)} after"


def _line(key: str, numbers: BeforeAfter, words: str) -> str:
    said = f"; {words}" if words else ""
    return f"{NUMBER_NAMES[key]}: {with_range(numbers.before)} before, {with_range(numbers.after)} after{said}."


def _moved(one: FlankChange) -> str:
    """Where the middle went, and whether that was the right way."""
    place = PLACE_WORDS.get(one.verdict)
    if not one.along.seen:
        return NOT_SHOWN
    return f"{_toward(one.along.change)}" + (f", {place}" if place and one.verdict is not Verdict.NO_DIFFERENCE else "")


def _toward(change: Interval) -> str:
    return f"it went {shift_with_range(change)}"


def grown_words(numbers: BeforeAfter, more: str, less: str) -> str:
    """How much larger or smaller in points of percent, with the uncertainty of both sides."""
    if not numbers.seen:
        return NOT_SHOWN
    change = numbers.change
    near, far = sorted((abs(change.low), abs(change.high)))
    return f"{percent(change.value)} {more if change.value > 0 else less} ({near * 100:.0f} to {percent(far)})"
