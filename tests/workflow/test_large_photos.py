"""Outlines and results are in the pixels of the photo's file, however small the photo is held."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from patternscan.frame import Flank, Marking
from patternscan.reporting.documents.reading import ReadingDocument, reading_document
from patternscan.seeing.geometry.outline import EDGE_NAMES
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow import mark, read
from patternscan.workflow.inputs import PhotoInput, ReadingSettings, load_outlines
from patternscan.workflow.mark import MarkRequest, find_outline
from patternscan.workflow.read import ReadRequest, read_photo

PHOTO = Path(__file__).parents[2] / "sample_images" / "goods_lift_before_left.jpg"
OUTLINE = PHOTO.with_name(f"{PHOTO.stem}.outline.json")
GIVEN = PhotoInput(PHOTO, Flank.LEFT, OUTLINE)
HALF_MEGAPIXELS = 0.5
"""The sample has 1.35, so that it is held half as wide and high."""


def document() -> ReadingDocument:
    result = read_photo(ReadRequest(GIVEN, ReadingSettings(Sheet(), None, Marking.TRANSFER)))
    return reading_document(result.readings[0].photo, result.readings, result.made)


def test_a_photo_held_smaller_reads_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = document()
    monkeypatch.setattr(read, "HELD_MEGAPIXELS", HALF_MEGAPIXELS)
    held = document()
    assert (held.photo.width_px, held.photo.height_px) == (whole.photo.width_px, whole.photo.height_px) == (1344, 1008)
    (first,), (second,) = whole.flanks, held.flanks
    for name in EDGE_NAMES:
        assert np.array(getattr(second.outline, name)) == pytest.approx(
            np.array(getattr(first.outline, name)), abs=0.02
        )
    assert second.coverage.value == pytest.approx(first.coverage.value, abs=0.03)
    assert first.centroid is not None
    assert second.centroid is not None
    assert second.centroid.along.value == pytest.approx(first.centroid.along.value, abs=0.02)


def test_the_page_to_mark_by_has_the_pixels_of_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mark, "HELD_MEGAPIXELS", HALF_MEGAPIXELS)
    result = find_outline(MarkRequest(GIVEN))
    (given,) = load_outlines(OUTLINE)
    assert result.photo.times == 2
    assert (result.photo.width_px, result.photo.height_px) == (1344, 1008)
    assert result.outlines[0].root == pytest.approx(given.root)
