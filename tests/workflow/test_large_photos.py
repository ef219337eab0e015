"""Outlines and results are in the pixels of the photo's file, however small the photo is held."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from patternscan.frame import Flank, Marking
from patternscan.reporting.documents.reading import ReadingDocument, reading_document
from patternscan.seeing.geometry.outline import EDGE_NAMES, checked_outline
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow import mark, read
from patternscan.workflow.inputs import photo_input
from patternscan.workflow.inputs.outlines import load_outlines
from patternscan.workflow.inputs.photo_input import PhotoInput, least_times
from patternscan.workflow.inputs.settings import ReadingSettings
from patternscan.workflow.mark import MarkRequest, find_outline
from patternscan.workflow.read import ReadRequest, read_photo

PHOTO = Path(__file__).parents[2] / "sample_images" / "goods_lift_before_left.jpg"
OUTLINE = PHOTO.with_name(f"{PHOTO.stem}.outline.json")
GIVEN = PhotoInput(PHOTO, Flank.LEFT, OUTLINE)
HALF_MEGAPIXELS = 0.5
"""The sample has 1.35, so that it is held half as wide and high."""


def read_times(times: int) -> ReadingDocument:
    """The document of the sample, which has to be held so many times smaller."""
    result = read_photo(ReadRequest(GIVEN, ReadingSettings(Sheet(), None, Marking.TRANSFER)))
    assert result.readings[0].photo.times == times
    return reading_document(result.readings[0].photo, result.readings, result.made)


def by_megapixels(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(read, "HELD_MEGAPIXELS", HALF_MEGAPIXELS)


def by_its_flank(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo_input, "HALVED_PX", (300, 40))


@pytest.mark.parametrize("held_smaller", [by_megapixels, by_its_flank])
def test_a_photo_held_smaller_reads_alike(
    held_smaller: Callable[[pytest.MonkeyPatch], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = read_times(1)
    held_smaller(monkeypatch)
    held = read_times(2)
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


@pytest.mark.parametrize(
    ("flank_px", "times"),
    [((1536, 256), 2), ((1535, 256), 1), ((1536, 255), 1), ((3072, 512), 4), ((9999, 999), 4), ((9999, 9999), 4)],
)
def test_a_photo_is_halved_only_where_its_flank_stays_large_enough(
    flank_px: tuple[float, float], times: int, tmp_path: Path
) -> None:
    width, height = flank_px
    edges = {"root": [(0, height), (width, height)], "tip": [(0, 0), (width, 0)]}
    edges |= {"end_a": [(0, height), (0, 0)], "end_b": [(width, height), (width, 0)]}
    outline = checked_outline({name: np.array(edge, dtype=float) for name, edge in edges.items()}, Flank.RIGHT)
    file = tmp_path / "outline.json"
    file.write_bytes(outline_file_bytes(outline_document("photo.jpg", [outline], None)))
    assert least_times(PhotoInput(tmp_path / "photo.jpg", Flank.RIGHT, file)) == times


def test_nothing_is_halved_without_an_outline_that_can_be_read(tmp_path: Path) -> None:
    assert least_times(PhotoInput(PHOTO, Flank.LEFT)) == 1
    assert least_times(PhotoInput(PHOTO, Flank.LEFT, tmp_path / "gone.json")) == 1


def test_the_page_to_mark_by_has_the_pixels_of_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mark, "HELD_MEGAPIXELS", HALF_MEGAPIXELS)
    result = find_outline(MarkRequest(GIVEN))
    (given,) = load_outlines(OUTLINE)
    assert result.photo.times == 2
    assert (result.photo.width_px, result.photo.height_px) == (1344, 1008)
    assert result.outlines[0].root == pytest.approx(given.root)
