"""One page for a judgement, fit to be sent: the answer, the pictures, the numbers, the doubts, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patternscan.frame import Flank, percent
from patternscan.judging.comparison import Comparison, PooledFlank
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.provenance import photo_sources, source_lines, versions_line
from patternscan.reporting.documents.result import flat_image
from patternscan.reporting.pages.parts import Figure, Room, Section, Table, WebPage, close_up_picture, photo_picture
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.pictures.annotation import annotate, cut_bare, group_by_photo
from patternscan.reporting.pictures.pair_picture import draw_pair
from patternscan.reporting.text.captions import reading_lines
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.report import LIMIT, WAS_READ, judgement_sections, reading_doubt_lines, shift_lines
from patternscan.reporting.text.wording import MOVE_WORDS, as_markdown, with_doubt
from patternscan.seeing.geometry.outline import Outline, OutlineSource
from patternscan.seeing.geometry.pose import PosedFlank

TAKEN_HEAD = ("Flank", "Photo", "Size", "Seen", "Compound", "Way of marking", "Could be judged", "Outline")
NO_READING = "no reading"


def judgement_page(judgement: Judgement) -> str:
    """The page as HTML, with everything in it."""
    answer = MOVE_WORDS[judgement.advice.move]
    return web_page(
        WebPage(
            title=f"{answer}: {judgement.machine}" if judgement.machine else answer,
            answer=f"{answer}.",
            sections=_sections(judgement),
            subject=judgement.machine or "",
            why=f"**Why:** {as_markdown(reason_sentence(judgement.advice.because))}",
            closing=LIMIT,
        )
    )


def _sections(judgement: Judgement) -> list[Section]:
    """What the report says, with pictures after the shims, tables in place of rows of numbers, and the sources."""
    readings = [*judgement.left, *judgement.right]
    sections = []
    for title, lines in judgement_sections(judgement).items():
        if title == WAS_READ:
            doubts = [*shift_lines(judgement.comparison), *reading_doubt_lines(readings)]
            sections += [_pictures(judgement), Section(title, doubts, [_numbers(judgement.comparison)])]
        else:
            sections.append(Section(title, lines))
    return [*sections, *_grounds(judgement)]


def _pictures(judgement: Judgement) -> Section:
    readings = [*judgement.left, *judgement.right]
    words = " ".join(_flank_words(flank, pooled) for flank, pooled in _flanks(judgement.comparison))
    pair = photo_picture(
        draw_pair(judgement), f"Both flanks laid flat, end A on the left. {words} {_arrow_words(judgement)}"
    )
    caption = f"Both flanks laid flat: tip above, end A on the left. {_arrow_words(judgement)}"
    photos = [_photo_figure(group, first) for group, first in _marked_first(group_by_photo(readings))]
    return Section("Pictures", figures=[Figure(pair, caption, room=Room.TALL), *map(_flat_figure, readings), *photos])


def _arrow_words(judgement: Judgement) -> str:
    words = MOVE_WORDS[judgement.advice.move]
    return f"The wheel from above: {words[:1].lower()}{words[1:]}."


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
    piece = cut_bare(photo, [reading.outline for reading in readings])
    words = ". ".join(reading_lines(readings))
    return Figure(
        photo_picture(annotate(photo, readings), f"The photo {photo.name} with what was read drawn on it. {words}."),
        f"{photo.name}, with what was read drawn on it.",
        close_up_picture(piece, f"The same piece of {photo.name}, bare. {words}."),
        printed=printed,
    )


def _flat_figure(reading: Reading) -> Figure:
    outline = reading.outline
    name = f"{outline.flank.value.capitalize()} flank, tooth {outline.tooth}, laid flat without any drawing"
    words = reading_lines([reading])[1]
    return Figure(
        photo_picture(flat_image(reading), f"{name}, tip above and end A on the left. {words}."),
        f"{name}: tip above, end A on the left.",
        printed=False,
    )


def _flanks(comparison: Comparison) -> tuple[tuple[Flank, PooledFlank | None], ...]:
    return (Flank.LEFT, comparison.left), (Flank.RIGHT, comparison.right)


def _flank_words(flank: Flank, pooled: PooledFlank | None) -> str:
    if pooled is None:
        return f"{flank.value.capitalize()} flank: {NO_READING}."
    return (
        f"{flank.value.capitalize()} flank: middle of the pattern {with_doubt(pooled.along)} from end A, touched "
        f"{with_doubt(pooled.coverage)} of the flank."
    )


def _numbers(comparison: Comparison) -> Table:
    """The numbers of both flanks side by side."""
    columns = [_column(comparison.left, comparison.target.left), _column(comparison.right, comparison.target.right)]
    rows = [(name, columns[0][name], columns[1][name]) for name in columns[0]]
    return Table("Numbers of both flanks", ("", "Left flank", "Right flank"), tuple(rows))


def _column(pooled: PooledFlank | None, target: float) -> dict[str, str]:
    names = {
        "Middle of the pattern from end A": "along",
        "Middle of the pattern above the root": "up",
        "Part of the flank touched": "coverage",
        "Length along the face width": "length",
        "Height of the pattern": "height",
    }
    numbers = {name: with_doubt(getattr(pooled, key)) if pooled else NO_READING for name, key in names.items()}
    spread = percent(pooled.spread) if pooled and pooled.spread is not None else "only one tooth"
    return {
        "Target from end A": percent(target),
        **numbers,
        "Teeth read": str(pooled.teeth if pooled else 0),
        "Difference between teeth": spread if pooled else NO_READING,
    }


def _grounds(judgement: Judgement) -> list[Section]:
    """How the photos were taken, and the files and versions that the answer rests on."""
    readings, film = [*judgement.left, *judgement.right], judgement.film
    noted = f"Film of compound, as noted: {as_markdown(film)}." if film else "Film of compound: not noted."
    taken = Table("Each flank that was read", TAKEN_HEAD, tuple(map(_taken, readings)))
    sources = source_lines(photo_sources(reading.photo for reading in readings))
    return [
        Section("How the photos were taken", [noted], [taken] if readings else []),
        Section("Files and versions", [*sources, versions_line()], small=True),
    ]


def _outlined(outline: Outline) -> str:
    """Where an outline comes from, in words."""
    if outline.source is OutlineSource.FOUND:
        return f"found by the tool, {percent(outline.confidence)} sure"
    return "given by a person" + (", then pulled onto the edges" if outline.source is OutlineSource.FITTED else "")


def _taken(reading: Reading) -> tuple[str, ...]:
    photo, outline, found = reading.photo, reading.outline, reading.contact_map
    seen = "not known"
    if isinstance(reading.flank_map, PosedFlank):
        seen = f"{reading.flank_map.pose.off_square_deg:.0f} degrees off square"
    return (
        f"{outline.flank.value.capitalize()}, tooth {outline.tooth}",
        photo.name,
        f"{photo.width_px} x {photo.height_px} pixels",
        seen,
        found.compound.value,
        found.marking.value,
        percent(reading.measurement.judged_fraction),
        _outlined(outline),
    )
