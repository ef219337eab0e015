"""``patternscan proof``: what it prints and writes, and how it stops."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.judging.proof.truth import Truth
from patternscan.reporting.documents.truth import read_truth_file, truth_document
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes
from patternscan.workflow.proof.witnesses import find_witnesses
from tests.cli.test_commands import run
from tests.drawn import slanted_outline
from tests.judging.test_proof import painted
from tests.reporting.builders import drawn_reading
from tests.reporting.contents import valid


def lay_down(folder: Path, truth: Truth, machine: str = "", stem: str = "") -> Path:
    """A truth file in a folder, beside its photo when that can be drawn."""
    path = folder / f"{stem or truth.outline.flank}.truth.json"
    path.write_bytes(msgspec.json.encode(truth_document([truth], machine)))
    return path


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two drawn flanks, one of them painted by two people."""
    place = tmp_path_factory.mktemp("barn_hoist")
    for flank in Flank:
        Image.fromarray(drawn_reading(flank).photo.pixels).save(place / f"{flank}.png")
        lay_down(place, painted(flank))
    lay_down(place, painted(Flank.LEFT, (0.36, 0.66, 0.3, 0.7), "K. Weber"), stem="left.weber")
    return place


def test_every_flank_is_counted_and_told(folder: Path, tmp_path: Path) -> None:
    result = run("proof", folder, "--quick", "--out", tmp_path / "proven", "--json")
    assert result.exit_code == 0, result.output
    document = valid(result.stdout)
    assert [one["machine"] for one in document["flanks"]] == [folder.name, folder.name]
    assert document["figures"]["all"]["along"]["held"] == pytest.approx(
        {"right": 2, "flanks": 2, "machines": 1, "at_least": 0.05, "at_most": 1.0}
    )
    assert [hand["second"] for hand in document["hands"]] == ["K. Weber"]
    lines = list(csv.DictReader((tmp_path / "proven" / "flanks.csv").read_text(encoding="utf-8").splitlines()))
    assert [line["along_held"] for line in lines] == ["yes", "yes"]
    comma = tmp_path / "comma"
    assert run("proof", folder, "--quick", "--out", comma, "--csv-style", "comma").exit_code == 0
    text = (comma / "flanks.csv").read_bytes()
    assert text.startswith(b"\xef\xbb\xbfphoto;flank;")
    assert b"0," in text
    page = (tmp_path / "proven" / "page.html").read_text(encoding="utf-8")
    assert page.count("alike by") >= 3
    assert json.loads((tmp_path / "proven" / "proof.json").read_text(encoding="utf-8"))["files"].keys() >= {"page.html"}


def test_what_it_means_is_said(folder: Path) -> None:
    result = run("proof", folder, "--quick")
    assert "held 2 of 2 times (100 %). With 1 machine that means at least 5 %, in 19 cases of 20." in result.stdout
    assert "R. Moss and K. Weber painted alike by " in result.stdout


def test_a_folder_without_truth_is_refused(tmp_path: Path) -> None:
    result = run("proof", tmp_path)
    assert result.exit_code == WrongUse.exit_code
    found, remedy = result.stderr.splitlines()
    assert "holds no truth file" in found
    assert remedy
    assert run("proof", tmp_path / "gone").stderr.startswith("There is no folder ")


def test_truth_comes_back_from_its_file(tmp_path: Path) -> None:
    truth = painted(Flank.RIGHT)
    (back,) = read_truth_file(lay_down(tmp_path, truth, "Barn hoist")).truths
    assert (back.contact == truth.contact).all()
    assert back.judged.all()
    assert (back.by, back.made_at, back.marking, back.compound) == ("R. Moss", "2026-03-01", "transfer", "blue")


FIELDS = st.sampled_from(["contact", "root", "flank", "marking"])


@settings(max_examples=20, deadline=None)
@given(damage=st.dictionaries(FIELDS, st.text(max_size=9), min_size=1))
def test_a_damaged_truth_file_is_named(whole: Path, damage: dict[str, str]) -> None:
    content = json.loads(whole.read_bytes())
    content["flanks"][0] |= damage
    path = whole.with_name("spoiled.truth.json")
    path.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(WrongUse, match=r"spoiled\.truth\.json"):
        read_truth_file(path)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A truth file in which nothing is spoiled."""
    return lay_down(tmp_path_factory.mktemp("damaged"), painted(Flank.LEFT))


def test_the_machine_is_told_by_file_then_sheet_then_name_then_folder(tmp_path: Path) -> None:
    for stem, machine in (("mill_left", ""), ("left", ""), ("crane_left", "Crane 3")):
        truth = painted(Flank.LEFT)
        document = truth_document([truth], machine)
        document = msgspec.structs.replace(document, photo=f"{stem}.png")
        (tmp_path / f"{stem}.truth.json").write_bytes(msgspec.json.encode(document))
    told = {one.photo.stem: one.machine for one in find_witnesses(tmp_path)}
    assert told == {"mill_left": "mill", "left": tmp_path.name, "crane_left": "Crane 3"}
    (tmp_path / "machine.toml").write_text('[machine]\nname = "Barn hoist"\n', encoding="utf-8")
    told = {one.photo.stem: one.machine for one in find_witnesses(tmp_path)}
    assert told == {"mill_left": "Barn hoist", "left": "Barn hoist", "crane_left": "Crane 3"}


def test_a_page_to_paint_on_wants_an_outline_that_a_person_marked(folder: Path, tmp_path: Path) -> None:
    outline = slanted_outline(Flank.LEFT)
    files = {OutlineSource.GIVEN: 0, OutlineSource.FOUND: 4}
    for source, code in files.items():
        path = tmp_path / f"{source}.json"
        one = replace(outline, source=source)
        path.write_bytes(outline_file_bytes(outline_document("left.png", [one], None)))
        words = ("truth", folder / "left.png", "--flank", "left", "--outline", path, "--marking", "transfer")
        result = run(*words, "--out", tmp_path / source)
        assert result.exit_code == code, result.output
    assert (tmp_path / "given" / "left.truth.html").is_file()
    assert not (tmp_path / "found").exists()
