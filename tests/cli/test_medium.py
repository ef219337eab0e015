"""Prints on tape and paper through the command line: asked which side is seen, read as the truth says, kept as such."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from patternscan.frame import End
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.tags.tag_pair import tag_number
from tests.cli.test_commands import LEFT, RIGHT, SAMPLES, document, outline_of, run
from tests.seeing.test_tags import PAIR, stuck

TAPE, PAPER = (SAMPLES / "lifts" / f"goods_lift_{name}.jpg" for name in ("tape_left", "paper_right"))
TRUTH: dict[str, dict[str, Any]] = json.loads((SAMPLES / "truth" / "truth.json").read_text())
READ = {TAPE: ("left", "tape", "through"), PAPER: ("right", "paper", "touched")}


def words(photo: Path) -> list[object]:
    flank, medium, seen = READ[photo]
    return ["read", photo, "--flank", flank, "--marking", "transfer", "--medium", medium, "--seen", seen]


@pytest.fixture(scope="module")
def outlines(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Path]:
    """The outline files of both prints, as the tool finds their frames."""
    folder = tmp_path_factory.mktemp("outlines")
    for photo, (flank, medium, seen) in READ.items():
        run("outline", photo, "--flank", flank, "--medium", medium, "--seen", seen, "--out", folder)
    return {photo: folder / f"{photo.stem}.found.outline.json" for photo in READ}


@pytest.mark.parametrize("photo", READ, ids=["tape", "paper"])
def test_a_print_is_read_as_the_truth_of_its_flank_says(photo: Path) -> None:
    flank, medium, seen = READ[photo]
    truth = TRUTH[f"goods_lift_before_{flank}"]
    (read,) = document(run(*words(photo), "--json"))["flanks"]
    assert (read["flank"], read["medium"], read["seen"], read["compound"]) == (flank, medium, seen, "blue")
    for key, interval in (("coverage", read["coverage"]), *read["centroid"].items()):
        assert interval["low"] <= truth[key] <= interval["high"]
    assert [one["code"] for one in read["cautions"]] == ["lifted", "outline-found"]


def test_the_report_says_how_it_was_read() -> None:
    printed = run(*words(PAPER), "--full").stdout
    assert "read from a paper print" in printed
    assert "turned back from its mirror image" in printed


@pytest.mark.parametrize(
    ("said", "code", "told"),
    [
        (["--medium", "tape"], 2, "which side of the tape"),
        (["--seen", "touched"], 2, "not that tape or paper was photographed"),
        (["--medium", "tape", "--seen", "touched"], 6, "the outline file says"),
        (["--medium", "paper", "--seen", "through"], 6, "the outline file says"),
        (["--medium", "cloth"], 2, "cloth"),
    ],
)
def test_half_and_wrong_answers_are_refused(
    said: list[object], code: int, told: str, outlines: dict[Path, Path]
) -> None:
    given = [] if code == 2 else ["--outline", outlines[TAPE]]
    ended = run("read", TAPE, "--flank", "left", "--marking", "transfer", *said, *given)
    assert ended.exit_code == code, ended.output
    assert told in ended.stderr


@pytest.fixture(scope="module")
def on_card(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The print on tape, with the printed tag of end A beside its frame, turned on its side."""
    photo = stuck(load_photo(TAPE), tag_number(PAIR, End.A), np.array([1010.0, 480.0]))
    path = tmp_path_factory.mktemp("card") / "card.png"
    Image.fromarray(np.rot90(photo.pixels)).save(path)
    return path


def test_a_tag_on_the_card_tells_the_end_and_where_the_tip_points(on_card: Path) -> None:
    said = ["--flank", "left", "--medium", "tape", "--seen", "through", "--marking", "transfer"]
    (read,) = document(run("read", on_card, *said, "--json"))["flanks"]
    assert read["ends"] == "tag"
    along = read["centroid"]["along"]
    assert along["low"] <= TRUTH["goods_lift_before_left"]["along"] <= along["high"]


@pytest.mark.parametrize(
    ("flank", "seen", "told"),
    [("left", "touched", "tape off the left flank has its end B"), ("right", "through", "tape off the right flank")],
)
def test_a_tag_on_the_card_refuses_the_other_side_and_the_other_flank(
    on_card: Path, flank: str, seen: str, told: str
) -> None:
    said = ["--flank", flank, "--medium", "tape", "--seen", seen, "--marking", "transfer"]
    ended = run("read", on_card, *said)
    assert ended.exit_code == 6, ended.output
    assert told in " ".join(ended.stderr.split())
    assert "the other side of the tape or paper is seen than was said" in " ".join(ended.stderr.split())


def test_a_list_says_of_each_print_what_it_is_and_the_table_too(tmp_path: Path) -> None:
    lines = [["photo", "flank", "marking", "medium", "seen"]]
    lines += [[str(photo), flank, "transfer", medium, seen] for photo, (flank, medium, seen) in READ.items()]
    listed = tmp_path / "prints.csv"
    listed.write_text("\n".join(map(",".join, lines)), encoding="utf-8")
    assert run("read", listed, "--out", tmp_path / "read").exit_code == 0
    with (tmp_path / "read" / "summary.csv").open(encoding="utf-8", newline="") as file:
        told = [(row["flank"], row["marking"], row["medium"], row["seen"]) for row in csv.DictReader(file)]
    assert told == [(flank, "transfer", medium, seen) for flank, medium, seen in READ.values()]


@pytest.mark.parametrize("photo", READ, ids=["tape", "paper"])
def test_an_unusual_side_is_a_doubt(photo: Path) -> None:
    flank, medium, seen = READ[photo]
    other = "touched" if seen == "through" else "through"
    said = ["--flank", flank, "--medium", medium, "--seen", other, "--marking", "transfer"]
    (read,) = document(run("read", photo, *said, "--json"))["flanks"]
    assert read["cautions"][-1]["code"] == f"{medium}-{other}"


def test_the_other_side_contradicts_where_the_a_is_seen() -> None:
    said = ["read", PAPER, "--end-a", "right", "--marking", "transfer", "--medium", "paper"]
    assert run(*said, "--seen", "touched").exit_code == 0
    ended = run(*said, "--flank", "right", "--seen", "through")
    assert ended.exit_code == 6
    assert "where the letter A was written" in ended.stderr


def test_the_outline_file_tells_what_was_photographed(outlines: dict[Path, Path]) -> None:
    (frame,) = read_outline_file(outlines[PAPER]).outlines
    assert frame.lift is not None
    assert frame.lift.mirrored
    (read,) = document(
        run("read", PAPER, "--flank", "right", "--marking", "transfer", "--outline", outlines[PAPER], "--json")
    )["flanks"]
    assert read["medium"] == "paper"


def test_prints_and_flanks_may_be_judged_together_with_a_caution(outlines: dict[Path, Path], tmp_path: Path) -> None:
    prints = ["--left", TAPE, "--left-outline", outlines[TAPE], "--right", PAPER, "--right-outline", outlines[PAPER]]
    judged = document(run("judge", *prints, "--marking", "transfer", "--out", tmp_path / "prints", "--json"))
    assert judged["advice"]["move_wheel"] == "toward-B"
    assert "Is the written A " in (tmp_path / "prints" / "report.md").read_text(encoding="utf-8")
    assert "media-differ" in [one["code"] for one in judged["cautions"]]
    flanks = [
        "--left",
        LEFT,
        "--left-outline",
        outline_of(LEFT),
        "--right",
        RIGHT,
        "--right-outline",
        outline_of(RIGHT),
    ]
    run("judge", *flanks, "--marking", "transfer", "--out", tmp_path / "flanks")
    compared = document(run("compare", tmp_path / "flanks", tmp_path / "prints", "--json"))
    assert "media-compared" in [one["code"] for one in compared["cautions"]]
    assert compared["comparable"]["coverage"] is False
    assert compared["comparable"]["position"] is True


EACH = ["--left", TAPE, "--left-medium", "tape-through", "--right", PAPER, "--right-medium", "paper-touched"]


def test_each_photo_may_be_said_to_be_another_print() -> None:
    """Told alike, one of them would be read in a mirror, and the wheel be sent the wrong way."""
    alike = ["--left", TAPE, "--right", PAPER, "--medium", "tape", "--seen", "through"]
    wrong, right = (document(run("judge", *one, "--marking", "transfer", "--json")) for one in (alike, EACH))
    assert [one["advice"]["move_wheel"] for one in (wrong, right)] == ["toward-A", "toward-B"]
    for flank in ("left", "right"):
        (read,) = right[flank][0]["flanks"]
        low, high = (read["centroid"]["along"][end] for end in ("low", "high"))
        assert low <= TRUTH[f"goods_lift_before_{flank}"]["along"] <= high
    over = [*alike, "--right-medium", "paper-touched"]
    assert document(run("judge", *over, "--marking", "transfer", "--json"))["advice"]["move_wheel"] == "toward-B"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--left-medium", "tape"], "'tape' is not one of 'flank', 'tape-touched', 'tape-through'"),
        (["--left-medium", "tape-through", "--left-medium", "flank"], "--left-medium is there 2 times"),
    ],
)
def test_what_is_said_of_each_photo_is_whole_and_as_often_as_there_are_photos(words: list[object], told: str) -> None:
    ended = run("judge", "--left", TAPE, "--right", PAPER, "--marking", "transfer", *words)
    assert ended.exit_code == 2
    assert told in " ".join(ended.stderr.split())


def test_the_page_to_mark_a_print_on_is_of_what_is_said_of_that_photo(tmp_path: Path) -> None:
    """Without its frame a print is marked by hand, and the saved file has to say what it is."""
    blank = tmp_path / "blank.png"
    Image.new("RGB", (900, 600), (225, 225, 225)).save(blank)
    said = ["--left", blank, "--left-medium", "tape-through", "--right", PAPER, "--right-medium", "paper-touched"]
    run("judge", *said, "--marking", "transfer", "--out", tmp_path / "out")
    (page,) = tmp_path.rglob("blank.outline.html")
    assert re.search(r'"medium": ?"tape", ?"seen": ?"through"', page.read_text(encoding="utf-8"))


def test_a_list_may_say_it_of_each_photo_of_a_machine(tmp_path: Path) -> None:
    lines = [["photo", "flank", "machine", "medium", "seen"]]
    lines += [[str(photo), flank, "Goods lift", medium, seen] for photo, (flank, medium, seen) in READ.items()]
    listed, done = tmp_path / "prints.csv", tmp_path / "done"
    listed.write_text("\n".join(map(",".join, lines)), encoding="utf-8")
    assert run("judge", listed, "--marking", "transfer", "--out", done).exit_code == 0
    with (done / "machines.csv").open(encoding="utf-8", newline="") as file:
        assert [row["move"] for row in csv.DictReader(file)] == ["toward-B"]
    listed.write_text(listed.read_text(encoding="utf-8").replace("paper,touched", "paper,through"), encoding="utf-8")
    anew = run("judge", listed, "--marking", "transfer", "--out", done)
    assert anew.exit_code == 7, "what an earlier run kept is not taken for it"


def test_the_sheet_may_say_what_is_photographed_as_a_rule(tmp_path: Path) -> None:
    sheet = tmp_path / "lift.toml"
    sheet.write_text('[photos]\nmarking = "transfer"\nmedium = "paper"\nseen = "touched"\n', encoding="utf-8")
    (read,) = document(run("read", PAPER, "--flank", "right", "--sheet", sheet, "--json"))["flanks"]
    assert read["medium"] == "paper"
    sheet.write_text('[photos]\nmedium = "paper"\n', encoding="utf-8")
    ended = run("read", PAPER, "--flank", "right", "--marking", "transfer", "--sheet", sheet)
    assert ended.exit_code == 2
    assert "does not say which side of it is seen" in ended.stderr


def test_no_truth_is_painted_on_a_print(outlines: dict[Path, Path], tmp_path: Path) -> None:
    said = ["--flank", "right", "--marking", "transfer", "--outline", outlines[PAPER], "--out", tmp_path]
    ended = run("truth", PAPER, *said)
    assert ended.exit_code == 2
    assert "not the flank itself" in ended.stderr
