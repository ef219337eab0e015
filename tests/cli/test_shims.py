"""``patternscan shims``: packs from every source of stock, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.test_commands import run

SHEET = '[shims]\nstock = ["0.10 mm x 4", "0.005 in x 6"]\n'


@pytest.mark.parametrize("source", ["--sheet", "--job"])
def test_the_stock_of_a_sheet(tmp_path: Path, source: str) -> None:
    path = tmp_path / "machine.toml"
    path.write_text(SHEET, encoding="utf-8")
    result = run("shims", "0.227mm", source, path if source == "--sheet" else tmp_path)
    # 0.005 in is 0.127 mm (the inch is 25.4 mm), and 0.127 + 0.100 = 0.227
    assert result.stdout == "0.23 mm (0.009 in): 0.005 in (0.127 mm) x 1, 0.10 mm (0.004 in) x 1.\n"


def test_what_cannot_be_made_gives_the_nearest() -> None:
    result = run("shims", "0.15mm", "--stock", "0.10 mm x 4")
    assert result.exit_code == 0
    assert "cannot be made" in result.stdout
    assert "0.10 mm (0.004 in) x 1" in result.stdout
    assert "0.10 mm (0.004 in) x 2" in result.stdout


def test_two_places_need_twice_the_shims() -> None:
    assert "cannot be made" in run("shims", "0.2mm", "--stock", "0.10 mm x 3", "--places", 2).stdout
    two = run("shims", "0.2mm", "--stock", "0.10 mm x 4", "--places", 2).stdout
    assert two == "At each of 2 places: 0.20 mm (0.008 in): 0.10 mm (0.004 in) x 2.\n"
    assert run("shims", "0.2mm", "--stock", "0.10 mm x 4").stdout == two.removeprefix("At each of 2 places: ")


def test_a_set_by_its_name() -> None:
    assert "0.015 in (0.381 mm) x 1" in run("shims", "15thou", "--set", "precut-inch").stdout


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["0.35mm"], "not said which shims"),
        (["0.35mm", "--stock", "0.1 mm x 1", "--set", "din-988"], "in two ways"),
        (["0.35mm", "--stock", "0.1 x 1"], "0.1"),
        (["0.35", "--set", "din-988"], "not a length with its unit"),
        (["0.35mm", "--set", "din"], "no shim set named 'din'"),
        (["-0.35mm", "--set", "din-988"], "A number with a minus is given where only a plain one fits."),
    ],
)
def test_wrong_use(words: list[str], part: str) -> None:
    result = run("shims", *words)
    assert result.exit_code == 2
    assert part in result.stderr


def test_a_sheet_without_stock(tmp_path: Path) -> None:
    path = tmp_path / "machine.toml"
    path.write_text("[shims]\n", encoding="utf-8")
    result = run("shims", "0.1mm", "--sheet", path)
    assert result.exit_code == 2
    assert "names no shims on hand" in result.stderr
