"""Photos that were mixed up by a person in a hurry: of the other flank, of another machine."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.benchmarks.scenes import Scene, clicked_outline, scene, sheet_text
from tests.cli.test_commands import LEFT, RIGHT, document, run


@pytest.mark.parametrize("words", [("judge", "--left", RIGHT, "--right", LEFT), ("read", RIGHT, "--flank", "left")])
def test_photos_named_as_the_other_flank_are_refused_before_they_are_searched(words: tuple[object, ...]) -> None:
    """Without an outline nothing in the photos tells one flank from the other, and the answer would be turned round."""
    result = run(*words, "--marking", "transfer")
    assert result.exit_code == 6
    assert result.stderr.startswith(f"{RIGHT.name} was given as a left flank, but its name says right.\n")


def outline_in(folder: Path, one: Scene) -> Path:
    path = folder / f"{one.name}.outline.json"
    path.write_text(json.dumps(clicked_outline(one)), encoding="utf-8")
    return path


@pytest.mark.parametrize(("name", "told"), [("dev/dev000_before_P", False), ("port/p_dev002_check_P", True)])
def test_the_photo_of_another_wheel_is_told_by_gear_data_that_fit_the_other_flank(
    tmp_path: Path, name: str, told: bool
) -> None:
    left, right = scene("dev", "dev000_before_M"), scene(*name.split("/"))  # type: ignore[arg-type]
    sheet = tmp_path / "lift.toml"
    sheet.write_text(sheet_text(left), encoding="utf-8")
    words = ["judge", "--left", left.photo, "--left-outline", outline_in(tmp_path, left), "--sheet", sheet]
    words += ["--right", right.photo, "--right-outline", outline_in(tmp_path, right), "--marking", "transfer", "--json"]
    content = document(run(*words))
    assert ("wheels-differ" in [one["code"] for one in content["cautions"]]) is told
    assert content["advice"]["move_wheel"] == ("cannot-say" if told else "toward-B")
