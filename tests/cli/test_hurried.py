"""What a person in a hurry types wrong on the command line, and the sentence that says what was wrong with it."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from patternscan.errors import UnreadablePhoto
from patternscan.workflow.inputs.photo_list import find_photos
from tests.cli.test_commands import run

SAMPLES = Path(__file__).parent.parent.parent / "sample_images"
LEFT, RIGHT = (SAMPLES / f"goods_lift_before_{flank}.jpg" for flank in ("left", "right"))


def laid(folder: Path, *names: str) -> Path:
    """A folder with photos of these names; nothing looks into them here."""
    folder.mkdir(exist_ok=True)
    for name in names:
        (folder / name).write_bytes(b"photo")
    return folder


@pytest.mark.parametrize(
    ("names", "found", "remedy"),
    [
        (("left.jpg", "left2.jpg"), "holds photos of the left flank alone.", "Add one of the right flank."),
        (("Zahn 1.jpg", "Zahn 2.jpg"), "The name of Zahn 1.jpg (and of 1 more) does not say which flank", "Name the"),
        (("left.jpg", "unnamed.jpg"), "The name of unnamed.jpg does not say which flank", "lift_left.jpg"),
        (("a_left.jpg", "b_right.jpg"), "are not all of one machine and one visit", "Give the folder of one machine"),
    ],
)
def test_a_folder_that_is_not_one_machine_says_why(
    tmp_path: Path, names: tuple[str, ...], found: str, remedy: str
) -> None:
    result = run("judge", laid(tmp_path / "photos", *names), "--marking", "transfer")
    assert result.exit_code == 2
    assert found in result.stderr
    assert remedy in result.stderr
    assert "For a table of many photos give --out FOLDER." in result.stderr


def test_an_empty_folder_holds_no_photo(tmp_path: Path) -> None:
    result = run("judge", tmp_path, "--marking", "transfer")
    assert (result.exit_code, "There is no photo in" in result.stderr) == (3, True)


def test_a_name_with_blanks_is_asked_for_in_quotation_marks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for words in (("read", "Zahn", "links 1.jpg", "--flank", "left"), ("judge", "Alter", "Aufzug")):
        result = run(*words)
        assert result.exit_code == 2
        assert "A name with blanks in it needs quotation marks." in result.stderr


def test_two_folders_are_judged_one_at_a_time(tmp_path: Path) -> None:
    one, other = (laid(tmp_path / name, "left.jpg") for name in "ab")
    result = run("judge", one, other, "--marking", "transfer")
    assert f"{one} and {other} cannot be judged together." in result.stderr


def test_a_name_that_begins_with_a_dash_is_told_how_to_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    laid(tmp_path, "-left.jpg")
    monkeypatch.chdir(tmp_path)
    assert "Write it as ./-left.jpg." in run("read", "-left.jpg", "--flank", "left").stderr
    assert "No such option" in run("read", "-right.jpg", "--flank", "left").stderr


def test_a_photo_with_an_odd_name_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(LEFT, "-Zähne links.jpg")
    outline = LEFT.with_suffix(".outline.json").read_text().replace(LEFT.name, "-Zähne links.jpg")
    Path("umriß.json").write_text(outline)
    words = ("read", "./-Zähne links.jpg", "--flank", "left", "--marking", "transfer", "--outline", "umriß.json")
    result = run(*words)
    assert result.exit_code == 0
    assert "-Zähne links.jpg, 20" in result.stdout


def test_a_wrong_marking_is_told_what_both_mean() -> None:
    told = run("read", "a.jpg", "--flank", "left", "--marking", "blue").stderr
    assert "'transfer' = the painted worm printed onto clean teeth; 'rub-off' = the painted teeth" in told


@pytest.mark.skipif(os.name == "nt", reason="who may read is told otherwise there")
def test_a_folder_that_may_not_be_opened_does_not_look_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As it is for a person who is not root, whom no folder is closed to."""

    def closed(_: Path) -> list[str]:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("patternscan.workflow.inputs.photo_list.os.listdir", closed)
    with pytest.raises(UnreadablePhoto, match="may not be opened by you"):
        find_photos(laid(tmp_path, "left.jpg"))
