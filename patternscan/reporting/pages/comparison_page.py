"""One page for a comparison, fit to be sent: the verdict, the pictures, the numbers before and after, the doubts."""

from __future__ import annotations

from collections.abc import Iterator

from PIL import Image

from patternscan.frame import Flank
from patternscan.judging.change import BeforeAfter, Change, FlankChange, Verdict
from patternscan.reporting.documents.kept_result import KeptResult
from patternscan.reporting.documents.provenance import source_lines, versions_line
from patternscan.reporting.pages.parts import Figure, Room, Section, Table, WebPage, close_up_picture, photo_picture
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.pictures.change_picture import draw_changes, no_picture_lines
from patternscan.reporting.text.change_report import (
    APART_WORDS,
    PLACE_WORDS,
    change_sections,
    flank_change_lines,
    grown_words,
    how_to_read_lines,
)
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.report import LIMIT, SAFETY
from patternscan.reporting.text.wording import VERDICT_WORDS, as_markdown, shift_with_doubt, with_doubt

HEAD = ("", "Before", "After", "Change")
NO_CHANGE_SAID = "cannot be compared"
NOT_KNOWN = "not known"
SIZES = {
    "coverage": ("Part of the flank touched", "more", "less"),
    "length": ("Length along the face width", "longer", "shorter"),
    "height": ("Height of the pattern", "higher", "lower"),
}
"""What hangs on the film of compound, with the words for growing and shrinking."""

Row = tuple[str, ...]


def comparison_page(change: Change, before: KeptResult, after: KeptResult) -> str:
    """The page as HTML, with everything in it."""
    verdict = VERDICT_WORDS[change.verdict]
    machine = after.state.identity.machine or before.state.identity.machine or ""
    return web_page(
        WebPage(
            title=f"{verdict}: {machine}" if machine else verdict,
            answer=f"{verdict}.",
            sections=[*_said(change, before, after), _taken(before, after), _files(before, after)],
            subject=machine,
            why=f"**Why:** {as_markdown(reason_sentence(change.because))}",
            closing=LIMIT,
        )
    )


def _said(change: Change, before: KeptResult, after: KeptResult) -> Iterator[Section]:
    """Pictures and numbers, then what the report says beside the numbers."""
    figures = [_figure(change, *one) for one in draw_changes(change, before, after).items()]
    figures += [*_bare_figures(before, after)] if figures else []
    yield Section("Pictures", no_picture_lines(before, after), figures=figures)
    yield Section("Before and after", [*how_to_read_lines(change)], [*_tables(change)])
    told = {"Both flanks together", *(f"{flank.value.capitalize()} flank" for flank in Flank)}
    for title, lines in change_sections(change).items():
        if title not in told:
            yield Section(title, lines)
    yield Section("Safety", SAFETY)


def _figure(change: Change, flank: Flank, image: Image.Image) -> Figure:
    name = f"{flank.value.capitalize()} flank"
    words = " ".join(flank_change_lines(change, flank))
    picture = photo_picture(image, f"{name} laid flat before and after, and where contact was gained and lost. {words}")
    caption = f"{name} laid flat: before, after, and where contact was gained and lost. Tip above, end A on the left."
    return Figure(picture, caption, room=Room.WIDE)


def _bare_figures(before: KeptResult, after: KeptResult) -> Iterator[Figure]:
    """The first tooth of each flank before and after without any drawing, each with the photo to look closer."""
    for flank in Flank:
        for state, kept in (("before", before), ("after", after)):
            for tooth in kept.teeth(flank)[:1]:
                name = f"{flank.value.capitalize()} flank {state}, tooth {tooth.tooth}"
                close_up = None
                if tooth.close_up is not None:
                    close_up = close_up_picture(Image.fromarray(tooth.close_up), f"{name}, in the bare photo.")
                words = f"{name}, laid flat without any drawing: tip above, end A on the left."
                yield Figure(photo_picture(Image.fromarray(tooth.flat), words), words, close_up, printed=False)


def _taken(before: KeptResult, after: KeptResult) -> Section:
    """How the flanks were marked; what is not known is said to be."""
    states = before.state, after.state
    rows = (
        ("Way of marking", *(state.marking.value if state.marking else NOT_KNOWN for state in states)),
        ("Compound", *(" and ".join(sorted(state.compounds)) or NOT_KNOWN for state in states)),
        ("Film of compound", *(state.film or "not noted" for state in states)),
    )
    return Section("How the photos were taken", tables=[Table("Marking", HEAD[:3], rows)])


def _tables(change: Change) -> Iterator[Table]:
    pair = [*_pair_rows(change)]
    if pair:
        yield Table("Both flanks together", HEAD, tuple(pair))
    for one in (change.left, change.right):
        if one is not None:
            yield Table(f"{one.flank.value.capitalize()} flank", HEAD, tuple(_flank_rows(one, change)))


def _pair_rows(change: Change) -> Iterator[Row]:
    for name, numbers, words in (
        ("Off their place", change.shared, PLACE_WORDS.get(change.verdict)),
        ("Left against right", change.opposed, APART_WORDS.get(change.opposed_verdict)),
    ):
        if numbers is not None:
            yield name, shift_with_doubt(numbers.before), shift_with_doubt(numbers.after), _went(numbers, words)


def _flank_rows(one: FlankChange, change: Change) -> Iterator[Row]:
    yield _row("Middle of the pattern from end A", one.along, _went(one.along, PLACE_WORDS.get(one.verdict)))
    up = _change_words(one.up, "higher", "lower") if one.verdict is not Verdict.NOT_COMPARABLE else NO_CHANGE_SAID
    yield _row("Middle of the pattern above the root", one.up, up)
    for name, (words, more, less) in SIZES.items():
        numbers: BeforeAfter | None = getattr(one, name)
        if numbers is not None:
            grown = _change_words(numbers, more, less) if change.coverage_comparable else NO_CHANGE_SAID
            yield _row(words, numbers, grown)


def _went(numbers: BeforeAfter, words: str | None) -> str:
    """How far along the face, and what that means; ``words`` None when places cannot be compared."""
    return f"{shift_with_doubt(numbers.change)}: {words}" if words else NO_CHANGE_SAID


def _change_words(numbers: BeforeAfter, more: str, less: str) -> str:
    """What the photos show of a change, always with its doubt."""
    words, change = grown_words(numbers, more, less), numbers.change
    return words if numbers.seen else f"{words} ({change.low * 100:+.0f} to {change.high * 100:+.0f} %)"


def _row(name: str, numbers: BeforeAfter, change: str) -> Row:
    return name, with_doubt(numbers.before), with_doubt(numbers.after), change


def _files(before: KeptResult, after: KeptResult) -> Section:
    """The files that each state rests on, and the versions."""
    named = (("Before", before), ("After", after))
    lines = [f"**{name}:** {line}" for name, one in named for line in source_lines(one.sources)]
    return Section("Files and versions", [*lines, versions_line()], small=True)
