"""Files appear whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from patternscan.errors import CannotWrite
from patternscan.workflow.disk.delivery import deliver


def test_all_files_are_written_into_a_new_folder(tmp_path: Path) -> None:
    written = deliver(
        {tmp_path / "new" / "folder" / "a.txt": b"one", tmp_path / "new" / "folder" / "b.txt": b"two"}, overwrite=False
    )
    assert [path.read_bytes() for path in written] == [b"one", b"two"]
    assert sorted(path.name for path in (tmp_path / "new" / "folder").iterdir()) == ["a.txt", "b.txt"]


def test_one_file_in_the_way_stops_all(tmp_path: Path) -> None:
    (tmp_path / "b.txt").write_bytes(b"old")
    with pytest.raises(CannotWrite):
        deliver({tmp_path / "a.txt": b"one", tmp_path / "b.txt": b"two"}, overwrite=False)
    assert [path.name for path in tmp_path.iterdir()] == ["b.txt"]
    assert (tmp_path / "b.txt").read_bytes() == b"old"


def test_overwrite_replaces(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"old")
    deliver({tmp_path / "a.txt": b"new"}, overwrite=True)
    assert (tmp_path / "a.txt").read_bytes() == b"new"


def test_an_input_is_refused_even_with_overwrite_and_through_a_link(tmp_path: Path) -> None:
    original = tmp_path / "photo.jpg"
    original.write_bytes(b"photo")
    link = tmp_path / "link.jpg"
    os.link(original, link)
    for target in (original, link, tmp_path / "folder" / ".." / "photo.jpg"):
        with pytest.raises(CannotWrite):
            deliver({target: b"picture"}, overwrite=True, originals=[original])
    assert original.read_bytes() == b"photo"


def test_nothing_half_written_stays_when_a_write_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full_disk(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full_disk)
    with pytest.raises(CannotWrite) as stop:
        deliver({tmp_path / "a.txt": b"one", tmp_path / "b.txt": b"two"}, overwrite=False)
    assert "No space left on device" in stop.value.found
    assert list(tmp_path.iterdir()) == []


def test_a_file_already_named_is_taken_back_when_the_next_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rename = os.replace

    def refuse_second(temporary: Path, target: Path) -> None:
        if target.name == "b.txt":
            raise OSError(28, "No space left on device")
        rename(temporary, target)

    monkeypatch.setattr(os, "replace", refuse_second)
    with pytest.raises(CannotWrite) as stop:
        deliver({tmp_path / "a.txt": b"one", tmp_path / "b.txt": b"two"}, overwrite=False)
    assert list(tmp_path.iterdir()) == []
    assert "b.txt" in stop.value.found


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(CannotWrite):
        deliver({tmp_path / "file" / "a.txt": b"one"}, overwrite=False)
