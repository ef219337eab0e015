"""README.md keeps its word: its commands work, and what stands below them is what comes out."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from patternscan.cli import main
from patternscan.errors import PatternscanError
from patternscan.setting.machine.sheet_file import fields_as_markdown

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def section(title: str) -> str:
    """The text below a heading, up to the next one of its rank; headings inside fenced blocks do not count."""
    kept: list[str] = []
    inside = fenced = False
    for line in README.splitlines():
        fenced ^= line.startswith(("```", "~~~"))
        if line.startswith("## ") and not fenced:
            inside = line == f"## {title}"
        elif inside:
            kept.append(line)
    return "\n".join(kept)


def blocks(text: str, fence: str = "```") -> list[str]:
    """The contents of fenced blocks."""
    return [part.split("\n", 1)[1].rstrip("\n") for part in text.split(f"\n{fence}")[1::2]]


def run(line: str) -> str:
    """What a patternscan command line prints on standard output."""
    result = CliRunner().invoke(main, shlex.split(line)[1:], catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture
def fresh_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the sample photos and nothing else, made the working folder."""
    (tmp_path / "sample_images").symlink_to(ROOT / "sample_images")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def without_numbers(text: str) -> str:
    """A text with every number replaced, so that another machine's last digit does not count."""
    return re.sub(r"\d+(\.\d+)?", "0", text.strip())


@pytest.mark.parametrize("title", ["Run it", "Test it"])
def test_each_of_the_two_commands_is_one_line_in_one_block(title: str) -> None:
    (block,) = blocks(section(title))
    assert block.count("\n") == 0
    assert block.startswith("python3 -m venv .venv && .venv/bin/pip install ")


def test_what_comes_out_of_run_it_is_what_the_readme_shows(fresh_folder: Path) -> None:
    (block,) = blocks(section("Run it"))
    (shown,) = blocks(section("Run it"), "~~~")
    printed = run(block.rpartition(" && ")[2])
    assert without_numbers(printed) == without_numbers(shown)
    assert (fresh_folder / "out" / "both_flanks.png").is_file()


def test_every_example_works(fresh_folder: Path) -> None:
    lines = [line for block in blocks(section("Every command")) for line in block.splitlines()]
    assert {shlex.split(line)[1] for line in lines} == set(main.list_commands(click.Context(main))) - {"serve"}
    for line in lines:
        run(line)
    assert (fresh_folder / "after" / "judgement.json").is_file()


def test_the_lines_that_start_the_pages_are_options_of_the_command() -> None:
    (block,) = blocks(section("On the phone"))
    install, start = block.splitlines()
    assert install == '.venv/bin/pip install -q -e ".[web]"'
    command = main.get_command(click.Context(main), "serve")
    assert command is not None
    command.make_context("serve", shlex.split(start)[2:])


def test_the_sheet_shown_is_the_sample_sheet() -> None:
    (shown,) = blocks(section("The machine sheet"))
    assert shown == (ROOT / "sample_images" / "goods_lift.toml").read_text(encoding="utf-8").rstrip("\n")


def test_the_keys_shown_are_those_of_the_one_table() -> None:
    assert fields_as_markdown() in README


def test_the_python_example_prints_what_is_shown(fresh_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = section("Use it from Python")
    (code,), (shown,) = blocks(text), blocks(text, "~~~")
    exec(compile(code, "README.md", "exec"), {})
    assert capsys.readouterr().out.strip() == shown.strip()
    assert fresh_folder == Path.cwd()


def test_every_exit_code_is_explained() -> None:
    codes = {kind.exit_code for kind in PatternscanError.__subclasses__()}
    explained = {int(code) for code in re.findall(r"^\| (\d) \|", section("How it ends"), re.MULTILINE)}
    assert explained == codes | {0}


def test_every_picture_shown_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert len(pictures) >= 2
    assert [picture for picture in pictures if not (ROOT / picture).is_file()] == []
