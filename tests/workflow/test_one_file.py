"""One file replaced in one step."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from patternscan.errors import CannotWrite
from patternscan.workflow.disk.one_file import replace_file


def test_a_file_is_replaced_and_nothing_else_is_left(tmp_path: Path) -> None:
    target = tmp_path / "deeper" / "one.json"
    replace_file(target, b"older")
    replace_file(target, io.BytesIO(b"newer"))
    assert target.read_bytes() == b"newer"
    assert list(target.parent.iterdir()) == [target]


def test_what_cannot_be_written_leaves_all_as_it_was(tmp_path: Path) -> None:
    target = tmp_path / "one.json"
    target.mkdir()
    with pytest.raises(CannotWrite, match=r"one\.json cannot be written"):
        replace_file(target, b"newer")
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_a_file_may_be_read_by_whom_the_others_may_be_read(tmp_path: Path) -> None:
    target, other = tmp_path / "one.json", tmp_path / "other.json"
    replace_file(target, b"newer")
    other.write_bytes(b"newer")
    assert target.stat().st_mode == other.stat().st_mode
