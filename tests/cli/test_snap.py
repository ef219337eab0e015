"""Pulling roughly marked outlines onto the edges: only when asked for, and said in the result and the report."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import ExifTags, Image

from patternscan.frame import Flank
from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.geometry.outline import EDGE_NAMES, checked_outline
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.seeing.image.photo import load_photo
from tests.benchmarks.mismarked import round_compound
from tests.benchmarks.scenes import scene
from tests.cli.test_commands import LEFT, RIGHT, SAMPLES, document, outline_of, run
from tests.seeing.rough_outline import overlap_of, roughened

SHEET = SAMPLES / "goods_lift.toml"
SIZE = (1344, 1008)


def true_outline(photo: Path) -> Any:
    return read_outline_file(outline_of(photo)).outlines[0]


def rough_file(photo: Path, folder: Path) -> Path:
    path = folder / f"{photo.stem}.outline.json"
    rough = roughened(true_outline(photo), np.random.default_rng(2))
    path.write_bytes(outline_file_bytes(outline_document(photo.name, [rough], None)))
    return path


def read_words(folder: Path) -> list[object]:
    return ["read", LEFT, "--flank", "left", "--marking", "transfer", "--outline", rough_file(LEFT, folder), "--json"]


def overlap(flank: dict[str, Any]) -> float:
    edges = {name: flank["outline"][name] for name in ("root", "tip", "end_a", "end_b")}
    truth = true_outline(LEFT)
    return overlap_of(checked_outline(edges, truth.flank), truth, SIZE)


@pytest.mark.parametrize("sheet", [[], ["--sheet", SHEET]], ids=["no sheet", "sheet"])
def test_read_pulls_when_asked_and_says_how_far(tmp_path: Path, sheet: list[object]) -> None:
    (asked,) = document(run(*read_words(tmp_path), *sheet, "--snap"))["flanks"]
    (unasked,) = document(run(*read_words(tmp_path), *sheet))["flanks"]
    assert unasked["outline"]["source"] == "given"
    assert asked["outline"]["source"] == "given"
    assert overlap(asked) > overlap(unasked) + 0.01
    (caution,) = [one for one in asked["cautions"] if one["code"] == "outline-fitted"]
    assert "by at most" in caution["message"]
    assert "outline-fitted" not in [one["code"] for one in unasked["cautions"]]


def test_corners_alone_are_pulled_unasked(tmp_path: Path) -> None:
    true, path = true_outline(LEFT), tmp_path / f"{LEFT.stem}.outline.json"
    corners = checked_outline({name: getattr(true, name)[[0, -1]] for name in EDGE_NAMES}, true.flank)
    path.write_bytes(outline_file_bytes(outline_document(LEFT.name, [corners], None)))
    words = ["read", LEFT, "--flank", "left", "--marking", "transfer", "--outline", path, "--json"]
    (flank,) = document(run(*words))["flanks"]
    assert flank["outline"]["source"] == "given"
    assert "outline-fitted" in [one["code"] for one in flank["cautions"]]
    assert overlap(flank) > 0.93


def test_the_report_says_so_too(tmp_path: Path) -> None:
    words = [word for word in read_words(tmp_path) if word != "--json"]
    assert "pulled onto the edges in the photo, by at most" in run(*words, "--snap", "--full").output


def test_judge_pulls_both_flanks(tmp_path: Path) -> None:
    left, right = rough_file(LEFT, tmp_path), rough_file(RIGHT, tmp_path)
    words = ["judge", "--left", LEFT, "--right", RIGHT, "--left-outline", left, "--right-outline", right]
    content = document(run(*words, "--sheet", SHEET, "--snap", "--json"))
    flanks = [one["flanks"][0] for one in (*content["left"], *content["right"])]
    assert [one["outline"]["source"] for one in flanks] == ["given"] * 2
    assert all("outline-fitted" in [caution["code"] for caution in one["cautions"]] for one in flanks)
    assert content["advice"]["move_wheel"] == "toward-B"


def moved_file(photo: Path, folder: Path, at_a: float, at_b: float) -> Path:
    """The true outline with its ends moved toward B by these parts of the face width."""
    true, path = true_outline(photo), folder / f"{photo.stem}.outline.json"
    along = true.root[-1] - true.root[0]
    edges = {}
    for name in EDGE_NAMES:
        share = (getattr(true, name) - true.root[0]) @ along / (along @ along)
        edges[name] = getattr(true, name) + (at_a * (1 - share) + at_b * share)[:, None] * along
    path.write_bytes(outline_file_bytes(outline_document(photo.name, [checked_outline(edges, true.flank)], None)))
    return path


def test_an_outline_beside_the_flank_is_refused_and_one_end_is_doubted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["read", LEFT, "--flank", "left", "--marking", "transfer", "--json", "--outline"]
    beside = run(*words, moved_file(LEFT, tmp_path, 0.12, 0.12))
    assert beside.exit_code == 4
    assert "Neither end of the outline lies on an edge of the tooth" in beside.stderr
    (page,) = (tmp_path / "marking").iterdir()
    assert f"Open {Path('marking') / page.name} in a browser" in beside.stderr
    assert '"refused": true' in page.read_text(encoding="utf-8")
    (doubted,) = document(run(*words, moved_file(LEFT, tmp_path, 0.1, 0)))["flanks"]
    (caution,) = [one for one in doubted["cautions"] if one["code"] == "end-off-edges"]
    assert "where the outline has end A" in caution["message"]
    assert caution["widens"]
    along = doubted["centroid"]["along"]
    assert along["low"] <= 0.635 <= along["high"]  # as rendered, see sample_images/truth


@pytest.mark.parametrize("points", [None, 2])
def test_root_taken_for_tip_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, points: int | None) -> None:
    """All edges marked, or the corners alone: the answer would be the wrong way round."""
    monkeypatch.chdir(tmp_path)
    turned = true_outline(LEFT).half_turned
    edges = {
        name: getattr(turned, name)[:: 1 if points is None else len(getattr(turned, name)) - 1] for name in EDGE_NAMES
    }
    path = tmp_path / "turned.json"
    path.write_bytes(outline_file_bytes(outline_document(LEFT.name, [checked_outline(edges, turned.flank)], None)))
    result = run("read", LEFT, "--flank", "left", "--marking", "transfer", "--outline", path)
    assert result.exit_code == 4
    assert "root and tip of the tooth changed over" in result.stderr


def test_an_outline_on_a_photo_turned_since_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Saved again without the mark that says which way up it is, as some programs do."""
    monkeypatch.chdir(tmp_path)
    with Image.open(LEFT) as image:
        assert image.getexif()[ExifTags.Base.Orientation] == 3  # upside down
        image.save(tmp_path / LEFT.name, exif=Image.Exif(), quality="keep")
    words = ["--flank", "left", "--marking", "transfer", "--outline", outline_of(LEFT)]
    result = run("read", tmp_path / LEFT.name, *words)
    assert result.exit_code == 4
    assert "does not run round the flank" in result.stderr


def test_an_outline_round_the_compound_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    one = scene("dev", "dev000_before_M")
    drawn = round_compound(one, lens_of(load_photo(one.photo)))
    assert drawn is not None
    path = tmp_path / "drawn.json"
    outline = checked_outline(drawn, Flank(one.truth["flank"]))
    path.write_bytes(outline_file_bytes(outline_document(one.photo.name, [outline], None)))
    result = run("read", one.photo, "--flank", outline.flank, "--marking", "transfer", "--outline", path)
    assert result.exit_code == 4
    assert "does not run round the flank (round the compound on it, perhaps)" in result.stderr
