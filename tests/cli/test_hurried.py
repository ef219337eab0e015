"""What a person in a hurry types wrong on the command line, and the sentence that says what was wrong with it."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest
from PIL import Image

from patternscan.cli import COMMANDS
from patternscan.cli.marking import pages_to_mark
from patternscan.errors import NoTrustworthyOutline, UnreadablePhoto, WrongUse
from patternscan.frame import Flank, Marking
from patternscan.reporting.text.wording import sure_words
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.photo_list import find_photos, read_list
from patternscan.workflow.inputs.settings import ReadingSettings
from tests.cli.test_commands import outline_of, run

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
        (("left flank Zahn.jpg",), "The name of left flank Zahn.jpg does not say", "with left or right last"),
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


def test_a_machine_one_folder_further_in_is_pointed_to(tmp_path: Path) -> None:
    laid(tmp_path / "lift", "readme.txt")
    inner = laid(tmp_path / "lift" / "lift", "left.jpg", "right.jpg")
    told = run("judge", tmp_path / "lift", "--marking", "transfer").stderr
    assert f"The photos lie in a folder inside: {inner}.\nGive that folder." in told


def test_an_empty_folder_holds_no_photo(tmp_path: Path) -> None:
    result = run("judge", tmp_path, "--marking", "transfer")
    assert (result.exit_code, "There is no photo in" in result.stderr) == (3, True)


def test_a_name_with_blanks_is_asked_for_in_quotation_marks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for words in (("read", "Zahn", "links 1.jpg", "--flank", "left"), ("judge", "Alter", "Aufzug")):
        result = run(*words)
        assert result.exit_code == 2
        assert "A name with blanks in it needs quotation marks." in result.stderr


def test_a_photo_in_black_and_white_is_not_blamed_on_the_lamp(tmp_path: Path) -> None:
    photo = tmp_path / LEFT.name
    with Image.open(LEFT) as image:
        image.convert("L").save(photo, exif=image.getexif())
    words = ["read", photo, "--flank", "left", "--marking", "transfer", "--out", tmp_path / "out"]
    given, searched = run(*words, "--outline", outline_of(LEFT)), run(*words)
    assert (given.exit_code, searched.exit_code) == (5, 5)
    assert given.stderr == searched.stderr
    assert given.stderr.startswith(f"{photo.name} is black and white: compound is told by its colour.\nGive the photo")
    judged = run("judge", "--left", photo, "--right", RIGHT, "--right-outline", outline_of(RIGHT), *words[4:6])
    assert judged.stdout.endswith(f"Take the LEFT photo ({photo.name}) again: in colours.\n")


def test_a_preview_in_which_no_flank_is_surely_seen_is_called_too_small(tmp_path: Path) -> None:
    photo = tmp_path / "left.jpg"
    with Image.open(LEFT) as image:
        image.thumbnail((160, 160))
        image.save(photo, exif=image.getexif())
    result = run("judge", "--left", photo, "--right", RIGHT, "--marking", "transfer", "--out", tmp_path / "out")
    assert (result.exit_code, result.stdout) == (3, "")
    assert "left.jpg is only 160 x 120 pixels, too small to find a flank in it.\n" in result.stderr


@pytest.mark.parametrize("words", [("read", "", "--flank", "left"), ("judge", ""), ("judge", "x", "--sheet", "")])
def test_an_empty_name_is_not_the_folder_where_one_is(words: tuple[str, ...]) -> None:
    result = run(*words, "--marking", "transfer")
    assert result.exit_code == 2
    assert "The name is empty." in result.stderr


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


def test_where_results_cannot_go_is_said_before_any_photo_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("a photo was read")

    monkeypatch.setattr("patternscan.cli.read.read_photo", never)
    monkeypatch.setattr("patternscan.cli.judge.judge_photos", never)
    photos, file, used = laid(tmp_path / "photos", "left.jpg", "right.jpg"), tmp_path / "note.txt", tmp_path / "used"
    file.write_text("a note")
    laid(used, "judgement.json", "left.reading.json")
    judge = ("judge", photos, "--marking", "transfer", "--out")
    read = ("read", photos / "left.jpg", "--flank", "left", "--marking", "transfer", "--out")
    for words in (judge, read):
        assert f"{file} is a file, not a folder." in run(*words, file).stderr
        result = run(*words, used)
        assert result.exit_code == 7
        assert "is already there.\nGive another folder or name, or --overwrite" in result.stderr


def test_a_folder_inside_a_file_is_refused_as_such(tmp_path: Path) -> None:
    (tmp_path / "note.txt").write_text("a note")
    for words in (("tags", "--machine", "Hoist", "--out"), ("sheet", "--new", "Hoist")):
        result = run(*words, tmp_path / "note.txt" / "in" / "it.pdf")
        assert result.exit_code == 7
        assert f"{tmp_path / 'note.txt'} is a file, not a folder." in result.stderr


def test_photos_given_for_results_are_told_their_options() -> None:
    result = run("compare", LEFT, RIGHT)
    assert result.exit_code == 2
    assert f"{LEFT} is a photo, not a result." in result.stderr
    assert "--before-left" in result.stderr


def test_a_folder_of_photos_given_for_a_result_is_to_be_judged_first(tmp_path: Path) -> None:
    """Also where the marking is said, which judging wants and comparing does not."""
    (tmp_path / "before_left.jpg").write_bytes(b"")
    for more in ((), ("--marking", "transfer")):
        result = run("compare", tmp_path, tmp_path, *more)
        assert result.exit_code == 2
        found, remedy = result.stderr.splitlines()
        assert found == f"The folder {tmp_path} holds photos, not a result."
        assert remedy.startswith("Judge each visit first (patternscan judge FOLDER")


def test_a_wrong_tip_may_be_said_right_in_place_of_marking_by_hand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stop = NoTrustworthyOutline("The tips seem to point right, not down.", "Mark it.")
    photo = PhotoInput(tmp_path / "a.jpg", Flank.LEFT, tip=PictureSide.DOWN)
    page = {tmp_path / "a.outline.html": b"page"}
    monkeypatch.setattr("patternscan.cli.marking._start", lambda *_: True)
    monkeypatch.setattr("patternscan.cli.marking.outline_files", lambda *_: page)
    with (
        pytest.raises(NoTrustworthyOutline, match=r"say it with --tip. Or open .*a\.outline\.html in a browser"),
        pages_to_mark([photo], ReadingSettings(Sheet(), None, Marking.TRANSFER), tmp_path),
    ):
        raise stop


def test_end_a_on_the_line_of_the_tip_asks_for_the_tip() -> None:
    told = run("read", LEFT, "--end-a", "up", "--marking", "transfer").stderr
    assert "Say with --tip where the tip points, and on which side of it the letter A is seen." in told


def test_the_tool_is_never_wholly_sure_of_what_it_found() -> None:
    assert sure_words(1.0) == sure_words(0.994) == "over 99 % sure"
    assert sure_words(0.985) == "98 % sure"


@pytest.mark.parametrize("typed", ["3,15", "3.15mm", "0.12 in"])
def test_a_number_with_a_comma_or_a_unit_is_told_its_form(typed: str) -> None:
    assert "Write it with a point and without its unit, such as 3.15." in run("predict", "--module", typed).stderr
    assert "Write it with" not in run("predict", "--module", "wide").stderr


def test_missing_gear_data_are_a_short_list_of_options() -> None:
    told = run("predict", "--module", "3").stderr.splitlines()[0]
    assert "the number of starts (--starts or starts)" in told
    assert "on the sheet" not in told


@pytest.mark.parametrize("marking", ["rub off", "Rub-Off", "RUBOFF"])
def test_a_list_takes_a_word_however_it_is_written(tmp_path: Path, marking: str) -> None:
    path = tmp_path / "photos.csv"
    path.write_text(f"photo,flank,marking\na.jpg,Left,{marking}\n")
    (entry,) = read_list(path)
    assert (entry.flank, entry.marking) == (Flank.LEFT, Marking.RUB_OFF)
    path.write_text("photo,marking\na.jpg,rub\n")
    with pytest.raises(WrongUse, match="marking is 'rub', expected transfer or rub-off"):
        read_list(path)


def test_of_many_photos_what_to_do_about_one_fault_is_told_once(tmp_path: Path) -> None:
    photos = laid(tmp_path / "site", *(f"IMG_{number}.jpg" for number in range(5)))
    result = run("read", photos, "--marking", "transfer", "--out", tmp_path / "out")
    assert result.stderr.count("It is not said which flank the photo shows.") == 5  # each as it is come to
    assert "Fill in the column" not in result.stderr
    assert result.stdout.count("Fill in the column 'flank' of the list") == 1
    assert "- IMG_0.jpg, IMG_1.jpg, IMG_2.jpg and 2 more: It is not said" in result.stdout


def test_a_pdf_gets_a_name_that_opens_as_one(tmp_path: Path) -> None:
    job = tmp_path / "job"
    run("start", job)
    page = ("--out", tmp_path / "page.html")
    for words in (("tags", "--out"), ("record", job, "--card"), ("record", job, *page, "--pdf")):
        result = run(*words, tmp_path / "lift.txt")
        assert result.exit_code == 2
        assert "lift.txt does not end in .pdf." in result.stderr
        assert not (tmp_path / "lift.txt").exists()
    assert "The PDF goes with the page, and no page is named." in run("record", job, "--pdf", "a.pdf").stderr
    named = run("record", job, "--out", tmp_path / "lift.pdf")
    assert (named.exit_code, (tmp_path / "lift.pdf").exists()) == (2, False)
    assert "lift.pdf would hold a page, not a PDF.\nGive the PDF with --pdf, and --out lift.html" in named.stderr


def test_a_word_near_to_two_gets_all_that_fit(tmp_path: Path) -> None:
    """To guess the other end's carrier would turn the work round."""
    run("start", tmp_path / "job")
    told = run("log", "shims-found", "carrier-C", "0.6mm", "--job", tmp_path / "job").stderr
    assert "Give carrier-A or carrier-B or worm or outboard." in told
    assert "Did you mean outboard?" in run("log", "shims-found", "outbord", "0.6mm", "--job", tmp_path / "job").stderr


def test_numbers_are_never_told_in_powers_of_ten(tmp_path: Path) -> None:
    run("start", tmp_path / "job")
    assert "1 to 1000000" in run("log", "strike", "x", "--because", "y", "--job", tmp_path / "job").stderr


def test_an_empty_log_says_so(tmp_path: Path) -> None:
    run("start", tmp_path / "job")
    assert "There is no entry in the log yet." in run("log", "show", "--job", tmp_path / "job").stderr


def test_what_is_to_be_noted_has_a_line_for_each_thing(tmp_path: Path) -> None:
    run("start", tmp_path / "job")
    lines = run("next", tmp_path / "job").stdout.splitlines()
    assert any(line.startswith("  - Read the end play of the worm:") for line in lines)


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_help_names_files_folders_and_numbers_as_such(command: str) -> None:
    told = run(command, "--help").stdout
    assert not re.search(r"\bPATH\b|\bRANGE\b|\bINTEGER\b|\bFLOAT\b", told)


def test_the_help_of_judge_begins_with_one_machine() -> None:
    told = " ".join(run("judge", "--help").stdout.split())
    assert told.index("photos of one machine") < told.index("Many machines:") < told.index("Options:")


def test_the_page_given_for_the_outline_is_called_the_page(tmp_path: Path) -> None:
    page = tmp_path / "left.outline.html"
    page.write_text("<!DOCTYPE html>", encoding="utf-8")
    result = run("read", LEFT, "--flank", "left", "--marking", "transfer", "--outline", page)
    assert (result.exit_code, result.stderr.splitlines()[0]) == (
        4,
        "left.outline.html is the page to mark the outline on, not the outline.",
    )
