"""The files of a result: their names."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.workflow.mark import MarkResult
from patternscan.workflow.outputs.outline import outline_files
from patternscan.workflow.outputs.reading import check_pictures
from tests.drawn import drawn_photo, slanted_outline
from tests.reporting.builders import drawn_reading


def test_further_teeth_get_a_number_in_the_names_of_their_pictures() -> None:
    files = check_pictures([drawn_reading(flank) for flank in (Flank.LEFT, Flank.LEFT)])
    assert list(files) == ["left.left.check.png", "left.left.2.check.png"]


def test_a_found_outline_handed_back_untouched_stays_found_and_the_page_saves_under_another_name(
    tmp_path: Path,
) -> None:
    outline = replace(slanted_outline(), source=OutlineSource.FOUND, confidence=0.62)
    photo = drawn_photo(outline, (0.3, 0.6, 0.2, 0.8), "tooth.png")
    files = outline_files(tmp_path, MarkResult(photo, outline.flank, (outline,)))
    written = tmp_path / "tooth.found.outline.json"
    assert set(files) == {tmp_path / "tooth.outline.html", written}
    assert '"file_name": "tooth.outline.json"' in files[tmp_path / "tooth.outline.html"].decode()
    written.write_bytes(files[written])
    (again,) = read_outline_file(written).outlines
    assert (again.source, again.confidence) == (OutlineSource.FOUND, 0.62)
