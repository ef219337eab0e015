"""A job on the command line: begun, its sheet checked, its events kept, its mistakes refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from patternscan.frame import End
from patternscan.setting.log.events import (
    Accepted,
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EndPlay,
    Event,
    LostMotion,
    Measured,
    Oil,
    PartNumber,
    Replaced,
    Secured,
    ShimChange,
    ShimsFound,
    SignOff,
    TeethPhotographed,
    Torque,
)
from patternscan.setting.log.job_log import append_entry, read_log
from patternscan.setting.log.words import Drag, Geometry, Height, Joint, OilWork, Part, Shaft, ShimPlace
from tests.cli.test_commands import run
from tests.setting.rule_jobs import BARE, UNANSWERED


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "winch"
    assert run("start", folder, "--machine", 'Winch "North" <b>').exit_code == 0
    return folder


def kept(job: Path) -> list[Event]:
    return [entry.event for entry in read_log(job).entries]


@pytest.mark.parametrize(
    ("words", "event"),
    [
        ("shims-found carrier-A 0.5mm", ShimsFound(ShimPlace.CARRIER_A, 0.5, 0.5)),
        ("shims-found carrier-B 20thou --lower 10thou", ShimsFound(ShimPlace.CARRIER_B, 0.508, 0.254)),
        ("eccentrics-found 3 4", None),
        ("end-play worm 0.004in", EndPlay(Shaft.WORM, 0.1016)),
        ("backlash 0.42mm 0.45mm --radius 260mm", Backlash((0.42, 0.45), 260.0)),
        ("lost-motion 1.5 2", LostMotion((1.5, 2.0))),
        ("alignment 0.03mm", None),
        ("measured squareness 0.03mm", Measured(Geometry.SQUARENESS, 0.03)),
        ("accepted centre-distance Invented", Accepted(Geometry.CENTRE_DISTANCE, "Invented")),
        ("secured Invented", Secured("Invented")),
        ("pieces carrier-A 0.50mmx1 0.005inx2", None),
        ("number wheel W-46", PartNumber(Part.WHEEL, "W-46")),
        ("oil filled --oil CLP460 --litres 12", Oil(OilWork.FILLED, "CLP460", 12.0)),
        ("torque carrier-B 45Nm", Torque(Joint.CARRIER_B, 45.0)),
        ("teeth 1 16 31", TeethPhotographed((1, 16, 31))),
        ("alignment 0.03mm --stands low --side b", Alignment(0.03, Height.LOW, End.B)),
        ("end-play worm 0.1mm --drag light --temperature 20", EndPlay(Shaft.WORM, 0.1, Drag.LIGHT, 20.0)),
        ("closed --witness Larkin", Closed("Larkin")),
        ("replaced worm-bearings", Replaced(Part.WORM_BEARINGS)),
        ("closed", Closed()),
        ("sign-off Invented", SignOff("Invented")),
    ],
)
def test_an_event_is_kept(job: Path, words: str, event: Event | None) -> None:
    result = run("log", *words.split(), "--job", job, "--by", "the fitter")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("Entry 1: ")
    (only,) = kept(job)
    assert event in (None, only)
    assert read_log(job).entries[0].by == "the fitter"


@pytest.mark.parametrize(
    ("words", "upper_mm", "lower_mm"),
    [
        ("--add 0.1mm", 0.1, 0.1),
        ("--remove 4thou", -0.1016, -0.1016),
        ("--upper 0.1mm", 0.1, 0.0),
        ("--upper 0.1mm --lower -0.05mm", 0.1, -0.05),
    ],
)
def test_a_change_of_shims(job: Path, words: str, upper_mm: float, lower_mm: float) -> None:
    run("log", "shims-found", "carrier-A", "0.5mm", "--job", job)
    assert run("log", "shims", "carrier-A", *words.split(), "--job", job).exit_code == 0
    assert kept(job)[1:] == [ShimChange(ShimPlace.CARRIER_A, upper_mm, lower_mm)]


def test_the_eccentrics_are_turned_by_holes(job: Path) -> None:
    run("log", "eccentrics-found", 3, 3, "--job", job)
    result = run("log", "eccentrics", "--a", 1, "--b", -1, "--job", job)
    assert "Turn both alike" in result.stdout
    assert kept(job)[1:] == [EccentricChange(1, -1)]


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("end-play worm 0.10", "is not a length with its unit"),
        ("end-play worm 10mm", "expected 0 mm to 5 mm"),
        ("end-play drum 0.10mm", "drum"),
        ("lost-motion nan", "not a number"),
        ("backlash", "READINGS"),
        ("backlash 0.4mm", "how far from the wheel's axis"),
        ("shims carrier-A", "not clear what was changed"),
        ("shims carrier-A --add 0.1mm --remove 0.1mm", "not clear what was changed"),
        ("shims carrier-A --add 0mm", "The change is nothing"),
        ("eccentrics --a 0 --b 0", "Neither eccentric was turned"),
        ("note   ", "TEXT"),
        ("end-play worm 0.10mm --at yesterday", "is not a time"),
        ("end-play worm 0.10mm --at 2999-01-01", "has not come yet"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_kept(job: Path, words: str, part: str) -> None:
    result = run("log", *words.split(), "--job", job)
    assert result.exit_code == 2
    assert part in result.stderr
    assert kept(job) == []


def test_a_job_that_is_not_there(tmp_path: Path) -> None:
    result = run("log", "closed", "--job", tmp_path)
    assert (result.exit_code, list(tmp_path.iterdir())) == (2, [])
    assert "patternscan start" in result.stderr


def test_every_entry_tells_what_is_due_now(job: Path) -> None:
    said = run("log", "end-play", "worm", "0.10mm", "--job", job).stdout.splitlines()[-1]
    asked = run("next", job).stdout.splitlines()[0]
    assert said == f"Next: {asked}"


def test_the_log_is_shown_in_words(job: Path) -> None:
    run("log", "end-play", "worm", "0.10mm", "--job", job, "--by", "the fitter")
    run("log", "strike", 1, "--because", "wrong dial", "--job", job)
    lines = run("log", "show", "--job", job).stdout.splitlines()
    assert lines[0].endswith("(the fitter)  End play of the worm shaft: 0.10 mm (0.004 in). [struck out]")
    assert lines[1].endswith("Entry 1 struck out: wrong dial")


def test_a_job_begins_with_a_sheet_that_a_person_has(tmp_path: Path) -> None:
    sheet = tmp_path / "mine.toml"
    assert run("sheet", sheet, "--new", "Winch").exit_code == 0
    assert run("sheet", sheet).stdout == "mine.toml is in order.\n"
    assert run("start", tmp_path / "job", "--sheet", sheet).exit_code == 0
    assert (tmp_path / "job" / "machine.toml").read_text(encoding="utf-8") == sheet.read_text(encoding="utf-8")


def test_a_job_is_not_begun_twice_and_a_sheet_not_replaced(job: Path) -> None:
    assert run("start", job).exit_code == 2
    assert run("sheet", job / "machine.toml", "--new", "Other").exit_code == 7


def test_a_faulty_sheet_begins_no_job(tmp_path: Path) -> None:
    sheet = tmp_path / "mine.toml"
    sheet.write_text("[limit]\nbacklash = 3\n", encoding="utf-8")
    for words in (("sheet", sheet), ("start", tmp_path / "job", "--sheet", sheet)):
        result = run(*words)
        assert result.exit_code == 2
        assert "did you mean limits?" in result.stderr
    assert not (tmp_path / "job").exists()


def test_a_sign_off_says_at_once_what_is_still_open(job: Path) -> None:
    result = run("log", "sign-off", "R. Moss", "--job", job)
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    open_lines = [line for line in lines if line.startswith("Still open at sign-off: ")]
    assert any(line.startswith("- Read the end play of the worm") for line in lines)  # what was to be noted is a list
    assert any("Blue the pair" in line for line in open_lines)
    assert any("Close the housing" in line for line in open_lines)
    assert "not everything was in order" in result.stdout.splitlines()[-1]


def test_a_sign_off_says_first_what_nobody_answered(job: Path) -> None:
    for event in UNANSWERED[:-1]:
        append_entry(job, event)
    lines = run("log", "sign-off", "R. Moss", "--job", job).stdout.splitlines()
    number = len(UNANSWERED) - 2
    assert lines[1] == f"Not answered: {BARE.told}"
    assert f"answer {number} rubbed-off NAME" in lines[2]
    assert f"answer {number} never-painted NAME" in lines[3]
    assert "but not everything was in order" in lines[-1]


def test_backlash_is_told_at_the_pitch_radius_and_without_end_play(job: Path) -> None:
    """Reading 2.00 mm at 260 mm on a wheel of pitch radius 130 mm is 1.00 mm (lift machine manuals: j = ME r / M)."""
    with (job / "machine.toml").open("w", encoding="utf-8") as file:
        file.write("[gear]\nmodule_mm = 5\nteeth = 52\nstarts = 2\n")
    run("log", "end-play", "worm", "0.1mm", "--job", job)
    lines = run("log", "backlash", "2mm", "1.8mm", "--radius", "260mm", "--job", job).stdout.splitlines()
    assert lines[1] == "At the pitch radius that is 0.90 to 1.00 mm (0.035 to 0.039 in)."
    assert "0.80 to 0.90 mm (0.031 to 0.035 in) is left for the teeth" in lines[2]
    few = run("log", "backlash", "0.1mm", "0.25mm", "--radius", "260mm", "--job", job).stdout.splitlines()
    assert "one of them is wrong, or the worm did not slide" in few[2]


def test_a_note_cannot_look_like_another_entry_or_steer_the_screen(job: Path) -> None:
    run("log", "note", "oil drained\n  2  2026-01-01 Signed off\x1b[31m by nobody", "--job", job, "--by", "a\nb")
    lines = run("log", "show", "--job", job).stdout.splitlines()
    assert len(lines) == 1
    assert lines[0].endswith("(a b)  Note: oil drained 2 2026-01-01 Signed off [31m by nobody")


def test_a_strike_that_is_struck_leaves_the_entry_standing(job: Path) -> None:
    run("log", "end-play", "worm", "0.10mm", "--job", job)
    run("log", "strike", 1, "--because", "wrong dial", "--job", job)
    run("log", "strike", 2, "--because", "it was the right one", "--job", job)
    lines = run("log", "show", "--job", job).stdout.splitlines()
    assert ["[struck out]" in line for line in lines] == [False, True, False]


def test_the_hint_after_start_can_be_typed_as_it_is(tmp_path: Path) -> None:
    folder = tmp_path / "north shaft"
    assert f"patternscan next '{folder}'" in run("start", folder).stdout


def test_a_slip_is_asked_back_once_and_kept_only_when_sure(job: Path) -> None:
    """0.10 in for 0.10 mm."""
    words = ("log", "end-play", "worm", "0.10in", "--job", job)
    asked = run(*words)
    assert asked.exit_code == 2
    assert "2.54 mm (0.100 in) is far beyond" in asked.stderr
    assert "Was it 0.10 mm (0.004 in), in millimetres?" in asked.stderr
    assert "again with --sure" in asked.stderr
    assert kept(job) == []
    assert run(*words, "--sure").exit_code == 0
    assert kept(job) == [EndPlay(Shaft.WORM, 2.54)]


@pytest.mark.parametrize(
    ("words", "form"),
    [
        ("shims carrier-A 0.12mm", "patternscan log shims carrier-A --add 0.10mm (or --remove 0.10mm)"),
        ("shims carrier-A -0.12mm", "patternscan log shims carrier-A --add 0.10mm (or --remove 0.10mm)"),
        ("shims carrier-A --remove -0.12mm", "patternscan log shims carrier-A --add 0.10mm (or --remove 0.10mm)"),
        ("shims-found carrier-A -0.60mm", "patternscan log shims-found carrier-A 0.50mm"),
        ("end-play 0.10mm", "patternscan log end-play worm 0.10mm"),
        ("eccentrics 1 1", "patternscan log eccentrics --a 1 --b 1"),
        ("eccentrics-found 5", "patternscan log eccentrics-found 5 5"),
        ("lost-motion two", "patternscan log lost-motion 2.5 2.4 2.6 2.5"),
        ("alignment 2in", "patternscan log alignment 0.03mm --stands high"),
        ("measured 0.03mm", "patternscan log measured squareness 0.03mm"),
        ("replaced rope", "patternscan log replaced wheel"),
        ("note", 'patternscan log note "oil drained"'),
    ],
)
def test_wrong_words_get_the_right_form_shown(job: Path, words: str, form: str) -> None:
    result = run("log", *words.split(), "--job", job)
    assert result.exit_code == 2
    assert f"For example: {form} - See " in result.stderr
    assert kept(job) == []
