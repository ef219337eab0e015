"""One page for a comparison, fit to be sent: the verdict, the pictures, the numbers before and after, the doubts."""

from __future__ import annotations

from collections.abc import Iterator

from PIL import Image

from patternscan.frame import Flank, Made
from patternscan.judging.change import Change
from patternscan.reporting.documents.kept_result import KeptResult
from patternscan.reporting.documents.provenance import source_lines, versions_line
from patternscan.reporting.pages.parts import Figure, Room, Section, close_up_picture, photo_picture
from patternscan.reporting.pages.web_page import answer_page
from patternscan.reporting.pictures.change_picture import draw_changes
from patternscan.reporting.text.figures.captions import no_picture_lines
from patternscan.reporting.text.figures.figure_words import change_caption, change_words, flat_caption
from patternscan.reporting.text.figures.number_tables import change_tables, marking_table
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.reports.about import about_change
from patternscan.reporting.text.reports.change import change_sections, how_to_read_lines
from patternscan.reporting.text.safety import SAFETY
from patternscan.reporting.text.wording import VERDICT_WORDS, flank_name


def comparison_page(change: Change, before: KeptResult, after: KeptResult, made: Made | None = None) -> str:
    """The page as HTML, with everything in it; ``made`` tells when and by whom."""
    about = about_change(before.state, after.state, made)
    marking = Section("How the photos were taken", tables=[marking_table(before.state, after.state)])
    sections = [*_said(change, before, after), marking, _files(before, after)]
    return answer_page(VERDICT_WORDS[change.verdict], reason_sentence(change.because), about, sections)


def _said(change: Change, before: KeptResult, after: KeptResult) -> Iterator[Section]:
    """Pictures and numbers, then what the report says beside the numbers."""
    figures = [_figure(change, *one) for one in draw_changes(change, before.teeth, after.teeth).items()]
    figures += [*_bare_figures(before, after)] if figures else []
    yield Section("Pictures", no_picture_lines((before.no_pictures, after.no_pictures)), figures=figures)
    yield Section("Before and after", [*how_to_read_lines(change)], [*change_tables(change)])
    told = {"Both flanks together", *(flank_name(flank) for flank in Flank)}
    for title, lines in change_sections(change).items():
        if title not in told:
            yield Section(title, lines)
    yield Section("Safety", SAFETY)


def _figure(change: Change, flank: Flank, image: Image.Image) -> Figure:
    return Figure(photo_picture(image, change_words(change, flank)), change_caption(flank), room=Room.WIDE)


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
