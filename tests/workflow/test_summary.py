"""The tables: numbers that every program reads, and no text that a spreadsheet would run."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from patternscan.errors import UnreadablePhoto
from patternscan.frame import Compound, Flank, Marking, Medium, Seen
from patternscan.judging.advice import Move, ShimAdvice, ShimChange
from patternscan.measuring.interval import Interval
from patternscan.plain_text import printable
from patternscan.reporting.documents.judgement import AdvicePart, BothPooled, JudgementDocument, TargetPart
from patternscan.reporting.documents.parts import CautionPart, FindingPart, PhotoPart, Shift, head
from patternscan.reporting.documents.reading import Centroid, Extent, FlankPart, OutlinePart, ReadingDocument
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.workflow.batch.summary import (
    FLANK_COLUMNS,
    MACHINE_COLUMNS,
    Row,
    flank_row,
    machine_row,
    stop_row,
    table_bytes,
    whole_row,
)
from patternscan.workflow.disk.spreadsheet import CsvStyle
from tests.reporting.contents import MADE

FLANK = FlankPart(
    flank=Flank.LEFT,
    tooth="3",
    outline=OutlinePart(source=OutlineSource.GIVEN, confidence=1.0, root=(), tip=(), end_a=(), end_b=()),
    marking=Marking.TRANSFER,
    compound=Compound.BLUE,
    coverage=Interval(0.25, 0.2, 0.3),
    centroid=Centroid(Interval(0.4, 0.38, 0.43), Interval(0.5, 0.0001, 0.6)),
    length=Extent(value=0.3),
    height=Extent(value=0.4),
    judged_fraction=1.0,
    cautions=tuple(CautionPart(code=code, message="", remedy="") for code in ("glare", "outline-found", "glare")),
)
READING = ReadingDocument(**head(MADE), photo=PhotoPart(name="a.jpg", width_px=9, height_px=9), flanks=(FLANK,))
TEXTS = st.text(st.characters(codec="utf-8"), max_size=12)


def read_back(content: bytes, style: CsvStyle) -> list[dict[str, str]]:
    comma = style is CsvStyle.COMMA
    text = content.decode("utf-8-sig" if comma else "utf-8")
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=";" if comma else ","))


def test_a_flank_has_its_numbers_with_their_doubt() -> None:
    row = whole_row(flank_row(FLANK), FLANK_COLUMNS)
    assert (row["coverage"], row["coverage_low"], row["coverage_high"]) == (0.25, 0.2, 0.3)
    assert (row["along_high"], row["up_low"], row["tooth"], row["code"]) == (0.43, 0.0001, "3", 0)
    assert row["cautions"] == "glare outline-found"
    assert tuple(row) == FLANK_COLUMNS
    assert (row["marking"], row["medium"], row["seen"]) == ("transfer", "flank", None)
    printed = flank_row(replace(FLANK, medium=Medium.TAPE, seen=Seen.THROUGH))
    assert (printed["medium"], printed["seen"]) == ("tape", "through")


def test_a_flank_without_contact_has_no_place() -> None:
    row = whole_row(flank_row(replace(FLANK, centroid=None)), FLANK_COLUMNS)
    assert (row["along"], row["along_low"], row["up_high"], row["coverage"]) == (None, None, None, 0.25)


def test_a_machine_has_its_move_and_both_shifts() -> None:
    judgement = JudgementDocument(
        **head(MADE),
        left=(READING, READING),
        right=(READING,),
        pooled=BothPooled(None, None),
        target=TargetPart(left_along=0.5, right_along=0.5),
        shared_shift=Shift(Interval(-0.07, -0.09, -0.05)),
        opposed_shift=Shift(None),
        advice=AdvicePart(
            Move.TOWARD_A, ShimAdvice(None, ShimChange.UNKNOWN), "So.", (FindingPart("runs-out", "It runs out."),)
        ),
        cautions=(),
    )
    row = whole_row(machine_row(judgement), MACHINE_COLUMNS)
    assert (row["move"], row["shared"], row["shared_low"], row["shared_high"]) == ("toward-A", -0.07, -0.09, -0.05)
    assert (row["opposed"], row["wheel_toward_a_mm"], row["left_flanks"], row["findings"]) == (
        None,
        None,
        2,
        "runs-out",
    )


def test_a_stop_tells_code_reason_and_remedy() -> None:
    row = whole_row(stop_row(UnreadablePhoto("It is empty.", "Copy it again.")), FLANK_COLUMNS)
    assert (row["code"], row["reason"], row["remedy"], row["along"]) == (3, "It is empty.", "Copy it again.", None)


def test_numbers_are_plain_in_both_styles() -> None:
    row: Row = {"name": "a.b;c,d", "number": -0.0625, "count": 3, "none": None}
    point, comma = (table_bytes([row], style) for style in CsvStyle)
    assert point == b'name,number,count,none\n"a.b;c,d",-0.0625,3,\n'
    assert comma == b'\xef\xbb\xbfname;number;count;none\n"a.b;c,d";-0,0625;3;\n'


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t=", "\r=", "\n=", "\uff1d"])
@pytest.mark.parametrize("style", CsvStyle)
def test_no_text_is_run_as_a_formula(sign: str, style: CsvStyle) -> None:
    """The signs are those of OWASP, "CSV Injection", which also gives the apostrophe as a cure."""
    (row,) = read_back(table_bytes([{"photo": f"{sign}cmd|'/C calc'!A0.jpg", "machine": "x"}], style), style)
    assert row["photo"].startswith("'")


@settings(deadline=None, max_examples=60)
@given(st.lists(TEXTS, min_size=2, max_size=2), st.sampled_from(CsvStyle))
def test_any_text_stays_in_its_cell_and_is_harmless(texts: list[str], style: CsvStyle) -> None:
    (row,) = read_back(table_bytes([{"photo": texts[0], "machine": texts[1], "code": 0}], style), style)
    assert row["code"] == "0"
    assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row.values())
    for cell, text in zip(row.values(), texts, strict=False):
        assert cell.strip().removeprefix("'").split() == printable(text).strip().removeprefix("'").split()
        assert cell.isprintable()
