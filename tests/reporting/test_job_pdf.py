"""The record as a PDF: real words on numbered sheets that lie within A4 and Letter, whatever the names."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib import rc_context
from pypdf import PdfReader

from patternscan.reporting.job.chapters import chapters
from patternscan.reporting.job.pdf import SIDE_PT, job_pdf
from patternscan.reporting.job.pdf_words import LACKING, WIDTH_PT, column_widths, drawable, table, width_pt
from patternscan.reporting.job.record import gather_record
from patternscan.reporting.text.table import Table
from patternscan.setting.log.events import Event, Note
from patternscan.units import MM_PER_INCH
from tests.reporting.jobs import HOSTILE, MADE_AT, SAMPLE, hostile_events, made_job
from tests.setting.job_entries import FOUND, WORM_PLAY

A4_MM, LETTER_MM = (210.0, 297.0), (8.5 * MM_PER_INCH, 11 * MM_PER_INCH)
"""ISO 216 and ANSI Y14.1."""
LEAST_MARGIN_MM = 5.0
"""What desk printers leave white (common practice)."""
MM = 72 / MM_PER_INCH
"""Points in a mm: PDF counts 72 to the inch (ISO 32000-1, 8.3.2.3)."""
UMLAUTS = "Größe geprüft: Øster Ærø, Łódź, Ελλάδα, Привет, µ ≤ ½"
FOOT_MM = 18.0
"""The number of the sheet stands in so much of its foot."""


def read(pdf: bytes) -> PdfReader:
    """Strict: whatever is not as the standard wants it ends the test."""
    return PdfReader(io.BytesIO(pdf), strict=True)


def words(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in read(pdf).pages).split())


def heights_mm(page: Any) -> list[float]:
    """How far above the foot of the sheet each line of words stands, the number of the sheet left out."""
    found: list[float] = []

    def visit(text: str, moved: list[float], matrix: list[float], *_: Any) -> None:
        if text.strip():
            found.append((moved[5] + matrix[5]) / MM)

    page.extract_text(visitor_text=visit)
    return [height for height in found if height > FOOT_MM - 1]


@pytest.fixture(scope="module")
def sample() -> bytes:
    return job_pdf(gather_record(SAMPLE, MADE_AT))


def test_the_print_area_lies_within_a4_and_letter(sample: bytes) -> None:
    _, _, *sheet = map(float, read(sample).pages[0].mediabox)
    for paper in (A4_MM, LETTER_MM):
        assert (paper[0] - WIDTH_PT / MM) / 2 >= LEAST_MARGIN_MM
        assert sheet[1] / MM <= paper[1] + 1e-3
    assert pytest.approx(190.0) == WIDTH_PT / MM
    assert pytest.approx(sheet[0]) == 2 * SIDE_PT + WIDTH_PT


def test_every_sheet_has_that_size(sample: bytes) -> None:
    expected = [0.0, 0.0, 210 * MM, 279.4 * MM]
    for page in read(sample).pages:
        assert [float(side) for side in page.mediabox] == pytest.approx(expected, abs=0.01)


def test_how_matplotlib_is_set_up_on_a_computer_makes_no_difference(sample: bytes) -> None:
    own = {"savefig.bbox": "tight", "figure.autolayout": True, "font.size": 30.0, "axes.facecolor": "red"}
    with rc_context(rc=own):  # type: ignore[arg-type, unused-ignore]
        assert job_pdf(gather_record(SAMPLE, MADE_AT)) == sample


def test_it_says_on_several_sheets_with_its_own_letters_what_the_page_says(sample: bytes) -> None:
    assert 5 <= len(read(sample).pages) <= 9
    assert b"/FontFile2" in sample  # TrueType letters, ISO 32000-1, 9.9
    found = re.sub(r"\s", "", words(sample))
    for chapter in chapters(gather_record(SAMPLE, MADE_AT)):
        cells = [cell for table in chapter.tables for row in table.rows for cell in row]
        captions = [*(one.caption for one in chapter.plates), *(one.caption for one in chapter.charts)]
        for said in (chapter.title, *cells, *captions, *(line.replace("**", "") for line in chapter.lines)):
            assert re.sub(r"\s", "", said) in found


def test_its_sheets_are_numbered_and_its_chapters_are_bookmarks(sample: bytes) -> None:
    reader = read(sample)
    titles = [one.title for one in chapters(gather_record(SAMPLE, MADE_AT))]
    marks: list[Any] = reader.outline
    assert [mark.title for mark in marks] == titles
    for number, page in enumerate(reader.pages, 1):
        assert f"{number} of {len(reader.pages)}" in " ".join(page.extract_text().split())
    for mark in marks:
        assert mark.title in reader.pages[reader.get_destination_page_number(mark) or 0].extract_text()


def test_its_pictures_and_charts_are_there(sample: bytes) -> None:
    record = gather_record(SAMPLE, MADE_AT)
    asked = sum(len(one.plates) + len(one.charts) for one in chapters(record))
    drawn = [image for page in read(sample).pages for image in page.images]
    assert asked == 4 + 8 + 3
    assert len(drawn) >= asked - 2  # as left is the last trial: two pictures are drawn twice and kept once


def test_its_title_and_date_are_those_of_the_record(sample: bytes) -> None:
    about = read(sample).metadata
    assert about is not None
    assert about.title == "Goods lift, north shaft (invented): setting job, record of 2026-03-04"
    assert about.creation_date == MADE_AT


@pytest.mark.parametrize("events", [[], [WORM_PLAY], FOUND, [*FOUND, Note(UMLAUTS)], [Note("oil")] * 90])
def test_no_sheet_is_near_empty(tmp_path: Path, events: list[Event]) -> None:
    """Every sheet but the last is filled to two thirds, and the last to a quarter; its body is 241 mm high."""
    pages = read(job_pdf(gather_record(made_job(tmp_path, events, by="Jörg Übermäßig"), MADE_AT))).pages
    lowest = [min(heights_mm(page)) for page in pages]
    assert all(low < FOOT_MM + 241 / 3 for low in lowest[:-1])
    assert lowest[-1] < FOOT_MM + 241 * 3 / 4


def test_nothing_stands_below_or_above_the_print_area(sample: bytes) -> None:
    for page in read(sample).pages:
        assert min(heights_mm(page)) >= FOOT_MM
        assert max(heights_mm(page)) <= 279.4 - 12


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_breaks_it(tmp_path: Path, name: str) -> None:
    pdf = job_pdf(gather_record(made_job(tmp_path, hostile_events(name), by=name), MADE_AT))
    assert len(read(pdf).pages) >= 2
    found = re.sub(r"\s", "", words(pdf))
    if name.isascii():
        assert re.sub(r"\s", "", f"Signed off by {name}") in found
    else:  # words from right to left are handed back in an order of the reader's own
        assert set(re.sub(r"\s", "", drawable(name))) - {"\u202e"} <= set(found)


def test_a_note_longer_than_a_sheet_goes_on_the_next(tmp_path: Path) -> None:
    short = read(job_pdf(gather_record(made_job(tmp_path / "short", [Note("oil")]), MADE_AT)))
    pdf = job_pdf(gather_record(made_job(tmp_path / "long", [Note("oil drained " * 2500)]), MADE_AT))
    assert len(read(pdf).pages) >= len(short.pages) + 2
    assert words(pdf).count("drained") == 2 * 2500  # once told and once in the log


def test_the_head_of_a_table_comes_again_on_every_sheet(tmp_path: Path) -> None:
    pdf = job_pdf(gather_record(made_job(tmp_path, [Note("oil")] * 200), MADE_AT))
    listed = [text for text in (page.extract_text() for page in read(pdf).pages) if "2025-03-0" in text]
    assert len(listed) > 2
    assert all("What happened" in text for text in listed)


def test_no_last_row_stands_alone_on_a_sheet() -> None:
    content = Table("t", ("a", "b"), tuple((str(number), "words") for number in range(30)))
    for room in range(60, 500, 3):
        _, ruled = table(content, 8.0)
        _, height = ruled.wrap(WIDTH_PT, room)
        begun, *rest = ruled.split(WIDTH_PT, room) or [None]
        if begun is not None and rest:
            assert rest[0].wrap(WIDTH_PT, height)[1] > 3.9 * height / 31  # the head and three rows of 31 alike


# ---- words


def test_signs_that_the_letters_lack_are_shown_as_a_box(tmp_path: Path) -> None:
    assert (
        drawable("Kran \u8eca \U0001f527 \u00b5 \u2264 \u00c4 $x_$\nend\x07")
        == f"Kran {LACKING} {LACKING} \u00b5 \u2264 \u00c4 $x_$ end{LACKING}"
    )
    assert "stands for signs that cannot be printed" in words(
        job_pdf(gather_record(made_job(tmp_path / "some", [Note("\u8eca")]), MADE_AT))
    )


def test_letters_with_marks_and_of_other_scripts_are_written(tmp_path: Path) -> None:
    found = words(job_pdf(gather_record(made_job(tmp_path, [Note(UMLAUTS)]), MADE_AT)))
    assert f"Note: {UMLAUTS}" in found
    assert "cannot be printed" not in found


def test_columns_fill_the_print_area_and_the_widest_gives_way() -> None:
    content = Table("t", ("a", "b", "c"), (("short", "words " * 80, "short"),))
    widths = column_widths(content, 8.0)
    assert sum(widths) == pytest.approx(WIDTH_PT)
    assert widths[1] > 4 * widths[0]
    assert widths[0] > width_pt("short", 8.0)


@settings(deadline=None, max_examples=100)
@given(st.lists(st.text("ab cd", min_size=1, max_size=300), min_size=1, max_size=6))
def test_any_columns_fill_the_print_area(cells: list[str]) -> None:
    widths = column_widths(Table("t", tuple(cells), ()), 8.0)
    assert sum(widths) == pytest.approx(WIDTH_PT)
    assert min(widths) > 0
