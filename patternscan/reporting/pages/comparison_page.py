"""One page for a comparison, fit to be sent: the verdict, the pictures, the numbers before and after, the doubts."""

from __future__ import annotations

from collections.abc import Iterator

from PIL import Image

from patternscan.frame import Flank, Made
from patternscan.judging.states.change import Change
from patternscan.reporting.documents.provenance import source_lines, versions_line
from patternscan.reporting.kept.result import KeptResult
from patternscan.reporting.pages.parts import Figure, Section, WebPage, close_up_picture, photo_picture
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.pictures.change_picture import draw_states
from patternscan.reporting.text.answers.doubts import MOST_DOUBTS
from patternscan.reporting.text.answers.ends import STATES_CHECK
from patternscan.reporting.text.figures.captions import no_picture_lines
from patternscan.reporting.text.figures.figure_words import (
    CHANGE_KEY,
    CHANGE_SIGNS,
    FLAT_SIGNS,
    change_words,
    flat_caption,
)
from patternscan.reporting.text.figures.number_tables import change_tables, marking_table
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.reports.about import about_change
from patternscan.reporting.text.reports.change import asked_lines, change_sections, doubt_lines, how_to_read_lines
from patternscan.reporting.text.reports.parts import DOUBTS
from patternscan.reporting.text.safety import LIMIT, SAFETY
from patternscan.reporting.text.wording import as_markdown, flank_name, verdict_words


def comparison_page(change: Change, before: KeptResult, after: KeptResult, made: Made | None = None) -> str:
    """The page as HTML, with everything in it; ``made`` tells when and by whom."""
    return web_page(comparison_content(change, before, after, made))


def comparison_content(
    change: Change, before: KeptResult, after: KeptResult, made: Made | None = None, *, touched: bool = False
) -> WebPage:
    """All that the page says, in whatever frame; ``touched``: a person touched the A in every photo."""
    about = about_change(before.state, after.state, made)
    marking = Section("How the photos were taken", tables=[marking_table(before.state, after.state)])
    answer, why = verdict_words(change), f"**Why:** {as_markdown(reason_sentence(change.because))}"
    return WebPage(
        title=f"{answer}: {about}" if about else answer,
        answer=f"{answer}.",
        sections=[*_said(change, before, after), marking, _files(before, after)],
        subject=about,
        checks=[*asked_lines(change), why, *([] if touched else [STATES_CHECK])],
        legend=CHANGE_KEY,
        lead=[figures[-1] for figures in _figures(change, before, after)],
        doubts=doubt_lines(change)[:MOST_DOUBTS],
        closing=LIMIT,
    )


def _said(change: Change, before: KeptResult, after: KeptResult) -> Iterator[Section]:
    """Numbers and pictures, then what the report says beside the numbers."""
    yield Section("The numbers before and after", [*how_to_read_lines(change)], [*change_tables(change)])
    figures = [one for both in _figures(change, before, after) for one in both[:-1]]
    figures += [*_bare_figures(before, after)] if figures else []
    signs = [CHANGE_SIGNS, FLAT_SIGNS] if figures else []
    yield Section("Pictures", [*no_picture_lines((before.no_pictures, after.no_pictures)), *signs], figures=figures)
    told = {"Both flanks together", *(flank_name(flank) for flank in Flank)}
    for title, lines in change_sections(change).items():
        if title not in told:
            yield Section(title, lines[MOST_DOUBTS:] if title == DOUBTS else lines)
    yield Section("Safety", SAFETY)


def _figures(change: Change, before: KeptResult, after: KeptResult) -> Iterator[list[Figure]]:
    """Of each flank that both states show: before, after, and what changed."""
    for flank in Flank:
        if before.teeth(flank) and after.teeth(flank):
            drawn = draw_states(change, flank, before.teeth(flank), after.teeth(flank))
            words = change_words(change, flank)
            yield [
                Figure(photo_picture(image, words), f"{flank_name(flank)}. {title}.") for title, image in drawn.items()
            ]


def _bare_figures(before: KeptResult, after: KeptResult) -> Iterator[Figure]:
    """The first tooth of each flank before and after without any drawing, each with the photo to look closer."""
    for flank in Flank:
        for state, kept in (("before", before), ("after", after)):
            for tooth in kept.teeth(flank)[:1]:
                name = f"{flank_name(flank)} {state}, tooth {tooth.tooth}"
                close_up = None
                if tooth.close_up is not None:
                    close_up = close_up_picture(Image.fromarray(tooth.close_up), f"{name}, in the bare photo.")
                words = flat_caption(name)
                yield Figure(photo_picture(Image.fromarray(tooth.flat), words), words, close_up, printed=False)


def _files(before: KeptResult, after: KeptResult) -> Section:
    """The files that each state rests on, and the versions."""
    named = (("Before", before), ("After", after))
    lines = [f"**{name}:** {line}" for name, one in named for line in source_lines(one.sources)]
    return Section("Files and versions", [*lines, versions_line()], small=True)
