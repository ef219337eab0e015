"""``patternscan next`` on the command line: what is due first, then the rest; JSON; a damaged log, a missing one."""

from __future__ import annotations

from pathlib import Path

import pytest

from patternscan.setting.log.events import Secured
from patternscan.setting.log.job_log import LOG_NAME, append_entry
from tests.cli.test_commands import run
from tests.reporting.contents import valid
from tests.setting.job_entries import READ
from tests.setting.rule_jobs import APART

SHEET = """
[machine]
name = "North shaft"
[shims]
carrier = "A"
adding_moves_wheel = "toward-B"
[limits]
worm_end_play = ["0.08 mm", "0.13 mm"]
wheel_end_play = ["0.05 mm", "0.20 mm"]
outboard_alignment = "0.05 mm"
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(SHEET, encoding="utf-8")
    folder = tmp_path / "north"
    assert run("start", folder, "--sheet", sheet).exit_code == 0
    return folder


def test_the_first_line_says_what_to_do_now(job: Path) -> None:
    result = run("next", job)
    assert result.exit_code == 0
    assert result.stdout.startswith("Before any work today: Hang the car and land the counterweight")
    assert result.stdout.count("Hang the car") == 1
    assert "\nWhy: A load that was landed yesterday" in result.stdout


def test_what_is_gone_once_it_is_apart_is_a_list_with_a_line_for_each(job: Path) -> None:
    append_entry(job, Secured("R. Moss"))
    lines = run("next", job).stdout.splitlines()[2:]
    assert lines[0] == "Read and note this before anything is taken apart; it is gone once it is apart:"
    assert lines[1].startswith("- Measure and note the shims at every place")
    assert [line[:2] for line in lines[1:7]] == ["- "] * 6


def test_the_text_to_the_letter(job: Path) -> None:
    for event in READ:
        append_entry(job, event)
    assert run("next", job).stdout == (
        "Safety first: Hang the car and land the counterweight (a drum hoist: land the load), then isolate, lock and "
        "try. Turn by hand only.\n"
        "\n"
        "Blue the pair: clean four teeth or more, paint the two in the middle up to both ends (to print: the "
        "worm's thread) with a thin film, mark the place on the sheave, turn by hand both ways with a little "
        "drag, and stop where the marked teeth show. Photograph both flanks of 3 teeth spread round the wheel, the "
        "end mark in view.\n"
        "Why: The pattern shows where the wheel sits against the worm.\n"
        "\n"
        "Then:\n"
        "- Read the backlash at 4 places round the wheel: with the load secured, hold the worm by brake or clamp, "
        "rock the wheel both ways with the dial at the same radius each time.\n"
        "\n"
        "Missing on the sheet:\n"
        "- The maker's limit for backlash is not on the sheet, so no one can say here whether the readings are right: "
        "take them from the maker's manual.\n"
        "\n"
        "In order:\n"
        "- The end play of the worm is 0.10 mm (0.004 in), within the maker's 0.08 to 0.13 mm (0.003 to 0.005 in).\n"
        "- The end play of the wheel shaft is 0.12 mm (0.005 in), within the maker's 0.05 to 0.20 mm "
        "(0.002 to 0.008 in).\n"
        "- The alignment of the outboard bearing is 0.02 mm (0.001 in), within the maker's 0.00 to 0.05 mm "
        "(0.000 to 0.002 in).\n"
    )


def test_json_holds_every_step_and_nothing_else_is_printed(job: Path) -> None:
    for event in APART:
        append_entry(job, event)
    document = valid(run("next", job, "--json").stdout)
    assert (document["format"], document["version"], document["machine"]) == ("patternscan-next", 1, "North shaft")
    assert document["cautions"] == []
    assert document["steps"][0]["code"] == "worm-end-play-missing"
    assert document["steps"][0]["need"] == "missing-reading"
    assert set(document["steps"][0]) == {"code", "need", "words", "because"}


def test_the_job_is_where_you_are_unless_given(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(job)
    assert run("next").stdout == run("next", job).stdout


def test_a_damaged_line_is_told_and_the_rest_still_counts(job: Path) -> None:
    for event in APART:
        append_entry(job, event)
    with (job / LOG_NAME).open("a", encoding="utf-8") as file:
        file.write('{"number": 7, "at": "2026-')
    result = run("next", job)
    assert result.exit_code == 0
    assert "damaged or cut off" in result.stderr
    assert result.stdout.splitlines()[2].startswith("Read the end play of the worm")
    assert valid(run("next", job, "--json").stdout)["cautions"][0]["code"] == "log-line-damaged"


def test_without_a_log_two_sentences_say_so(tmp_path: Path) -> None:
    result = run("next", tmp_path)
    assert result.exit_code == 2
    assert "There is no log of a job" in result.stderr
