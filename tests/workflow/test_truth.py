"""What a person painted, laid down beside its photo."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import msgspec
import pytest

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Flank
from patternscan.reporting.documents.truth import read_truth_file, truth_document
from patternscan.workflow.proof.truth import PaintedTruth, keep_painted
from tests.judging.test_proof import painted


def handed_over(by: str) -> bytes:
    """What the page of left.png hands over for one person."""
    return msgspec.json.encode(truth_document([replace(painted(Flank.LEFT), by=by)], "Barn hoist"))


def test_a_person_paints_again_but_takes_nobody_elses_word_away(tmp_path: Path) -> None:
    photo = tmp_path / "left.png"
    paths = [keep_painted(PaintedTruth(photo, handed_over(by))) for by in ("R. Moss", "K. Weber", "r moss", "")]
    assert [path.name for path in paths] == [
        "left.r-moss.truth.json",
        "left.k-weber.truth.json",
        "left.r-moss.truth.json",
        "left.truth.json",
    ]
    kept = read_truth_file(paths[1])
    assert (kept.photo, kept.machine, kept.truths[0].by) == (photo, "Barn hoist", "K. Weber")
    assert (kept.truths[0].contact == painted(Flank.LEFT).contact).all()


def test_who_and_what_machine_are_known_outranks_what_the_page_says(tmp_path: Path) -> None:
    path = keep_painted(PaintedTruth(tmp_path / "left.png", handed_over("x"), by="J. Lund", machine="Mill hoist"))
    file = read_truth_file(path)
    assert (path.name, file.machine, file.truths[0].by) == ("left.j-lund.truth.json", "Mill hoist", "J. Lund")
    assert file.truths[0].made_at > "2026-03-01"


@pytest.mark.parametrize("by", ["../../etc/passwd", "a/b\\c:d", "\u202ex", "x" * 5000, "\0"])
def test_no_name_leads_out_of_the_folder(tmp_path: Path, by: str) -> None:
    path = keep_painted(PaintedTruth(tmp_path / "left.png", handed_over(by)))
    assert path.parent == tmp_path
    assert len(path.name) < 100
    assert [*tmp_path.iterdir()] == [path]


def test_what_is_no_truth_of_this_photo_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InconsistentInputs, match=r"belongs to left\.png, not to right\.png"):
        keep_painted(PaintedTruth(tmp_path / "right.png", handed_over("x")))
    for content in (b"", b"{}", b"\xff\xfe", handed_over("x")[:-9]):
        with pytest.raises(WrongUse, match=r"left\.truth\.json is no truth file"):
            keep_painted(PaintedTruth(tmp_path / "left.png", content))
    assert [*tmp_path.iterdir()] == []
