"""A folder with the photos of one machine, told by their names."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from patternscan.frame import Flank
from patternscan.workflow.inputs.machine_folder import MachineFolder, find_machine
from tests.cli.test_commands import SAMPLES, document, judge_words, run
from tests.cli.test_folder import lay_sample


def folder_of(place: Path, *names: str) -> Path:
    """A folder with empty files of these names."""
    place.mkdir(exist_ok=True)
    for name in names:
        path = place / name
        path.parent.mkdir(exist_ok=True)
        path.touch()
    return place


def found(place: Path) -> MachineFolder:
    machine = find_machine(place)
    assert machine is not None
    return machine


@pytest.mark.parametrize(
    ("names", "title"),
    [
        (("left.jpg", "right.jpg"), "site"),
        (("Left1.JPG", "LEFT2.jpg", "right1.png", "right2.jpg"), "site"),
        (("before_left.jpg", "before_right.jpg"), "site"),
        (("after-left.jpg", "After_right.jpg"), "site"),
        (("north_lift_left.jpg", "north_lift_right.jpg"), "north_lift"),
        (("North-lift-before-left3.jpg", "north_lift_before_right.jpg"), "North-lift"),
        (("old_left.jpg", "old_right.jpg", "photos.csv", "left.outline.json"), "old"),
        (("Lift 3 left.jpg", "lift 3 right 2.jpg", "lift_3_left (1).jpg"), "Lift 3"),
        (("left_before.jpg", "before_right_flank.jpg", "left-2-before.jpg"), "site"),
    ],
)
def test_photos_of_one_name_and_state_are_one_machine(tmp_path: Path, names: tuple[str, ...], title: str) -> None:
    machine = found(folder_of(tmp_path / "site", *names))
    assert machine.title == title
    assert all(photo.flank in photo.photo.name.lower() for photo in machine.photos)
    assert {photo.flank for photo in machine.photos} == set(Flank)


@pytest.mark.parametrize(
    "names",
    [
        (),
        ("left.jpg",),
        ("left.jpg", "overview.jpg", "right.jpg"),
        ("north_left.jpg", "south_right.jpg"),
        ("before_left.jpg", "after_right.jpg"),
        ("before_left.jpg", "right_after.jpg"),
        ("left.jpg", "right.jpg", "more/left.jpg"),
        ("leftover.jpg", "right.jpg"),
    ],
)
def test_other_folders_are_not_one_machine(tmp_path: Path, names: tuple[str, ...]) -> None:
    assert find_machine(folder_of(tmp_path / "site", *names)) is None


def test_outlines_and_the_only_sheet_beside_the_photos_are_taken(tmp_path: Path) -> None:
    site = folder_of(tmp_path / "site", "left.jpg", "right.jpg", "right.outline.json", "lift.toml")
    machine = found(site)
    assert [photo.outline for photo in machine.photos] == [None, site / "right.outline.json"]
    assert machine.sheet == site / "lift.toml"
    assert found(folder_of(site, "._lift.toml")).sheet == site / "lift.toml"


@pytest.mark.parametrize("name", ["lift.TOML", "lift.toml.txt", "lift.Toml.TXT"])
def test_a_sheet_is_taken_however_its_ending_is_written(tmp_path: Path, name: str) -> None:
    site = folder_of(tmp_path / "site", "left.jpg", "right.jpg", name, "notes.txt")
    assert found(site).sheet == site / name


def test_of_two_sheets_in_a_folder_one_has_to_be_named(tmp_path: Path) -> None:
    site = tmp_path / "site"
    for flank in ("left", "right"):
        lay_sample(f"goods_lift_before_{flank}", site / f"{flank}.jpg")
    sheets = [shutil.copy(SAMPLES / "goods_lift.toml", site / name) for name in ("goods_lift.toml", "old.toml")]
    result = run("judge", site, "--marking", "transfer")
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{site} holds 2 machine sheets: goods_lift.toml, old.toml.\n" in result.stderr
    assert "--sheet" in result.stderr
    assert (
        document(run("judge", site, "--sheet", sheets[0], "--json"))["machine"] == "Goods lift, north shaft (invented)"
    )


def test_results_among_the_photos_are_passed_over(tmp_path: Path) -> None:
    site = folder_of(tmp_path / "site", "left.jpg", "right.jpg", "out/left.annotated.jpg", "out/plain.jpg")
    assert find_machine(site) is None
    assert find_machine(site, site / "out") is not None


def test_such_a_folder_is_judged_as_its_photos_are_by_their_options(tmp_path: Path) -> None:
    site = tmp_path / "site"
    for flank in ("left", "right"):
        lay_sample(f"goods_lift_before_{flank}", site / f"shaft_{flank}.jpg")
    shutil.copy(SAMPLES / "goods_lift.toml", site)
    content = document(run("judge", site, "--film", "thin", "--json"))
    alone = document(run(*judge_words("goods_lift_before"), "--sheet", SAMPLES / "goods_lift.toml", "--json"))
    assert (content["format"], content["film"]) == ("patternscan-judgement", "thin")
    for key in ("shared_shift", "opposed_shift", "estimate", "machine"):
        assert content[key] == alone[key]


@pytest.mark.study
def test_a_name_from_photos_is_no_proof_of_another_machine(tmp_path: Path) -> None:
    for state in ("before", "after"):
        for flank in ("left", "right"):
            lay_sample(f"goods_lift_{state}_{flank}", tmp_path / state / f"{state}_lift_{state}_{flank}.jpg")
        words = ("judge", tmp_path / state, "--marking", "transfer", "--out", tmp_path / f"{state}_result")
        assert run(*words).exit_code == 0
    kept = json.loads((tmp_path / "after_result" / "judgement.json").read_text())
    assert (kept["machine"], kept["machine_by_folder"]) == ("after_lift", True)
    change = document(run("compare", tmp_path / "before_result", tmp_path / "after_result", "--json"))
    assert change["verdict"] == "better"


def test_a_single_photo_beside_a_folder_is_refused(tmp_path: Path) -> None:
    site = folder_of(tmp_path / "site", "left.jpg", "right.jpg")
    result = run("judge", site, "--left", site / "left.jpg", "--marking", "transfer")
    assert result.exit_code == 2
    assert "--left does not go together with a folder" in result.stderr


@pytest.mark.parametrize(
    "again", ["left.outline (1).json", "left.outline(2).json", "left.outline-2.json", "left.jpg.outline.json"]
)
def test_an_outline_that_was_saved_a_second_time_does_not_leave_the_old_one_in_use(tmp_path: Path, again: str) -> None:
    """A browser does not write over what it saved before; which of the two is right is not told by the name."""
    site = tmp_path / "site"
    for flank in ("left", "right"):
        lay_sample(f"goods_lift_before_{flank}", site / f"{flank}.jpg")
    shutil.copy(site / "left.outline.json", site / again)
    for out in ((), ("--out", tmp_path / "out")):
        result = run("judge", site, "--marking", "transfer", *out)
        assert (result.exit_code, result.stdout) == (2, "")
        assert (
            f"Several outlines lie beside left.jpg: {', '.join(sorted(['left.outline.json', again]))}." in result.stderr
        )
    (site / "left.outline.json").unlink()
    assert found(site).photos[0].outline == site / again
