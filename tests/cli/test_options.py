"""Which flank, which marking, which compound a person meant."""

from __future__ import annotations

import subprocess
import sys

import pytest
from click.testing import CliRunner

from patternscan.cli import main
from patternscan.cli.options import chosen_compound, chosen_flank, chosen_marking
from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Compound, Flank, Marking


def test_flank_may_be_named() -> None:
    assert chosen_flank("left", None, "up") is Flank.LEFT


def test_end_a_serves_instead_of_the_flank() -> None:
    # Contract of the flank frame: with the tip up, the right flank shows end A on the left.
    assert chosen_flank(None, "left", "up") is Flank.RIGHT
    assert chosen_flank(None, "right", "up") is Flank.LEFT


def test_flank_and_end_a_are_checked_against_each_other() -> None:
    assert chosen_flank("right", "left", "up") is Flank.RIGHT
    with pytest.raises(InconsistentInputs) as stop:
        chosen_flank("left", "left", "up")
    assert stop.value.found == "With the tip up and end A left the photo shows a right flank, but --flank says left."


def test_no_flank_is_wrong_use() -> None:
    with pytest.raises(WrongUse):
        chosen_flank(None, None, "up")


def test_marking_has_no_default() -> None:
    with pytest.raises(WrongUse):
        chosen_marking(None, None)


def test_marking_from_option_or_sheet() -> None:
    assert chosen_marking("rub-off", None) is Marking.RUB_OFF
    assert chosen_marking(None, Marking.TRANSFER) is Marking.TRANSFER
    with pytest.raises(InconsistentInputs):
        chosen_marking("transfer", Marking.RUB_OFF)


def test_compound_from_option_or_sheet() -> None:
    assert chosen_compound(None, Compound.RED) is Compound.RED
    assert chosen_compound("auto", Compound.RED) is None
    assert chosen_compound("white", None) is Compound.WHITE


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


def test_help_needs_no_heavy_library() -> None:
    code = (
        "import sys, patternscan.cli; "
        "print([name for name in ('cv2', 'skimage', 'scipy', 'matplotlib', 'PIL', 'numpy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
