"""The record as a PDF: real words on numbered sheets that lie within A4 and Letter, whatever the names."""

from __future__ import annotations

import re
import zlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib import rc_context

from patternscan.reporting.job.pdf import job_pdf
from patternscan.reporting.job.pdf_letters import LACKING, drawable, width_mm, wrap
from patternscan.reporting.job.pdf_sheet import AREA_MM, BODY_MM, SHEET_MM, TOP_MM, Block, fill_sheets
from patternscan.reporting.job.pdf_table import column_widths, table_blocks
from patternscan.reporting.job.record import gather_record
from patternscan.reporting.pages.web_page import Run, Table
from patternscan.setting.log.events import Note
from patternscan.units import MM_PER_INCH
from tests.reporting.jobs import HOSTILE, MADE_AT, SAMPLE, hostile_events, made_job

A4_MM, LETTER_MM = (210.0, 297.0), (8.5 * MM_PER_INCH, 11 * MM_PER_INCH)
"""ISO 216 and ANSI Y14.1."""
LEAST_MARGIN_MM = 5.0
"""What desk printers leave white (common practice)."""


def pages(pdf: bytes) -> int:
    """Page objects, ISO 32000-1, 7.7.3.3."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def streams(pdf: bytes) -> list[bytes]:
    """What the sheets draw, unpacked (FlateDecode is zlib, ISO 32000-1, 7.4.4)."""
    found = []
    for content in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            found.append(zlib.decompress(content))
        except zlib.error:
            continue
    return found


@pytest.fixture(scope="module")
def sample() -> bytes:
    return job_pdf(gather_record(SAMPLE, MADE_AT))


def test_the_print_area_lies_within_a4_and_letter() -> None:
    for paper in (A4_MM, LETTER_MM):
        for sheet, area, whole in zip(SHEET_MM, AREA_MM, paper, strict=True):
            assert sheet <= whole + 1e-9
            assert (whole - area) / 2 >= LEAST_MARGIN_MM
    assert AREA_MM == (190.0, 255.0)


def test_every_sheet_has_that_size(sample: bytes) -> None:
    boxes = re.findall(rb"/MediaBox\s*\[([^\]]*)\]", sample)
    assert len(boxes) == pages(sample)
    expected = [0.0, 0.0, *(side / MM_PER_INCH * 72 for side in SHEET_MM)]
    assert all([float(number) for number in box.split()] == pytest.approx(expected, abs=0.01) for box in boxes)


def test_how_matplotlib_is_set_up_on_a_computer_makes_no_difference(sample: bytes) -> None:
    own = {"savefig.bbox": "tight", "figure.autolayout": True, "font.size": 30.0, "axes.facecolor": "red"}
    with rc_context(rc=own):  # type: ignore[arg-type, unused-ignore]
        assert job_pdf(gather_record(SAMPLE, MADE_AT)) == sample


def test_it_is_a_pdf_of_several_sheets_with_words_and_letters_inside(sample: bytes) -> None:
    assert sample.startswith(b"%PDF-")
    assert sample.rstrip().endswith(b"%%EOF")
    assert 5 <= pages(sample) <= 9
    assert b"/FontFile2" in sample  # TrueType letters, ISO 32000-1, 9.9
    drawn = b" ".join(streams(sample))
    assert len(re.findall(rb"\bT[jJ]\b", drawn)) > 300  # operators that show text, ISO 32000-1, 9.4.3


def test_its_title_names_the_machine(sample: bytes) -> None:
    assert b"(Goods lift, north shaft \\(invented\\): setting job, record of 2026-03-04)" in sample


def test_an_empty_job_has_a_pdf(tmp_path: Path) -> None:
    assert pages(job_pdf(gather_record(made_job(tmp_path, []), MADE_AT))) >= 1


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_breaks_it(tmp_path: Path, name: str) -> None:
    """Warnings are errors here: a letter that is missing from the font would end the test."""
    assert pages(job_pdf(gather_record(made_job(tmp_path, hostile_events(name), by=name), MADE_AT))) >= 2


def test_a_note_longer_than_a_sheet_goes_on_the_next(tmp_path: Path) -> None:
    short = pages(job_pdf(gather_record(made_job(tmp_path / "short", [Note("oil")]), MADE_AT)))
    long = pages(job_pdf(gather_record(made_job(tmp_path / "long", [Note("oil drained " * 2500)]), MADE_AT)))
    assert long >= short + 2


# ---- words


def test_signs_that_the_letters_lack_are_shown_as_a_box() -> None:
    assert (
        drawable("Kran \u8eca \U0001f527 \u00b5 \u2264 \u00c4 $x_$\nend\x07")
        == f"Kran {LACKING} {LACKING} \u00b5 \u2264 \u00c4 $x_$ end{LACKING}"
    )


@settings(deadline=None, max_examples=60)
@given(st.text(max_size=60), st.floats(4.0, 60.0))
def test_lines_hold_all_words_and_fit_the_room(words: str, room_mm: float) -> None:
    lines = wrap([Run(words, False), Run(words, True)], 8.0, room_mm)
    written = "".join(piece.words for line in lines for piece in line).replace(" ", "")
    assert written == (drawable(words) * 2).replace(" ", "")
    for line in lines:
        single = len(line) == 1 and len(line[0].words) == 1
        assert single or not line or line[-1].to_mm <= room_mm + 1e-6


def test_twice_the_size_is_twice_as_wide() -> None:
    assert width_mm("Shims", 16.0, False) == pytest.approx(2 * width_mm("Shims", 8.0, False))
    assert width_mm("Shims", 8.0, True) > width_mm("Shims", 8.0, False)


# ---- sheets


def block(height_mm: float, keep: bool = False) -> Block:
    return Block(height_mm, lambda _: None, keep)


@settings(deadline=None, max_examples=100)
@given(st.lists(st.builds(block, st.floats(1.0, BODY_MM), st.booleans()), max_size=40))
def test_no_sheet_is_too_full_and_none_is_lost(blocks: list[Block]) -> None:
    sheets = fill_sheets(blocks)
    assert [one for sheet in sheets for _, one in sheet.placed] == blocks
    assert all(sheet.used_mm <= BODY_MM + 1e-6 for sheet in sheets)
    assert TOP_MM > 0


def test_a_heading_goes_with_what_stands_under_it() -> None:
    first, second = fill_sheets([block(BODY_MM - 20), block(10, keep=True), block(15)])
    assert (len(first.placed), len(second.placed)) == (1, 2)


def test_the_head_of_a_table_comes_again_on_every_sheet() -> None:
    table = Table("Long", ("a", "b"), tuple((str(number), "words") for number in range(200)))
    sheets = fill_sheets(table_blocks(table, 8.0))
    assert len(sheets) > 2
    head = sheets[0].placed[1][1]
    for sheet in sheets[1:]:
        assert sheet.placed[0][1].height_mm == head.height_mm
        assert sheet.placed[0][1].again is None


def test_columns_fill_the_print_area_and_the_widest_gives_way() -> None:
    table = Table("t", ("a", "b", "c"), (("short", "words " * 80, "short"),))
    widths = column_widths(table, 8.0)
    assert sum(widths) == pytest.approx(AREA_MM[0])
    assert widths[1] > 4 * widths[0]
    assert widths[0] > width_mm("short", 8.0, True)


@settings(deadline=None, max_examples=100)
@given(st.lists(st.text("ab cd", min_size=1, max_size=300), min_size=1, max_size=6))
def test_any_columns_fill_the_print_area(cells: list[str]) -> None:
    widths = column_widths(Table("t", tuple(cells), ()), 8.0)
    assert sum(widths) == pytest.approx(AREA_MM[0])
    assert min(widths) > 0
