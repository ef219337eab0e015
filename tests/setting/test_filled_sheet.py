"""Values put onto a machine sheet: they are read back as written, and all else stays."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.setting.machine.fields import TABLES
from patternscan.setting.machine.filled_sheet import with_values, written_value, written_values
from patternscan.setting.machine.sheet_file import blank_sheet, checked_sheet

EXAMPLES: dict[tuple[str, str], Any] = {
    (table.name, field.key): tomllib.loads(f"value = {field.example}")["value"]
    for table in TABLES.values()
    for field in table.fields
    if field.key != "name"
}
OWN = """\
[machine]
name = "Lift" # as on the plate

[gear] # from the drawing
teeth = 31      # counted twice
# starts = 2, says the plate
"""


@settings(max_examples=20, deadline=None)
@given(st.sets(st.sampled_from(sorted(EXAMPLES)), max_size=8))
def test_what_is_put_on_a_blank_sheet_stands_there_and_nothing_else(keys: set[tuple[str, str]]) -> None:
    blank = blank_sheet("Lift")
    filled = with_values(blank, {key: EXAMPLES[key] for key in keys})
    assert written_values(filled) == {("machine", "name"): "Lift"} | {key: EXAMPLES[key] for key in keys}
    assert len(filled.splitlines()) == len(blank.splitlines()), "each value takes the line that waited for it"


def test_a_whole_sheet_is_one_that_can_be_read() -> None:
    filled = with_values(
        blank_sheet("Lift"), {key: EXAMPLES[key] for key in EXAMPLES if key[1] != "centre_distance_mm"}
    )
    sheet = checked_sheet(tomllib.loads(filled), "machine.toml")
    assert (sheet.gear.teeth, sheet.shims.thickest_mm, sheet.limits.worm_end_play.least_mm) == (31, 2.0, 0.08)  # type: ignore[union-attr]


def test_comments_and_order_stay() -> None:
    changed = with_values(OWN, {("gear", "teeth"): 30, ("gear", "module_mm"): 6.3, ("shims", "carrier"): "A"})
    assert [line for line in changed.splitlines() if line] == [
        "[machine]",
        'name = "Lift" # as on the plate',
        "[gear] # from the drawing",
        "teeth = 30      # counted twice",
        "# starts = 2, says the plate",
        "module_mm = 6.3",
        "[shims]",
        'carrier = "A"',
    ]


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=60), st.text(alphabet="ab#[]=\"'\n\\ ", max_size=60))
def test_any_words_are_read_back(words: str, remark: str) -> None:
    comment = "".join(f"# {line}\n" for line in remark.splitlines())
    text = f'{comment}[photos]\n# film = "thin, by brush"  # how\n'
    assert written_values(with_values(text, {("photos", "film"): words})) == {("photos", "film"): words}


def test_a_value_is_taken_off() -> None:
    assert written_values(with_values(OWN, {("gear", "teeth"): None, ("dial", "radius"): None})) == {
        ("machine", "name"): "Lift"
    }


@pytest.mark.parametrize(
    ("table", "key", "texts", "unit", "value"),
    [
        ("gear", "module_mm", ["6,3"], "", 6.3),
        ("gear", "teeth", [" 31 "], "", 31),
        ("gear", "hand", ["left"], "", "left"),
        ("shims", "thickest", ["0.08"], "in", "0.08 in"),
        ("shims", "thickest", ["2 mm"], "in", "2 mm"),
        ("limits", "backlash", ["6", "16"], "thou", ["6 thou", "16 thou"]),
        ("photos", "film", ["  "], "", None),
        ("shims", "stock", ["0.10", "", "0.05"], "mm", ["0.10 mm x 4", "0.05 mm x 1"]),
    ],
)
def test_what_a_person_writes(table: str, key: str, texts: list[str], unit: str, value: object) -> None:
    assert written_value(TABLES[table][key], texts, unit, ["4"]) == value


@pytest.mark.parametrize(
    ("table", "key", "texts"),
    [
        ("gear", "teeth", ["31.5"]),
        ("gear", "teeth", ["many"]),
        ("gear", "module_mm", ["nan"]),
        ("gear", "hand", ["up"]),
        ("limits", "backlash", ["0.4", "0.1"]),
        ("limits", "backlash", ["0.4"]),
        ("shims", "thickest", ["1e9"]),
    ],
)
def test_what_cannot_be_is_refused(table: str, key: str, texts: list[str]) -> None:
    with pytest.raises(WrongUse, match="Write "):
        written_value(TABLES[table][key], texts, "mm")
