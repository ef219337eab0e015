"""Code 1 is for faults of the program: whatever lies on the disk ends with its own code and two sentences."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from tests.cli.test_commands import LEFT, SAMPLES, outline_of, run

READ = ["--flank", "left", "--marking", "transfer"]
POSIX = pytest.mark.skipif(os.name == "nt", reason="devices, pipes and rights of POSIX")


def stopped(code: int, *words: object) -> str:
    result = run(*words)
    assert result.exit_code == code, result.output
    assert len(result.stderr.splitlines()) == 2
    return result.stderr


@POSIX
def test_devices_and_pipes_are_no_text_files(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for path in (pipe, Path("/dev/zero")):
        assert "no ordinary file" in stopped(4, "read", LEFT, *READ, "--outline", path)
        assert "no ordinary file" in stopped(2, "read", LEFT, *READ, "--sheet", path)
        assert "no ordinary file" in stopped(2, "compare", path, path)
    os.symlink("/dev/zero", tmp_path / "list.csv")
    assert "no ordinary file" in stopped(2, "read", tmp_path / "list.csv", "--marking", "transfer", "--out", tmp_path)
    job = tmp_path / "job"
    run("start", job)
    (job / "log.jsonl").unlink()
    os.symlink("/dev/zero", job / "log.jsonl")
    assert "no ordinary file" in stopped(2, "next", job)
    assert "no ordinary file" in stopped(2, "log", "closed", "--job", job)


def test_a_text_file_has_a_bearable_size(tmp_path: Path) -> None:
    path = tmp_path / "outline.json"
    with path.open("wb") as file:
        file.truncate(10**9)
    assert "larger than 32 MB" in stopped(4, "read", LEFT, *READ, "--outline", path)


def test_deep_nests_are_refused(tmp_path: Path) -> None:
    (tmp_path / "deep.toml").write_text("a = " + "[" * 100_000, encoding="utf-8")
    (tmp_path / "deep.json").write_text("[" * 100_000, encoding="utf-8")
    stopped(2, "sheet", tmp_path / "deep.toml")
    stopped(4, "read", LEFT, *READ, "--outline", tmp_path / "deep.json")
    stopped(2, "compare", tmp_path / "deep.json", tmp_path / "deep.json")


@pytest.mark.parametrize("version", [True, 1.0, "1", None, [1]])
def test_a_wrong_version_of_an_outline_is_said(tmp_path: Path, version: object) -> None:
    document = json.loads(outline_of(LEFT).read_bytes()) | {"version": version}
    (tmp_path / "o.json").write_text(json.dumps(document), encoding="utf-8")
    assert "is an outline of version" in stopped(4, "read", LEFT, *READ, "--outline", tmp_path / "o.json")


def test_a_list_with_a_zero_byte(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_bytes(b"photo\na\0.jpg\n")
    assert "no CSV file" in stopped(2, "read", tmp_path / "list.csv", "--marking", "transfer", "--out", tmp_path)


@pytest.mark.parametrize("number", ["9" * 400, "9" * 5000, "1e308"])
@pytest.mark.parametrize("field", ["number", "reading_mm"])
def test_a_huge_number_in_one_line_does_not_block_the_job(tmp_path: Path, number: str, field: str) -> None:
    job = tmp_path / "job"
    run("start", job)
    run("log", "alignment", "0.1mm", "--job", job)
    run("log", "closed", "--job", job)
    log = job / "log.jsonl"
    first = {"number": '"number": 1,', "reading_mm": '"reading_mm": 0.1'}[field]
    lines = log.read_text(encoding="utf-8").splitlines()
    assert first in lines[1]
    lines[1] = lines[1].replace(first, first.rsplit(" ", 1)[0] + f" {number}" + ("," if first.endswith(",") else ""))
    log.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert "Line 2 of the log is damaged" in run("next", job).stderr
    assert run("log", "note", "goes on", "--job", job).exit_code == 0
    assert run("log", "show", "--job", job).exit_code == 0
    assert run("record", job, "--out", tmp_path / "page.html").exit_code == 0


def test_long_names(tmp_path: Path) -> None:
    photo = tmp_path / ("n" * 250 + ".jpg")
    shutil.copyfile(LEFT, photo)
    stopped(4, "read", photo, *READ, "--outline", tmp_path / ("o" * 300))
    stopped(2, "read", LEFT, *READ, "--sheet", tmp_path / ("s" * 300))
    stopped(3, "read", tmp_path / ("p" * 300), *READ)
    stopped(7, "read", LEFT, *READ, "--outline", outline_of(LEFT), "--out", tmp_path / ("o" * 300))
    stopped(2, "next", tmp_path / ("j" * 300))
    machines = tmp_path / "list.csv"
    machines.write_text(f"photo,flank,outline,machine\n{LEFT},left,{outline_of(LEFT)},{'m' * 300}\n", encoding="utf-8")
    assert run("judge", machines, "--marking", "transfer", "--out", tmp_path / "out").exit_code == 0


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may enter every folder")
def test_a_folder_that_may_not_be_entered(tmp_path: Path) -> None:
    shut = tmp_path / "shut"
    shut.mkdir(mode=0)
    try:
        for code, words in (
            (3, ["read", shut / "a.jpg", *READ]),
            (2, ["sheet", shut / "s.toml"]),
            (2, ["next", shut]),
            (7, ["read", SAMPLES / LEFT.name, *READ, "--outline", outline_of(LEFT), "--out", shut / "out"]),
        ):
            stopped(code, *words)
    finally:
        shut.chmod(0o700)
