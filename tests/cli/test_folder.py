"""Many photos at once: all are read as one by one, a bad one stops no other, and a stopped run is taken up again."""

from __future__ import annotations

import csv
import gc
import hashlib
import io
import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PIL import Image

from patternscan.workflow.inputs.photo_list import COLUMNS, RECORD, read_list
from tests.cli.test_commands import SAMPLES, document, judge_words, outline_of, run

NUMBERS = ("coverage", "along", "up")


@dataclass(frozen=True)
class Run:
    """A folder of photos and what was made of it."""

    site: Path
    out: Path
    said: str
    told: str


def lay_sample(name: str, target: Path) -> Path:
    """A sample photo with its outline file, under another name."""
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(SAMPLES / f"{name}.jpg", target)
    content = json.loads(outline_of(SAMPLES / f"{name}.jpg").read_text())
    outline_of(target).write_text(json.dumps(content | {"photo": target.name}))
    return target


def rows_of(table: Path, comma: bool = False) -> list[dict[str, str]]:
    text = table.read_text(encoding="utf-8-sig" if comma else "utf-8")
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=";" if comma else ","))


def contents(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def list_file(folder: Path, *rows: dict[str, object]) -> Path:
    path = folder / "list.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)
    return path


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """Two photos of one name in two folders, an empty file, a photo whose flank nobody says, and a dark one."""
    place = tmp_path_factory.mktemp("many")
    site, out = place / "site", place / "out"
    lay_sample("goods_lift_after_left", site / "north" / "tooth.jpg")
    lay_sample("boat_winch_left", site / "south" / "tooth.jpg")
    lay_sample("goods_lift_dark_right", site / "south" / "dark.jpg")
    lay_sample("stage_hoist_left", site / "empty.jpg").write_bytes(b"")
    shutil.copy(SAMPLES / "stage_hoist_left.jpg", site / "left.jpg")
    before = contents(site)
    result = run("read", site, "--marking", "transfer", "--out", out, "--workers", 2)
    assert result.exit_code == 0, result.output
    assert contents(site) == before
    return Run(site, out, result.stdout, result.stderr)


@pytest.fixture
def again(done: Run, tmp_path: Path) -> Run:
    """The same in a copy that a test may spoil."""
    site, out = shutil.copytree(done.site, tmp_path / "site"), shutil.copytree(done.out, tmp_path / "out")
    return Run(site, out, done.said, done.told)


def test_every_photo_has_its_line_with_code_and_reason(done: Run) -> None:
    rows = {row["photo"]: row for row in rows_of(done.out / "summary.csv")}
    codes = {name: row["code"] for name, row in rows.items()}
    assert codes == {
        "empty.jpg": "3",
        "left.jpg": "2",
        "north/tooth.jpg": "0",
        "south/dark.jpg": "3",
        "south/tooth.jpg": "0",
    }
    assert "not said which flank" in rows["left.jpg"]["reason"]
    assert rows["empty.jpg"]["reason"] == "empty.jpg is empty."
    assert all((row["reason"] == "") == (row["code"] == "0") for row in rows.values())
    assert "Flanks read: 2. Not read: 3." in done.said
    assert "- empty.jpg is empty." in done.said


def test_the_numbers_are_those_of_reading_the_photo_alone(done: Run) -> None:
    for row in (row for row in rows_of(done.out / "summary.csv") if row["code"] == "0"):
        photo = done.site / row["photo"]
        words = ("--flank", row["flank"], "--marking", "transfer", "--outline", outline_of(photo), "--json")
        (flank,) = document(run("read", photo, *words))["flanks"]
        alone = {"coverage": flank["coverage"], **flank["centroid"]}
        for name in NUMBERS:
            assert [float(row[f"{name}{end}"]) for end in ("", "_low", "_high")] == [
                alone[name][key] for key in ("value", "low", "high")
            ]
        assert (row["compound"], float(row["judged_fraction"])) == (flank["compound"], flank["judged_fraction"])


def test_photos_of_one_name_do_not_write_over_each_other(done: Run) -> None:
    folders = {row["photo"]: row["folder"] for row in rows_of(done.out / "summary.csv") if row["code"] == "0"}
    assert len(set(folders.values())) == 2
    for folder in folders.values():
        assert {"tooth.reading.json", "tooth.report.md", "tooth.annotated.jpg", RECORD} <= {
            path.name for path in (done.out / folder).iterdir()
        }


def test_progress_is_told_line_by_line_on_standard_error(done: Run) -> None:
    lines = [line for line in done.told.splitlines() if line.startswith("[")]
    assert [line.partition("]")[0] for line in lines] == [f"[{number}/5" for number in range(1, 6)]
    assert any("north/tooth.jpg (left flank): read" in line for line in lines)


def test_a_starting_list_is_written_that_a_person_can_fill_in(again: Run) -> None:
    rows = {Path(row["photo"]).name: row for row in rows_of(again.out / "photos.csv")}
    assert (rows["left.jpg"]["flank"], rows["dark.jpg"]["flank"]) == ("", "right")
    filled = [
        row | {"flank": row["flank"] or "left", "photo": (again.out / row["photo"]).resolve()}
        for row in rows_of(again.out / "photos.csv")
    ]
    shutil.copy(outline_of(SAMPLES / "stage_hoist_left.jpg"), again.site / "for_left.json")
    result = run("read", list_file(again.out, *filled), "--marking", "transfer", "--out", again.out / "more", "--json")
    assert [row["code"] for row in document(result)["flanks"]].count(2) == 0


def test_a_second_run_reads_nothing_twice(again: Run) -> None:
    times = {path: path.stat().st_mtime_ns for path in (again.out / "photos").rglob("*")}
    table = (again.out / "summary.csv").read_bytes()
    result = run("read", again.site, "--marking", "transfer", "--out", again.out)
    assert result.stderr.count("read, already in an earlier run") == 2
    assert {path: path.stat().st_mtime_ns for path in (again.out / "photos").rglob("*")} == times
    assert (again.out / "summary.csv").read_bytes() == table


def test_a_changed_photo_is_read_again_when_it_may_replace_the_older_result(again: Run) -> None:
    with Image.open(again.site / "south" / "tooth.jpg") as picture:
        picture.save(again.site / "south" / "tooth.jpg", quality=80)
    words = ("read", again.site, "--marking", "transfer", "--out", again.out)
    refused = {row["photo"]: row for row in document(run(*words, "--json"))["flanks"]}
    assert (refused["south/tooth.jpg"]["code"], refused["north/tooth.jpg"]["code"]) == (7, 0)
    assert "another photo or of other settings" in refused["south/tooth.jpg"]["reason"]
    result = run(*words, "--overwrite")
    assert "south/tooth.jpg (left flank): read\n" in result.stderr
    assert "north/tooth.jpg (left flank): read, already in an earlier run" in result.stderr


def test_decimal_commas_and_semicolons_hold_the_same_numbers(again: Run) -> None:
    point = rows_of(again.out / "summary.csv")
    run("read", again.site, "--marking", "transfer", "--out", again.out, "--csv-style", "comma")
    comma = rows_of(again.out / "summary.csv", comma=True)
    assert any("," in row["along"] for row in comma)
    for one, other in zip(point, comma, strict=True):
        assert {**other, **{name: other[name].replace(",", ".") for name in other if name in numeric()}} == one


def numeric() -> set[str]:
    return {f"{name}{end}" for name in NUMBERS for end in ("", "_low", "_high")} | {"judged_fraction"}


def test_a_killed_run_leaves_nothing_half_and_is_taken_up(done: Run, tmp_path: Path) -> None:
    site, out = tmp_path / "site", tmp_path / "out"
    for number in range(4):
        lay_sample("goods_lift_after_left", site / f"{number}.jpg")
    words = [sys.executable, "-m", "patternscan", "read", site, "--marking", "transfer", "--out", out, "--workers", "1"]
    with subprocess.Popen([str(word) for word in words], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:
        assert process.stderr is not None
        for line in process.stderr:
            if line.startswith(b"[1/4]"):
                os.kill(process.pid, signal.SIGKILL)
                break
    whole = [path for path in (out / "photos").iterdir() if path.name[0] != "."]
    assert 1 <= len(whole) < 4
    for folder in whole:
        record = json.loads((folder / RECORD).read_text())
        assert {path.name for path in folder.iterdir()} == {RECORD, *record["files"]}
        for picture in (*folder.glob("*.png"), *folder.glob("*.jpg")):
            with Image.open(picture) as image:
                image.load()
    result = run("read", site, "--marking", "transfer", "--out", out)
    assert result.stderr.count("already in an earlier run") == len(whole)
    assert [row["code"] for row in rows_of(out / "summary.csv")] == ["0"] * 4
    assert not [path for path in (out / "photos").iterdir() if path.name[0] == "."]
    north = next(row for row in rows_of(done.out / "summary.csv") if row["photo"] == "north/tooth.jpg")
    assert {row["along"] for row in rows_of(out / "summary.csv")} == {north["along"]}


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """A machine with one dark photo, a machine whose photos contradict each other, and one of unknown marking."""
    folder = tmp_path_factory.mktemp("judged")
    photos = [
        ("goods_lift_before_left", "left", "Lift", "transfer"),
        ("goods_lift_before_right", "right", "Lift", "transfer"),
        ("goods_lift_dark_right", "right", "Lift", "transfer"),
        ("stage_hoist_left", "right", "Hoist: old", "transfer"),
        ("stage_hoist_right", "right", "Hoist: old", "transfer"),
        ("mill_hoist_left", "left", "Mill", ""),
    ]
    keys = ("photo", "flank", "machine", "marking")
    rows = [dict(zip(keys, (SAMPLES / f"{name}.jpg", *rest), strict=True)) for name, *rest in photos]
    path = list_file(folder, *rows)
    result = run("judge", path, "--out", folder / "out")
    assert result.exit_code == 0, result.output
    return Run(path, folder / "out", result.stdout, result.stderr)


def test_each_machine_has_its_line_and_stops_no_other(judged: Run) -> None:
    machines = {row["machine"]: row for row in rows_of(judged.out / "machines.csv")}
    assert {name: row["code"] for name, row in machines.items()} == {"Lift": "0", "Hoist: old": "6", "Mill": "2"}
    assert (machines["Lift"]["move"], machines["Lift"]["photos_not_read"]) == ("toward-B", "1")
    assert "photo-declined" in machines["Lift"]["cautions"].split()
    assert "- Lift: Move the wheel toward end B. The flanks also pull apart; look again near the middle." in judged.said
    assert "goods_lift_dark_right.jpg is black: nothing can be seen in it." in judged.said
    assert judged.said.count("It is not said how the teeth were marked.") == 1
    codes = [(row["machine"], row["flank"], row["code"]) for row in rows_of(judged.out / "summary.csv")]
    assert codes == [
        *(("Lift", "left", "0"), ("Lift", "right", "0"), ("Lift", "right", "3")),
        *(("Hoist: old", "right", "6"), ("Hoist: old", "right", "0")),
        ("Mill", "left", "2"),
    ]


def test_a_machine_is_judged_as_by_itself(judged: Run) -> None:
    alone = document(run(*judge_words("goods_lift_before"), "--json"))
    (row,) = [row for row in rows_of(judged.out / "machines.csv") if row["machine"] == "Lift"]
    for name in ("shared", "opposed"):
        interval = alone[f"{name}_shift"]["along"]
        assert [float(row[f"{name}{end}"]) for end in ("", "_low", "_high")] == list(interval.values())
    kept = json.loads((judged.out / row["folder"] / "judgement.json").read_text())
    assert (kept["machine"], kept["advice"]["move_wheel"]) == ("Lift", row["move"])


def test_machines_are_not_judged_twice(judged: Run) -> None:
    result = run("judge", judged.site, "--out", judged.out, "--json")
    assert "Lift: judged (move the wheel toward end B), already in an earlier run" in result.stderr
    content = document(result)
    assert (content["format"], content["version"]) == ("patternscan-summary", 1)
    assert [row["move"] for row in content["machines"]] == ["toward-B", None, None]


@pytest.mark.study
def test_the_name_of_a_folder_is_no_proof_of_another_machine(tmp_path: Path) -> None:
    """Photos of two visits lie in folders of their own names, and their results are compared all the same."""
    for visit in ("before", "after"):
        for flank in ("left", "right"):
            lay_sample(f"goods_lift_{visit}_{flank}", tmp_path / "site" / visit / f"{flank}.jpg")
    run("judge", tmp_path / "site", "--marking", "transfer", "--out", tmp_path / "out")
    judged = [tmp_path / "out" / "machines" / visit for visit in ("before", "after")]
    assert [json.loads((one / "judgement.json").read_text())["machine"] for one in judged] == ["before", "after"]
    assert document(run("compare", *judged, "--json"))["verdict"] == "better"
    run("judge", tmp_path / "out" / "photos.csv", "--marking", "transfer", "--out", tmp_path / "listed")
    listed = [tmp_path / "listed" / "machines" / visit for visit in ("before", "after")]
    assert document(run("compare", *listed, "--json"))["verdict"] == "better"


def test_a_stray_photo_without_a_flank_does_not_stop_its_machine(tmp_path: Path) -> None:
    lay_sample("mill_hoist_left", tmp_path / "Mill" / "a.jpg")
    lay_sample("mill_hoist_right", tmp_path / "Mill" / "b.jpg")
    shutil.copy(SAMPLES / "mill_hoist_left.jpg", tmp_path / "Mill" / "overview.jpg")
    content = document(run("judge", tmp_path / "Mill", "--marking", "rub-off", "--out", tmp_path / "out", "--json"))
    assert [(row["machine"], row["move"], row["photos_not_read"]) for row in content["machines"]] == [
        ("Mill", "stay", 1)
    ]
    assert {row["photo"]: row["code"] for row in content["flanks"]} == {"a.jpg": 0, "b.jpg": 0, "overview.jpg": 2}


@pytest.fixture
def scheduler() -> Iterator[str]:
    distributed = pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    gc.collect()  # clients left open: collected while the cluster begins, they would stop it
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=":0") as cluster:
        yield cluster.scheduler_address


def test_a_cluster_gives_the_same_table(done: Run, tmp_path: Path, scheduler: str) -> None:
    result = run("read", done.site, "--marking", "transfer", "--out", tmp_path, "--scheduler", scheduler)
    assert result.exit_code == 0, result.output
    assert "2 at the same time" in result.stderr
    assert (tmp_path / "summary.csv").read_bytes() == (done.out / "summary.csv").read_bytes()
    assert sorted(path.name for path in (tmp_path / "photos").iterdir()) == sorted(
        path.name for path in (done.out / "photos").iterdir()
    )


def test_when_nothing_can_be_read_the_first_stop_gives_the_exit_code(tmp_path: Path) -> None:
    for number in range(12):
        lay_sample("stage_hoist_left", tmp_path / "site" / f"{number}.jpg").write_bytes(b"")
    result = run("read", tmp_path / "site", "--marking", "transfer", "--out", tmp_path / "out")
    assert result.exit_code == 3
    assert "- and 2 more, in the table." in result.stdout
    assert len(rows_of(tmp_path / "out" / "summary.csv")) == 12


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("read", "site"), 2, "--out"),
        (("read", "site", "--out", "out", "--map", "map.png"), 2, "--map does not go together"),
        (("judge", "site", "--out", "out", "--left", "a.jpg"), 2, "--left does not go together"),
        (("judge", "site/a.jpg", "--out", "out"), 2, "not said which flank each photo shows"),
        (("read", "nothing", "--out", "out"), 3, "There is no photo in"),
        (("judge", "missing.csv", "--out", "out"), 2, "There is no folder or file missing.csv."),
        (("read", "site", "--out", "taken"), 7, "no table of this tool"),
        (("read", "site", "--out", "out", "--scheduler", "nonsense"), 2, "No scheduler"),
    ],
)
def test_wrong_use_is_said_in_two_sentences(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], code: int, said: str
) -> None:
    if "--scheduler" in words:
        pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    monkeypatch.chdir(tmp_path)
    lay_sample("stage_hoist_left", Path("site/a.jpg")).write_bytes(b"")
    Path("nothing").mkdir()
    Path("taken").mkdir()
    Path("taken/summary.csv").write_text("my own words\n")
    result = run(*words, "--marking", "transfer")
    assert (result.exit_code, result.stdout) == (code, "")
    assert said in result.stderr
    assert Path("taken/summary.csv").read_text() == "my own words\n"


def test_where_no_result_can_be_written_nothing_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("patternscan.workflow.batch.readings.read_task", pytest.fail)
    (tmp_path / "file").write_bytes(b"")
    folder = tmp_path / "out" / "summary.csv"
    folder.mkdir(parents=True)
    for out, words in ((tmp_path / "file" / "out", []), (folder.parent, ["--overwrite"])):
        result = run("read", SAMPLES / "photos.csv", "--marking", "transfer", "--out", out, *words)
        assert result.exit_code == 7, result.output


def test_a_sheet_beside_photos_that_do_not_tell_their_flank_is_not_passed_over_in_silence(tmp_path: Path) -> None:
    site = tmp_path / "site"
    for number, flank in enumerate(("left", "right"), 1):
        lay_sample(f"goods_lift_before_{flank}", site / f"IMG_{number}.jpg")
    shutil.copy(SAMPLES / "goods_lift.toml", site)
    words = ("judge", site, "--marking", "transfer", "--out")
    told = "Not used: the machine sheet goods_lift.toml. Name it with --sheet, or for each photo in the list.\n"
    assert told in run(*words, tmp_path / "without").stderr
    assert "Not used" not in run(*words, tmp_path / "with", "--sheet", site / "goods_lift.toml").stderr


def test_the_list_of_the_samples_names_each_photo_once() -> None:
    names = [entry.photo.name for entry in read_list(SAMPLES / "photos.csv")]
    assert sorted(names) == sorted(path.name for path in SAMPLES.glob("*.jpg"))
