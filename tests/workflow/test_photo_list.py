"""The list of photos: found in a folder, written for a person, read back from a spreadsheet."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from patternscan.errors import NoTrustworthyOutline, UnreadablePhoto, WrongUse
from patternscan.frame import Flank, Marking, Medium, Seen
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.workflow.disk.spreadsheet import CsvStyle
from patternscan.workflow.inputs.photo_list import (
    ListedPhoto,
    by_machine,
    find_photos,
    list_bytes,
    read_list,
    starting_list,
    with_flanks,
)


def lay_photo(path: Path, *flanks: str) -> Path:
    """A file with a photo's name, and beside it an outline file that says these flanks."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch()
    if flanks:
        edges = {"root": [[9, 80], [99, 80]], "tip": [[9, 9], [99, 9]], "end_a": [[9, 80], [9, 9]]}
        edges["end_b"] = [[99, 80], [99, 9]]
        mirrored = {name: [[108 - x, y] for x, y in points] for name, points in edges.items()}
        shown = [{"flank": one, "tooth": "1", **(mirrored if one == "left" else edges)} for one in flanks]
        content = {"format": "patternscan-outline", "version": 1, "photo": path.name, "flanks": shown}
        path.with_name(f"{path.stem}.outline.json").write_text(json.dumps(content))
    return path


def list_file(folder: Path, *lines: str, encoding: str = "utf-8") -> Path:
    path = folder / "list.csv"
    path.write_text("\n".join(lines) + "\n", encoding=encoding)
    return path


def test_the_flank_comes_from_the_outline_file_and_never_from_the_name_of_the_photo(tmp_path: Path) -> None:
    lay_photo(tmp_path / "left_or_so.jpg", "right")
    lay_photo(tmp_path / "right.jpg")
    started = starting_list(find_photos(tmp_path))
    assert [(one.name, one.flank) for one in started] == [("left_or_so.jpg", Flank.RIGHT), ("right.jpg", None)]


def test_an_outline_file_with_both_flanks_gives_two_entries(tmp_path: Path) -> None:
    lay_photo(tmp_path / "gap.jpg", "right", "left", "left")
    assert [one.flank for one in starting_list(find_photos(tmp_path))] == [Flank.RIGHT, Flank.LEFT]


def test_what_is_no_photo_is_passed_over(tmp_path: Path) -> None:
    own = ("a.annotated.jpg", "a.left.check.png", "left_1.close_up.jpg", "left_1.flat.jpg", "right_change.png")
    for name in ("b.JPG", "a.heic", ".hidden.jpg", "notes.txt", *own):
        lay_photo(tmp_path / name)
    lay_photo(tmp_path / "results" / "photos" / "x.jpg")
    lay_photo(tmp_path / ".trash" / "old.jpg")
    lay_photo(tmp_path / "earlier" / "photos" / "a.jpg.left" / "picture.jpg").with_name("record.json").touch()
    assert [one.name for one in find_photos(tmp_path, tmp_path / "results")] == ["a.heic", "b.JPG"]


def test_each_folder_within_is_a_machine(tmp_path: Path) -> None:
    for name in ("north/1.jpg", "north/2.jpg", "south/1.jpg"):
        lay_photo(tmp_path / name, "left")
    machines = by_machine(find_photos(tmp_path))
    assert {name: [one.name for one in own] for name, own in machines.items()} == {
        "north": ["north/1.jpg", "north/2.jpg"],
        "south": ["south/1.jpg"],
    }


def test_a_folder_without_photos_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadablePhoto, match="There is no photo in"):
        find_photos(tmp_path)


def test_the_list_that_is_written_is_read_back_from_another_folder(tmp_path: Path) -> None:
    lay_photo(tmp_path / "site" / "=1+1.jpg", "left")
    lay_photo(tmp_path / "site" / "north, upper" / "b.jpg")
    started = starting_list(find_photos(tmp_path / "site"))
    (tmp_path / "site" / "photos.csv").write_bytes(list_bytes(started, tmp_path / "site"))
    text = (tmp_path / "site" / "photos.csv").read_text()
    assert not any(cell.startswith("=") for line in text.splitlines() for cell in line.split(","))
    back = read_list(tmp_path / "site" / "photos.csv")
    assert [one.photo.resolve() for one in back] == [one.photo.resolve() for one in started]
    assert [(one.flank, one.machine) for one in back] == [(Flank.LEFT, "site"), (None, "north, upper")]
    assert back[0].outline is not None
    assert back[0].outline.samefile(tmp_path / "site" / "=1+1.outline.json")


@pytest.mark.parametrize(("separator", "encoding"), [(",", "utf-8"), (";", "utf-8-sig"), ("\t", "utf-8-sig")])
def test_lists_as_spreadsheets_save_them(tmp_path: Path, separator: str, encoding: str) -> None:
    rows = [
        ["Photo", "FLANK", "tip", "machine", "sheet", "marking", "Medium", "seen", "note"],
        ["ä.jpg", "Right", "down", "Lift 1", "s/lift.toml", "rub-off", "Tape", "through", "x"],
        [""] * 9,
    ]
    path = list_file(tmp_path, *(separator.join(row) for row in rows), encoding=encoding)
    expected = ListedPhoto(
        "ä.jpg",
        tmp_path / "ä.jpg",
        Flank.RIGHT,
        tip=PictureSide.DOWN,
        machine="Lift 1",
        sheet=tmp_path / "s" / "lift.toml",
        marking=Marking.RUB_OFF,
        told=ToldMedium(Medium.TAPE, Seen.THROUGH),
    )
    assert read_list(path) == [expected]


def test_all_faults_of_a_list_are_named_with_their_lines(tmp_path: Path) -> None:
    path = list_file(tmp_path, "photo,flank,tip", "a.jpg,lft,up", "", ",left,", "b.jpg,right,skyward")
    with pytest.raises(WrongUse) as stop:
        read_list(path)
    assert all(words in stop.value.found for words in ("line 2: flank is 'lft'", "line 4 names no", "line 5: tip is"))


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["photo,flnk", "a.jpg,left"], "did you mean 'flank'"),
        (["flank", "left"], "does not name the column 'photo'"),
        (["photo,photo", "a.jpg,b.jpg"], "there twice"),
        (["photo"], "names no photo"),
        (["photo,flank", "a, b.jpg,left"], "line 2 has more cells"),
        ([""], "does not name the column 'photo'"),
    ],
)
def test_a_list_that_cannot_be_meant_is_refused(tmp_path: Path, lines: list[str], words: str) -> None:
    with pytest.raises(WrongUse, match=words):
        read_list(list_file(tmp_path, *lines))


def test_a_list_in_another_encoding_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WrongUse, match="not text in UTF-8"):
        read_list(list_file(tmp_path, "photo", "ä.jpg", encoding="cp1252"))


def test_the_list_goes_before_the_option_and_the_option_before_the_outline_file(tmp_path: Path) -> None:
    photo = lay_photo(tmp_path / "a.jpg", "right")
    beside = photo.with_name("a.outline.json")
    said = ListedPhoto("a.jpg", photo, Flank.LEFT, beside)
    assert [one.flank for one in with_flanks(said, Flank.RIGHT)] == [Flank.LEFT]
    unsaid = ListedPhoto("a.jpg", photo, None, beside)
    assert [one.flank for one in with_flanks(unsaid, Flank.LEFT)] == [Flank.LEFT]
    assert [one.flank for one in with_flanks(unsaid)] == [Flank.RIGHT]


def test_a_flank_that_nobody_says_stops(tmp_path: Path) -> None:
    with pytest.raises(WrongUse, match="not said which flank"):
        with_flanks(ListedPhoto("left.jpg", tmp_path / "left.jpg"))
    broken = tmp_path / "left.outline.json"
    broken.write_text("{")
    with pytest.raises(NoTrustworthyOutline):
        with_flanks(ListedPhoto("left.jpg", tmp_path / "left.jpg", outline=broken))


def test_a_machine_is_named_on_every_line_or_on_none() -> None:
    named, unnamed = ListedPhoto("a", Path("a"), machine="Lift"), ListedPhoto("b", Path("b"))
    assert by_machine([unnamed, unnamed]) == {"": [unnamed, unnamed]}
    with pytest.raises(WrongUse, match="to which machine b belongs"):
        by_machine([named, unnamed])


def test_a_list_for_spreadsheets_with_decimal_commas_is_read_back(tmp_path: Path) -> None:
    started = [
        ListedPhoto(
            *("a  b.jpg", tmp_path / "a  b.jpg", Flank.LEFT),
            machine="=Lift",
            tip=PictureSide.DOWN,
            told=ToldMedium(Medium.PAPER, Seen.TOUCHED),
        )
    ]
    path = tmp_path / "list.csv"
    path.write_bytes(list_bytes(started, tmp_path, CsvStyle.COMMA))
    assert path.read_bytes().startswith(b"\xef\xbb\xbfphoto;flank;")
    (back,) = read_list(path)
    assert (back.name, back.flank, back.tip, back.machine) == ("a  b.jpg", Flank.LEFT, "down", "'=Lift")
    assert back.told == started[0].told
