"""Names for folders that every system takes, no two alike on any disk."""

from __future__ import annotations

import pytest

from patternscan.workflow.batch.folder_names import LONGEST_NAME, FolderNames


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Goods lift, north", "Goods_lift_north"),
        ("nul", "_nul"),
        ("COM7.left", "_COM7.left"),
        ("..", "unnamed"),
        ("x" * (LONGEST_NAME - 1) + ".left", "x" * (LONGEST_NAME - 1)),
    ],
)
def test_a_name_is_one_that_every_system_takes(words: str, name: str) -> None:
    assert FolderNames().fresh(words) == name


def test_names_that_differ_in_capitals_alone_get_a_number() -> None:
    names = FolderNames()
    assert [names.fresh(words) for words in ("Lift", "lift", "LIFT")] == ["Lift", "lift.2", "LIFT.3"]
