"""One page for a judgement, fit to be sent: the answer, the pictures, the numbers, the doubts, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.frame import Flank, Made
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.provenance import photo_sources, source_lines, versions_line
from patternscan.reporting.pages.parts import Figure, Room, Section, close_up_picture, photo_picture
from patternscan.reporting.pages.web_page import answer_page
from patternscan.reporting.pictures.annotation import annotate, cut_bare, group_by_photo
from patternscan.reporting.pictures.bare_flank import flat_image
from patternscan.reporting.pictures.pair_picture import draw_pair
from patternscan.reporting.text.figures.captions import tooth_name
from patternscan.reporting.text.figures.figure_words import (
    flat_caption,
    flat_words,
    pair_caption,
    pair_words,
    photo_caption,
    photo_words,
)
from patternscan.reporting.text.figures.number_tables import numbers_table, taken_table
from patternscan.reporting.text.reports.about import about_judgement
from patternscan.reporting.text.reports.answer import judgement_headline, why_sentence
from patternscan.reporting.text.reports.judgement import WAS_READ, judgement_sections, shift_lines
from patternscan.reporting.text.reports.reading import unjudged_lines
from patternscan.reporting.text.wording import as_markdown


def judgement_page(judgement: Judgement, made: Made | None = None) -> str:
    """The page as HTML, with everything in it; ``made`` tells when and by whom."""
    about = about_judgement(judgement, made)
    tone = judgement.advice.move.value if judgement.advice.move is Move.NOT_BY_SHIM else ""
    return answer_page(judgement_headline(judgement), why_sentence(judgement), about, _sections(judgement), tone)


def _sections(judgement: Judgement) -> list[Section]:
    """What the report says, with pictures after the shims, tables in place of rows of numbers, and the sources."""
    readings = [*judgement.left, *judgement.right]
    sections = []
    for title, lines in judgement_sections(judgement).items():
        if title == WAS_READ:
            doubts = [*shift_lines(judgement.comparison), *unjudged_lines(readings)]
            sections += [_pictures(judgement), Section(title, doubts, [numbers_table(judgement.comparison)])]
        else:
            sections.append(Section(title, lines))
    return [*sections, *_grounds(judgement)]


def _pictures(judgement: Judgement) -> Section:
    readings = [*judgement.left, *judgement.right]
    move = judgement.advice.move
    pair = photo_picture(draw_pair(judgement), pair_words(judgement.comparison, move))
    photos = [_photo_figure(group, first) for group, first in _marked_first(group_by_photo(readings))]
    figures = [Figure(pair, pair_caption(move), room=Room.TALL), *map(_flat_figure, readings), *photos]
    return Section("Pictures", figures=figures)


def _marked_first(groups: Sequence[Sequence[Reading]]) -> Iterator[tuple[Sequence[Reading], bool]]:
    """Each photo with whether it is the first one of some flank; only those go on paper."""
    seen: set[Flank] = set()
    for group in groups:
        flanks = {reading.outline.flank for reading in group}
        yield group, not flanks <= seen
        seen |= flanks


def _photo_figure(readings: Sequence[Reading], printed: bool) -> Figure:
    """The annotated photo; its close-up is the same piece at the photo's own size, without any drawing."""
    photo = readings[0].photo
    drawn, bare = photo_words(photo.name, readings)
    return Figure(
        photo_picture(annotate(photo, readings), drawn),
        photo_caption(photo.name),
        close_up_picture(cut_bare(photo, [reading.outline for reading in readings]), bare),
        printed=printed,
    )


def _flat_figure(reading: Reading) -> Figure:
    picture = photo_picture(flat_image(reading), flat_words(reading))
    return Figure(picture, flat_caption(tooth_name(reading)), printed=False)


def _grounds(judgement: Judgement) -> list[Section]:
    """How the photos were taken, and the files and versions that the answer rests on."""
    readings, film = [*judgement.left, *judgement.right], judgement.film
    noted = f"Film of compound, as noted: {as_markdown(film)}." if film else "Film of compound: not noted."
    sources = source_lines(photo_sources(reading.photo for reading in readings))
    return [
        Section("How the photos were taken", [noted], [taken_table(readings)] if readings else []),
        Section("Files and versions", [*sources, versions_line()], small=True),
    ]
