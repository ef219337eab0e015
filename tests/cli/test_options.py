"""What a person typed: help, words however written, and wrong use."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click
import pytest
from click.testing import CliRunner

from patternscan.cli import COMMANDS, main
from patternscan.cli.options.records import argument, option, takes
from patternscan.cli.options.types import LooseWord
from patternscan.frame import Flank, Marking
from tests.cli.test_commands import SAMPLES, run


@pytest.mark.parametrize("command", ["read", "judge", "compare", "outline"])
def test_every_command_explains_itself(command: str) -> None:
    result = CliRunner().invoke(main, [command, "--help"])
    assert result.exit_code == 0
    assert "Example: patternscan " + command in " ".join(result.output.split())


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["read"], 2),
        (["read", "no_such.jpg", "--flank", "left"], 2),
        (["read", "no_such.jpg", "--marking", "transfer"], 2),
        (["read", "no_such.jpg", "--flank", "left", "--marking", "transfer"], 3),
        (["read", "no_such.jpg", "--flank", "left", "--end-a", "left", "--marking", "transfer"], 6),
        (["read", "no_such.jpg", "--flank", "upper", "--marking", "transfer"], 2),
        (["read", "no_such.jpg", "--flank", "left", "--sheet", "no_such.toml"], 2),
        (["judge", "--marking", "transfer"], 2),
        (["judge", "--marking", "transfer", "--left", "a.jpg", "--left-outline", "b", "--left-outline", "c"], 2),
        (["compare", "no_such.json", "no_such_either.json"], 2),
        (["outline", "no_such.jpg", "--flank", "left"], 3),
        (["mend"], 2),
    ],
)
def test_wrong_use_ends_with_its_code_and_two_sentences(words: list[str], code: int) -> None:
    result = CliRunner().invoke(main, words)
    assert result.exit_code == code, result.output
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    assert len(result.stderr.strip().splitlines()) == 2


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["read", "a.jpg", "--flank"], "Nothing is given behind --flank."),
        (["read", "a.jpg", "--max-megapixels", "many"], "'many' is not a number."),
        (["judge", "site", "--workers", "two"], "'two' is not a whole number."),
        (["judge", "site", "--workers", "0"], "0 is less than 1."),
        (["serve", "site", "--port", "99999"], "99999 is not from 1 to 65535."),
        (["read", "a.jpg", "--compound", "orange"], "Red covers orange and red lead"),
        (["judge", "site", "lift.toml"], "Name it as the sheet: --sheet lift.toml."),
    ],
)
def test_what_was_typed_wrong_is_told_in_plain_words_with_the_right_form(words: list[str], told: str) -> None:
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert "--sheet" in told or f"For example: patternscan {words[0]} " in result.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a disk without room as Linux has it")
def test_an_answer_that_finds_no_room_ends_in_plain_words() -> None:
    for words in (["read", "--help"], ["sheet", str(SAMPLES / "goods_lift.toml")]):
        with Path("/dev/full").open("wb") as full:
            asked = [sys.executable, "-m", "patternscan", *words]
            done = subprocess.run(asked, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
        assert done.returncode == 7
        assert done.stderr.startswith("The answer could not be written out: No space left on device.\n")
        assert len(done.stderr.splitlines()) == 2


def test_help_needs_no_heavy_library() -> None:
    code = (
        "import sys, patternscan.cli; "
        "print([name for name in ('cv2', 'skimage', 'scipy', 'matplotlib', 'PIL', 'numpy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        *((word, Marking.TRANSFER) for word in ("transfer", "Transfer", "TRANSFER")),
        *((word, Marking.RUB_OFF) for word in ("rub-off", "rub off", "ruboff", "Rub_Off", "RUB OFF")),
    ],
)
def test_a_marking_may_be_written_in_any_way(typed: str, meant: Marking) -> None:
    assert LooseWord(Marking).convert(typed, None, None) is meant


def test_capitals_do_not_matter() -> None:
    words = ["read", "no_such.jpg", "--flank", "Left", "--tip", "UP", "--compound", "Blue", "--marking", "transfer"]
    assert "There is no photo no_such.jpg." in CliRunner().invoke(main, words).stderr


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (["judge"], "No photo was given."),
        (["judge", "no_such_folder"], "There is no folder or file no_such_folder."),
        (["next", "no_such_folder"], "There is no log of a job in no_such_folder."),
    ],
)
def test_what_is_lacking_is_said_first(words: list[str], found: str) -> None:
    assert CliRunner().invoke(main, words).stderr.splitlines()[0] == found


@pytest.mark.parametrize("typed", ["", "rub", "transferred", "off-rub"])
def test_another_marking_is_refused_and_both_are_named(typed: str) -> None:
    result = CliRunner().invoke(main, ["read", "photo.jpg", "--flank", "left", "--marking", typed])
    assert result.exit_code == 2
    assert "'transfer', 'rub-off'" in result.stderr


def test_a_person_who_stops_it_gets_the_code_of_the_signal(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("patternscan.cli.read.read_photo", interrupt)
    result = CliRunner().invoke(main, ["read", "photo.jpg", "--flank", "left", "--marking", "transfer"])
    assert result.exit_code == 130
    assert "Stopped." in result.stderr


def test_every_command_is_there_under_its_name() -> None:
    for name in COMMANDS:
        command = main.get_command(click.Context(main), name)
        assert command is not None
        assert command.name == name


def test_no_two_options_of_a_command_fill_the_same_place() -> None:
    for name in COMMANDS:
        command = main.get_command(click.Context(main), name)
        assert command is not None
        places = [parameter.name for parameter in command.params]
        assert len(places) == len(set(places))


@dataclass(frozen=True)
class Inner:
    """A record inside another."""

    size: Annotated[float | None, option("--size", "How large.")]
    sides: Annotated[tuple[Flank, ...], option("--side", "Which sides.")]


@dataclass(frozen=True)
class Outer:
    """What a command takes."""

    place: Annotated[Path, argument()]
    inner: Inner
    loud: Annotated[bool, option("--loud", "Whether.")]
    flank: Annotated[Flank, option("--flank", "Which one.", default=Flank.LEFT)]


@pytest.mark.parametrize(
    ("words", "filled"),
    [
        (["here"], Outer(Path("here"), Inner(None, ()), False, Flank.LEFT)),
        (
            ["--side", "left", "--side", "right", "--loud", "here", "--size", "2.5", "--flank", "right"],
            Outer(Path("here"), Inner(2.5, (Flank.LEFT, Flank.RIGHT)), True, Flank.RIGHT),
        ),
    ],
)
def test_options_fill_a_record_by_the_types_of_its_fields(words: list[str], filled: Outer) -> None:
    taken: list[tuple[str, Outer]] = []

    @click.command()
    @click.option("--other", default="plain")
    @takes(Outer)
    def command(other: str, given: Outer) -> None:
        taken.append((other, given))

    assert CliRunner().invoke(command, words).exit_code == 0
    assert taken == [("plain", filled)]


def test_photos_without_their_flank_are_asked_for_it(tmp_path: Path) -> None:
    photo = tmp_path / "one.jpg"
    photo.write_bytes(b"")
    for words in ([photo], ["a.jpg", "b.jpg"]):
        result = run("judge", *words)
        assert result.exit_code == 2
        assert "--left LEFT.jpg --right RIGHT.jpg" in result.stderr


@pytest.mark.parametrize("place", ["carrierA", "A", "a", "carrier-a", "Carrier A"])
@pytest.mark.parametrize("length", [["0,60mm"], ["0.60", "mm"], ["0,60", "MM"]])
def test_places_and_lengths_as_they_are_typed(tmp_path: Path, place: str, length: list[str]) -> None:
    assert run("start", tmp_path / "job").exit_code == 0
    result = run("log", "shims-found", place, *length, "--job", tmp_path / "job")
    assert "Found under the carrier at end A: 0.60 mm (0.024 in) of shims." in result.stdout


def test_a_minus_is_not_taken_for_an_option() -> None:
    result = run("shims", "-0.1mm", "--stock", "0.1 mm x 3")
    assert result.exit_code == 2
    assert "Write it without, such as 0.10mm" in result.stderr


def test_a_command_slightly_wrong_leads_to_the_right_one() -> None:
    assert "No such command 'jugde'. Did you mean 'judge'?" in run("jugde", "left.jpg").stderr
    assert "Did you mean" not in run("xyz").stderr


def test_a_photo_without_a_command_is_told_which_to_put_before_it(tmp_path: Path) -> None:
    (tmp_path / "left.jpg").write_bytes(b"")
    for given in (tmp_path, tmp_path / "left.jpg"):
        result = run(given)
        assert result.exit_code == 2
        assert f"'{given}' is no command. Put one before it: 'judge' for photos of both flanks" in result.stderr
    assert "No such command" in run(tmp_path / "not_there.jpg").stderr


def test_wrong_words_get_a_whole_example_that_leaves_the_marking_open() -> None:
    shown = run("judge", "--marking", "print", "--left", "left.jpg").stderr
    assert "--right-outline right.outline.json --marking HOW --out report - See " in shown


@pytest.mark.parametrize(
    "words",
    [
        ["--sheet", "north.toml", "--sheet", "south.toml"],
        ["--marking", "transfer", "--compound", "blue", "--marking", "rub-off"],
        ["--tip", "up", "--tip", "left"],
    ],
)
def test_one_thing_said_twice_is_asked_back(words: list[str]) -> None:
    """The last word would win in silence, and another marking turns the answer round."""
    result = run("read", "no_such.jpg", "--flank", "left", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(f"{words[0]} is given twice, as {words[1]} and as {words[-1]}. Which?\n")


def test_one_thing_said_twice_alike_is_one_thing() -> None:
    result = run("read", "no_such.jpg", "--flank", "left", *(2 * ["--marking", "transfer"]))
    assert result.exit_code == 3
