"""One page for a judgement, fit to be sent: the answer on the first screen, everything else folded away below it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.frame import Flank, Made
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Declined, Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.provenance import photo_sources, source_lines, versions_line
from patternscan.reporting.pages.parts import Figure, Picture, Section, WebPage, close_up_picture, photo_picture
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.pictures.annotation import cut_bare, draw_on_photo, draw_unread, group_by_photo
from patternscan.reporting.pictures.bare_flank import flat_image
from patternscan.reporting.pictures.glance_picture import draw_arrow, draw_flank
from patternscan.reporting.text.answers.cure import lacking, resting_on
from patternscan.reporting.text.answers.doubts import doubts_that_matter, forbidding, full_cure, other_doubts
from patternscan.reporting.text.answers.ends import linked_check, touched_words
from patternscan.reporting.text.answers.headline import (
    judgement_headline,
    why_sentence,
)
from patternscan.reporting.text.figures.captions import lightened_lines, tooth_name
from patternscan.reporting.text.figures.figure_words import (
    FLAT_SIGNS,
    PHOTO_SIGNS,
    arrow_words,
    flat_caption,
    flat_words,
    judgement_flank_caption,
    photo_caption,
    photo_words,
    pooled_words,
    unread_words,
)
from patternscan.reporting.text.figures.number_tables import numbers_table, taken_table
from patternscan.reporting.text.findings import APART_CHECKS, apart_checks
from patternscan.reporting.text.reports.about import about_judgement
from patternscan.reporting.text.reports.judgement import IN_ORDER, SHIMS, WAS_READ, judgement_sections, shift_lines
from patternscan.reporting.text.reports.parts import DOUBTS
from patternscan.reporting.text.reports.reading import unjudged_lines
from patternscan.reporting.text.safety import LIMIT
from patternscan.reporting.text.wording import MOVE_WORDS, as_markdown

PHOTO_ANCHOR = "photo-{}"


def judgement_page(judgement: Judgement, made: Made | None = None) -> str:
    """The page as HTML, with everything in it; ``made`` tells when and by whom."""
    return web_page(judgement_content(judgement, made))


def judgement_content(judgement: Judgement, made: Made | None = None, touched_by: str | None = None) -> WebPage:
    """All that the page says, in whatever frame; ``touched_by``: who touched the A in every photo, if anybody did."""
    answer, about = judgement_headline(judgement), about_judgement(judgement, made)
    move = judgement.advice.move
    checks = apart_checks(judgement.advice)
    failed = _failed(judgement)
    untold = () if failed else forbidding(judgement)
    return WebPage(
        title=f"{answer}: {about}" if about else answer,
        answer=f"{answer}.",
        sections=_sections(judgement),
        subject=about,
        checks=_checks(judgement, touched_by),
        lead=failed or _lead(judgement),
        doubts=[*checks, *map(as_markdown, [*untold, *doubts_that_matter(judgement)])],
        closing=LIMIT,
        tone=move.value if move is Move.NOT_BY_SHIM else "",
    )


def _checks(judgement: Judgement, touched_by: str | None) -> list[str]:
    """What to look up before the answer is believed, with links to where the photos stand on the page."""
    readings = [*judgement.left, *judgement.right]
    if judgement.advice.move is Move.CANNOT_SAY:
        return []
    if touched_by is not None and not all(one.ends_by_tag for one in readings):
        return [touched_words(touched_by)]
    asked = [(n, one[0]) for n, one in enumerate(group_by_photo(readings), 1) if not one[0].ends_by_tag]
    return linked_check(judgement, [(one.outline.flank, PHOTO_ANCHOR.format(n)) for n, one in asked])


def _lead(judgement: Judgement) -> list[Figure]:
    """Both flanks and the arrow between them, each with its words above it."""
    pooled = {Flank.LEFT: judgement.comparison.left, Flank.RIGHT: judgement.comparison.right}
    flanks = [
        Figure(
            photo_picture(draw_flank(judgement, flank), pooled_words(flank, one)),
            judgement_flank_caption(judgement, flank),
        )
        for flank, one in pooled.items()
    ]
    move = judgement.advice.move
    return [*flanks, Figure(photo_picture(draw_arrow(move), arrow_words(move)), f"{MOVE_WORDS[move]}.")]


def _failed(judgement: Judgement) -> list[Figure]:
    """The photo whose fault forbids an answer, with what is wrong marked on it; nothing when there is none."""
    faults = resting_on(judgement)
    if judgement.advice.move is not Move.CANNOT_SAY:
        return []
    if not faults:
        return [_unread_figure(one) for one in lacking(judgement) if one.picture is not None]
    readings = [one for one in (*judgement.left, *judgement.right) if one.photo.name == faults[0].photo]
    return (
        [Figure(_on_photo(readings), " ".join([*forbidding(judgement), *lightened_lines(readings)]))]
        if readings
        else []
    )


def _unread_figure(one: Declined) -> Figure:
    """A photo that could not be read, with what was outlined in it."""
    assert one.picture is not None
    words = unread_words(one)
    return Figure(photo_picture(draw_unread(one.picture, one.outlines), words), words)


def _sections(judgement: Judgement) -> list[Section]:
    """What the report says, with tables in place of rows of numbers, then the photos and the sources."""
    readings = [*judgement.left, *judgement.right]
    sections = [Section("Why", [as_markdown(why_sentence(judgement)), *full_cure(judgement)])]
    for title, lines in judgement_sections(judgement).items():
        if title == SHIMS:
            untold = [line for line in lines if line not in (IN_ORDER, *APART_CHECKS)]
            sections[0] = Section(f"Why, and the {SHIMS.lower()}", [*sections[0].lines, *untold])
        elif title == WAS_READ:
            told = [*shift_lines(judgement.comparison), *unjudged_lines(readings)]
            sections.append(Section("The numbers", told, [numbers_table(judgement.comparison)]))
        else:
            sections.append(Section(title, other_doubts(judgement) if title == DOUBTS else lines))
    return [*sections, _photos(judgement, readings), *_grounds(judgement)]


def _photos(judgement: Judgement, readings: Sequence[Reading]) -> Section:
    """The photos with what was read, and the bare flanks; the flanks at a glance too where they do not lead."""
    figures = _lead(judgement) if _failed(judgement) else []
    marked = enumerate(_marked_first(group_by_photo(readings)), 1)
    figures += [_photo_figure(group, first, PHOTO_ANCHOR.format(number)) for number, (group, first) in marked]
    figures += [_unread_figure(one) for one in judgement.declined if one.picture is not None and not _failed(judgement)]
    return Section("Pictures", [PHOTO_SIGNS, FLAT_SIGNS], figures=[*figures, *map(_flat_figure, readings)])


def _marked_first(groups: Sequence[Sequence[Reading]]) -> Iterator[tuple[Sequence[Reading], bool]]:
    """Each photo with whether it is the first one of some flank; only those go on paper."""
    seen: set[Flank] = set()
    for group in groups:
        flanks = {reading.outline.flank for reading in group}
        yield group, not flanks <= seen
        seen |= flanks


def _photo_figure(readings: Sequence[Reading], printed: bool, anchor: str) -> Figure:
    """The photo with what was read; its close-up is the same piece as large as the photo is held, with no drawing."""
    photo = readings[0].photo
    _, bare = photo_words(photo.name, readings)
    close_up = close_up_picture(cut_bare(photo, [reading.outline for reading in readings]), bare)
    return Figure(_on_photo(readings), photo_caption(photo.name, readings), close_up, printed, anchor)


def _on_photo(readings: Sequence[Reading]) -> Picture:
    photo = readings[0].photo
    drawn, _ = photo_words(photo.name, readings)
    return photo_picture(draw_on_photo(photo, readings), drawn)


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
