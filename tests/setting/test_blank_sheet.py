"""The sheet to be filled in: valid as it is, valid when filled in, and complete."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.plain_text import one_line
from patternscan.setting.machine.fields import TABLES
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.sheet_file import blank_sheet, fields_as_markdown, read_sheet


def test_a_blank_sheet_says_nothing_but_the_name(tmp_path: Path) -> None:
    path = tmp_path / "machine.toml"
    path.write_text(blank_sheet("An invented winch"), encoding="utf-8")
    sheet = read_sheet(path)
    assert sheet.machine == "An invented winch"
    assert sheet.gear == Sheet().gear
    assert sheet.limits == Sheet().limits


def test_every_key_is_there_and_its_example_is_right(tmp_path: Path) -> None:
    text = re.sub(r"(?m)^# (?=\w+ = )", "", blank_sheet("An invented winch"))
    content = tomllib.loads(text)
    assert {table: set(entries) for table, entries in content.items()} == {
        name: {field.key for field in table.fields} for name, table in TABLES.items()
    }
    path = tmp_path / "machine.toml"
    path.write_text(text, encoding="utf-8")
    read_sheet(path)


@settings(deadline=None, max_examples=60)
@given(name=st.text(st.characters(codec="utf-8"), min_size=1).filter(one_line))
def test_any_name_comes_back(tmp_path_factory: pytest.TempPathFactory, name: str) -> None:
    path = tmp_path_factory.mktemp("sheets") / "machine.toml"
    path.write_text(blank_sheet(name), encoding="utf-8", newline="\n")
    assert read_sheet(path).machine == one_line(name)


def test_the_sheet_is_no_wider_than_a_screen_and_tells_what_is_guessed() -> None:
    lines = blank_sheet("An invented winch").splitlines()
    assert max(map(len, lines)) <= 120
    assert any(line.endswith("straight in the normal section; when not known: zi") for line in lines)


def test_the_list_for_people_names_every_key() -> None:
    rows = fields_as_markdown().splitlines()[2:]
    keys = [f"`{name}.{field.key}`" for name, table in TABLES.items() for field in table.fields]
    assert [row.split(" | ")[0].removeprefix("| ") for row in rows] == keys
    assert '| `gear.rim` | "throated" or "straight" | "straight" when the rim was turned' in fields_as_markdown()
