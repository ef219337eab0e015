"""Before and after on the sample photos: from folders, from results alone, from photos, and what is refused."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageOps

from patternscan.cautions import caution
from patternscan.frame import Flank
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from tests.cli.test_commands import SAMPLES, document, judge_words, outline_of, run

SHEET = SAMPLES / "goods_lift.toml"


@pytest.fixture(scope="module")
def visits(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the folders of two visits to one machine, the film not noted."""
    root = tmp_path_factory.mktemp("visits")
    for state in ("before", "after"):
        assert run(*judge_words(f"goods_lift_{state}"), "--out", root / state).exit_code == 0
    return root


def photo_words(state: str) -> list[object]:
    """The photos of one visit as options of compare."""
    words: list[object] = []
    for flank in ("left", "right"):
        photo = SAMPLES / f"goods_lift_{state}_{flank}.jpg"
        words += [f"--{state}-{flank}", photo, f"--{state}-{flank}-outline", outline_of(photo)]
    return words


def changed(folder: Path, path: Path, **other: Any) -> Path:
    """A copy of a visit's judgement with some of it changed."""
    content = json.loads((folder / "judgement.json").read_text()) | other
    path.write_text(json.dumps(content))
    return path


def test_two_folders_give_a_picture_of_each_flank(visits: Path, tmp_path: Path) -> None:
    result = run("compare", visits / "before", visits / "after", "--out", tmp_path, "--full")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("# Better")
    assert "left_change.png: before, after, and where contact was gained and lost." in result.stdout
    assert {"left_change.png", "right_change.png", "comparison.md", "page.html", "comparison.json"} <= {
        path.name for path in tmp_path.iterdir()
    }
    with Image.open(tmp_path / "left_change.png") as picture:
        assert picture.width == 1200


def test_every_number_has_its_doubt_from_both_sides(visits: Path) -> None:
    content = document(run("compare", visits / "before" / "judgement.json", visits / "after", "--json"))
    truth = json.loads((SAMPLES / "truth" / "truth.json").read_text())
    for flank in ("left", "right"):
        numbers = content[flank]
        assert numbers["verdict"] == "better"
        for name in ("along", "up", "coverage", "length", "height"):
            before, after, change = (numbers[name][key] for key in ("before", "after", "change"))
            assert change["value"] == pytest.approx(after["value"] - before["value"], abs=2e-4)
            assert change["high"] - change["low"] > max(one["high"] - one["low"] for one in (before, after)) - 1e-9
        # Where the program that rendered the photos put the patterns.
        step = truth[f"goods_lift_after_{flank}"]["along"] - truth[f"goods_lift_before_{flank}"]["along"]
        assert numbers["along"]["change"]["low"] <= step <= numbers["along"]["change"]["high"]
    assert content["comparable"] == {"position": True, "coverage": True, "why": []}
    assert "film-unknown" in {caution["code"] for caution in content["cautions"]}


def test_a_question_of_either_visit_is_asked_before_the_verdict(visits: Path, tmp_path: Path) -> None:
    bare = caution("bare-to-end", Flank.LEFT, "left.jpg", end="B")
    told = {"code": bare.code, "message": caution_message(bare), "remedy": caution_remedy(bare)}
    asked = changed(visits / "before", tmp_path / "asked.json", cautions=[told])
    said = run("compare", asked, visits / "after").stdout
    assert said.index("Was it painted right up to end B?") < said.index("Better")
    content = document(run("compare", asked, visits / "after", "--json"))
    assert (content["verdict"], content["cautions"][0]["code"]) == ("better", "visit-asked")


def test_results_without_their_folders_say_why_there_is_no_picture(visits: Path, tmp_path: Path) -> None:
    alone = shutil.copy(visits / "before" / "judgement.json", tmp_path / "judgement.json")
    result = run("compare", alone, visits / "after", "--out", tmp_path / "change", "--full")
    assert result.exit_code == 0, result.output
    assert "left_1.flat.jpg is not there" in result.stdout
    assert not list((tmp_path / "change").glob("*.png"))


def test_photos_serve_in_place_of_either_result(visits: Path, tmp_path: Path) -> None:
    marking = ["--marking", "transfer"]
    by_folders = document(run("compare", visits / "before", visits / "after", "--json"))
    mixed = ["compare", visits / "before", *photo_words("after"), *marking]
    assert document(run(*mixed, "--json"))["left"] == by_folders["left"]
    result = run("compare", *photo_words("before"), visits / "after", *marking, "--out", tmp_path)
    assert len(result.stdout.splitlines()) <= 15
    told = " ".join(result.stdout.split())
    assert told.endswith("Better, if both results are of one machine: the pattern came nearer to its place.")
    assert (tmp_path / "right_change.png").is_file()


@pytest.mark.parametrize("count", [0, 1, 3])
def test_a_state_too_few_or_too_many_is_wrong_use(visits: Path, count: int) -> None:
    result = run("compare", *[visits / "before"] * count)
    assert result.exit_code == 2
    assert "Give BEFORE and AFTER" in result.stderr
    assert run("compare", visits / "before", visits / "after", *photo_words("after")).exit_code == 2


def test_exchanged_photos_are_refused_with_both_causes(visits: Path, tmp_path: Path) -> None:
    content = json.loads((visits / "before" / "judgement.json").read_text())
    path = changed(visits / "before", tmp_path / "judgement.json", left=content["right"], right=content["left"])
    result = run("compare", visits / "before", path)
    assert result.exit_code == 6
    assert "left and right flank were exchanged" in result.stderr
    assert "end A and end B were" in result.stderr


def mirrored(photo: Path, folder: Path) -> tuple[Path, Path]:
    """A photo of the other flank as a selfie camera shows it, and its outline."""
    flank = "left" if photo.stem.endswith("right") else "right"
    target, outline = folder / f"mirrored_{flank}.png", json.loads(outline_of(photo).read_text())
    with Image.open(photo) as picture:
        upright = ImageOps.exif_transpose(picture)
        width = upright.width
        ImageOps.mirror(upright).save(target)
    for one in outline["flanks"]:
        one["flank"] = flank
        for edge in ("root", "tip", "end_a", "end_b"):
            one[edge] = [[width - 1 - x, y] for x, y in one[edge]]
    outline_of(target).write_text(json.dumps(outline | {"photo": target.name}))
    return target, outline_of(target)


def test_mirrored_photos_are_refused_with_both_causes(tmp_path: Path) -> None:
    words: list[object] = []
    for flank, source in (("left", "right"), ("right", "left")):
        photo, outline = mirrored(SAMPLES / f"goods_lift_after_{source}.jpg", tmp_path)
        words += [f"--after-{flank}", photo, f"--after-{flank}-outline", outline]
    result = run("compare", *photo_words("before"), *words, "--marking", "transfer")
    assert result.exit_code == 6
    assert "right-hand wheel in the photos of one result, and as on a left-hand wheel" in result.stderr
    assert "mirrored" in result.stderr
    assert "another wheel" in result.stderr


@pytest.mark.parametrize(
    ("other", "found"),
    [
        ({"gear": {"teeth": 41}}, "different wheels: teeth 46 and 41"),
        ({"machine": "Quarry winch"}, "different machines"),
        ({"target": {"left_along": 0.4, "right_along": 0.5}}, "different targets"),
    ],
)
def test_another_wheel_machine_or_target_is_refused(
    visits: Path, tmp_path: Path, other: dict[str, Any], found: str
) -> None:
    before = changed(visits / "before", tmp_path / "before.json", gear={"teeth": 46}, machine="Goods lift")
    after = changed(visits / "after", tmp_path / "after.json", **other)
    result = run("compare", before, after)
    assert result.exit_code == 6
    assert found in result.stderr
    assert "Either" in result.stderr


def test_a_photo_of_both_visits_is_refused_and_named(visits: Path, tmp_path: Path) -> None:
    result = run("compare", visits / "before", visits / "before")
    assert result.exit_code == 6
    assert "same photo was used for before and after: goods_lift_before_left.jpg" in result.stderr
    photo, outline = mirrored(SAMPLES / "goods_lift_before_left.jpg", tmp_path)
    words = ["--after-right", photo, "--after-right-outline", outline]
    result = run("compare", *photo_words("before"), *photo_words("after")[:4], *words, "--marking", "transfer")
    assert result.exit_code == 6
    assert f"goods_lift_before_left.jpg and {photo.name}" in result.stderr


def test_coverage_stands_only_between_equal_films(visits: Path, tmp_path: Path) -> None:
    thin = changed(visits / "before", tmp_path / "thin.json", film="thin")
    thick = changed(visits / "after", tmp_path / "thick.json", film="thick")
    assert document(run("compare", thin, thick, "--json"))["comparable"]["coverage"] is False
    assert document(run("compare", thin, visits / "after", "--json"))["comparable"]["coverage"] is False
    result = run("compare", thin, thick, "--full")
    assert "'thin' before and 'thick' after" in result.stdout
    assert "Part of the flank touched" not in result.stdout


def test_wheels_marked_in_two_ways_are_not_compared_without_a_sheet(visits: Path) -> None:
    """Two real wheels, one printed and one rubbed off; nothing in the files tells one from the other."""
    words: list[object] = []
    for flank in ("left", "right"):
        photo = SAMPLES / f"mill_hoist_{flank}.jpg"
        words += [f"--after-{flank}", photo, f"--after-{flank}-outline", outline_of(photo)]
    content = document(run("compare", visits / "before", *words, "--marking", "rub-off", "--json"))
    assert content["verdict"] == "not-comparable"
    assert content["comparable"]["position"] is False
    assert "judge both with its sheet" in content["because"]


@pytest.mark.parametrize(
    "words",
    [
        *(["--film", "thin"], ["--marking", "transfer"], ["--sheet", SHEET]),
        *(["--proof", "none.json"], ["--medium", "tape"], ["--seen", "through"]),
    ],
)
def test_what_is_only_of_use_with_photos_is_not_passed_over_in_silence(visits: Path, words: list[object]) -> None:
    result = run("compare", visits / "before", visits / "after", *words)
    assert result.exit_code == 2
    assert f"{words[0]} says how photos are to be read" in result.stderr


def test_a_dark_photo_is_told_where_a_flank_is_missing(visits: Path) -> None:
    """From photos alone there is no other report that would tell it."""
    dark = SAMPLES / "goods_lift_dark_right.jpg"
    words = [*photo_words("after")[:4], "--after-right", dark, "--after-right-outline", outline_of(dark)]
    result = run("compare", visits / "before", *words, "--sheet", SHEET, "--marking", "transfer", "--full")
    assert result.exit_code == 0, result.output
    told = "A photo taken after the move could not be read. Right flank: goods_lift_dark_right.jpg is black"
    assert told in result.stdout
    assert "nothing can be said of the pair" in result.stdout
    assert "nearer to its place" in result.stdout  # of the left flank, which both visits show
