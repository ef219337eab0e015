"""Results as JSON: the contract's keys, and a judgement read back."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from patternscan.errors import DoNotBelongTogether, WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.inspection import Inspection, Reading, inspect_pair, read_flank
from patternscan.reporting.result import contact_map_image, judgement_document, read_judgement, reading_document
from tests.drawn import drawn_photo, slanted_outline


@pytest.fixture(scope="module")
def readings() -> dict[Flank, Reading]:
    # Print near the tip at end A.
    place = (0.10, 0.40, 0.55, 0.95)
    return {
        flank: read_flank(drawn_photo(slanted_outline(flank), place), slanted_outline(flank), Marking.TRANSFER)
        for flank in Flank
    }


@pytest.fixture(scope="module")
def inspection(readings: dict[Flank, Reading]) -> Inspection:
    return inspect_pair([readings[Flank.LEFT]], [readings[Flank.RIGHT]])


@pytest.mark.parametrize("flank", list(Flank))
def test_the_map_shows_a_print_near_the_tip_at_end_a_at_its_top_left(
    readings: dict[Flank, Reading], flank: Flank
) -> None:
    picture = contact_map_image(readings[flank])
    assert (picture.mode, picture.size) == ("L", (256, 128))
    rows, columns = np.nonzero(np.asarray(picture) == 255)
    assert columns.mean() / 256 == pytest.approx(0.25, abs=0.03)
    assert rows.mean() / 128 == pytest.approx(0.25, abs=0.06)


def test_a_reading_has_every_key_of_the_contract(readings: dict[Flank, Reading]) -> None:
    reading = readings[Flank.LEFT]
    content = json.loads(json.dumps(reading_document(reading.photo, [reading]), allow_nan=False))
    assert {"format", "version", "photo", "flanks"} <= set(content)
    keys = [
        "flank",
        "tooth",
        "outline",
        "marking",
        "compound",
        "coverage",
        "centroid",
        "length",
        "height",
        "judged_fraction",
        "cautions",
    ]
    assert set(keys) <= set(content["flanks"][0])
    assert set(content["flanks"][0]["centroid"]) == {"along", "up"}


def test_a_judgement_reads_back(tmp_path: Path, inspection: Inspection) -> None:
    path = tmp_path / "judgement.json"
    path.write_text(json.dumps(judgement_document(inspection)), encoding="utf-8")
    state = read_judgement(path)
    assert inspection.comparison.shared is not None
    assert state.shared is not None
    assert state.shared.value == pytest.approx(inspection.comparison.shared.value, abs=1e-4)
    assert state.marking is Marking.TRANSFER
    assert state.compounds == {Compound.BLUE}
    assert state.target == inspection.comparison.target


def test_the_judgement_says_the_direction(inspection: Inspection) -> None:
    content = judgement_document(inspection)
    assert content["advice"]["move_wheel"] == "toward-A"
    assert content["shared_shift"]["along"]["value"] < -0.2
    assert content["left"][0]["flanks"][0]["flank"] == "left"


def test_other_files_are_refused(tmp_path: Path, inspection: Inspection, readings: dict[Flank, Reading]) -> None:
    reading = readings[Flank.LEFT]
    damaged = judgement_document(inspection)
    damaged["shared_shift"]["along"]["value"] = "much"
    contents: list[object] = [reading_document(reading.photo, [reading]), damaged, [], 5]
    for content in contents:
        path = tmp_path / "other.json"
        path.write_text(json.dumps(content), encoding="utf-8")
        with pytest.raises(DoNotBelongTogether):
            read_judgement(path)
    (tmp_path / "text.json").write_text("hello", encoding="utf-8")
    (tmp_path / "deep.json").write_text("[" * 200_000, encoding="utf-8")
    for path in (tmp_path / "text.json", tmp_path / "deep.json", tmp_path / "none.json", tmp_path):
        with pytest.raises(WrongUse):
            read_judgement(path)


@pytest.mark.parametrize("number", [True, "0.1", 10**400, float("nan"), 5.0, None, [], {}])
@pytest.mark.parametrize("place", [("shared_shift", "along", "value"), ("target", "left_along")])
def test_a_damaged_number_is_refused(
    tmp_path: Path, inspection: Inspection, place: tuple[str, ...], number: object
) -> None:
    content = judgement_document(inspection)
    table = content
    for key in place[:-1]:
        table = table[key]
    table[place[-1]] = number
    path = tmp_path / "judgement.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(DoNotBelongTogether):
        read_judgement(path)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_a_judgement_redirected_by_a_console_that_marks_its_files_reads_back(
    tmp_path: Path, inspection: Inspection, encoding: str
) -> None:
    path = tmp_path / "judgement.json"
    path.write_text(json.dumps(judgement_document(inspection)), encoding=encoding)
    assert read_judgement(path).marking is Marking.TRANSFER
