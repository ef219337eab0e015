"""``patternscan log`` without words: asks for what is due, reads it back, keeps it, and goes on where it broke off."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from patternscan.cli import main
from patternscan.setting.log.events import Backlash, EndPlay, Event, Note, PackPieces, Replied, Secured, ShimsFound
from patternscan.setting.log.job_log import append_entry, read_log
from patternscan.setting.log.words import Bolts, Reply, Shaft, ShimPlace
from patternscan.setting.machine.stock import Shims
from patternscan.workflow.job.begun_entry import BEGUN_NAME
from tests.setting.job_entries import READ
from tests.setting.rule_jobs import ASKED, BARE

SHEET = '[dial]\nradius = "260 mm"\n[limits]\nworm_end_play = ["0.08 mm", "0.13 mm"]\n'
INCHES = '[dial]\nradius = "10 in"\n[limits]\nworm_end_play = ["0.003 in", "0.005 in"]\n'


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "job"
    CliRunner().invoke(main, ["start", str(folder)])
    (folder / "machine.toml").write_text(SHEET, encoding="utf-8")
    return folder


def asked(job: Path, *typed: str) -> Result:
    return CliRunner().invoke(
        main, ["log", "--job", str(job), "--by", "R. Moss"], input="".join(f"{x}\n" for x in typed)
    )


def kept(job: Path) -> list[Event]:
    return [entry.event for entry in read_log(job).entries]


def test_what_is_due_is_asked_for_and_read_back_in_both_units(job: Path) -> None:
    result = asked(job, "", "R. Moss", "y", "", "1", "0,60", "", "y", "q")
    assert result.exit_code == 0, result.output
    assert kept(job) == [Secured("R. Moss"), ShimsFound(ShimPlace.CARRIER_A, 0.6, 0.6)]
    assert "Found under the carrier at end A: 0.60 mm (0.024 in) of shims.\nIs that right?" in result.output
    assert read_log(job).entries[0].by == "R. Moss"


def test_a_bare_number_is_in_the_unit_of_the_sheet(job: Path) -> None:
    (job / "machine.toml").write_text(INCHES, encoding="utf-8")
    asked(job, "end-play", "worm", "0.004", "", "", "y", "end-play", "1", "0.11mm", "", "", "y", "q")
    assert kept(job) == [EndPlay(Shaft.WORM, 0.1016), EndPlay(Shaft.WORM, 0.11)]


def test_several_readings_are_asked_one_at_a_time(job: Path) -> None:
    result = asked(job, "backlash", "0.42", "0.45", "much", "0.44", "", "", "", "20", "y", "q")
    assert "'much' is not a length with its unit" in result.output
    assert kept(job) == [Backlash((0.42, 0.45, 0.44), 260.0, None, 20.0)]


def test_single_shims_of_a_stand_bolt_by_bolt(job: Path) -> None:
    asked(job, "pieces", "outboard", "0.5mm x 1", "0.005in x 2", "", "2", "y", "q")
    pieces = (Shims(0.5, 1), Shims(0.127, 2, in_inch=True))
    assert kept(job) == [PackPieces(ShimPlace.OUTBOARD, Bolts.SECOND, pieces)]


def test_broken_off_nothing_is_lost(job: Path) -> None:
    broken = asked(job, "backlash", "0.42", "0.45")
    assert broken.exit_code == 130
    assert "What you typed so far is kept" in broken.stderr
    assert kept(job) == []
    result = asked(job, "0.44", "", "", "", "", "y", "q")
    assert "Going on where it was broken off: Backlash on the dial." in result.output
    assert kept(job) == [Backlash((0.42, 0.45, 0.44), 260.0)]
    assert not (job / BEGUN_NAME).exists()


def test_no_keeps_nothing_and_a_slip_is_asked_back(job: Path) -> None:
    result = asked(job, "end-play", "worm", "0.10", "", "", "n", "end-play", "worm", "0.10in", "", "", "y", "n", "q")
    assert kept(job) == []
    assert "Was it 0.10 mm (0.004 in), in millimetres?" in result.output
    asked(job, "end-play", "worm", "0.10in", "", "", "y", "y", "q")
    assert kept(job) == [EndPlay(Shaft.WORM, 2.54)]


def test_what_cannot_be_is_said_and_the_next_is_asked(job: Path) -> None:
    result = asked(job, "shims", "1", "0.10", "y", "nonsense", "?", "q")
    assert "how thick the shims under the carrier at end A were" in result.output
    assert "There is no entry 'nonsense'" in result.output
    assert "eccentrics-found" in result.output
    assert kept(job) == []


def test_what_a_pattern_asks_comes_first_and_is_answered_by_a_number(job: Path) -> None:
    for event in (*READ, Secured("R. Moss"), ASKED):
        append_entry(job, event)
    pattern = len(READ) + 2
    result = asked(job, "3", "2", "R. Moss", "y", "q")
    assert result.output.index(BARE.told) < result.output.index("The last pattern (entry")
    assert "There is no answer '3'. Type a number from 1 to 2, or Enter." in result.output
    assert kept(job)[-1] == Replied(pattern, "bare-to-end", Reply.NEVER_PAINTED, "R. Moss")


def test_a_question_may_be_left_open_and_is_asked_once(job: Path) -> None:
    for event in (*READ, Secured("R. Moss"), ASKED):
        append_entry(job, event)
    result = asked(job, "", "note", "looked for the brush", "y", "q")
    assert result.output.count(BARE.told) == 1
    assert kept(job)[-1] == Note("looked for the brush")


def test_without_a_job_two_sentences_say_so(tmp_path: Path) -> None:
    result = asked(tmp_path)
    assert result.exit_code == 2
    assert "patternscan start" in result.stderr
