"""What is kept of each task: whole or not at all, and known again."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from patternscan.errors import CannotWrite
from patternscan.reporting.kept.files import file_digest
from patternscan.workflow.batch.cache import fingerprint, lookup, store
from patternscan.workflow.inputs.photo_list import RECORD

FILES = {Path("report.md"): b"words", Path("picture.png"): b"\x89PNG"}


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_what_was_kept_is_found_by_its_mark(tmp_path: Path) -> None:
    folder = tmp_path / "photos" / "a"
    assert lookup(folder, "mark", False) is None
    store(folder, FILES, "mark", {"along": 0.25})
    assert names(folder) == ["picture.png", RECORD, "report.md"]
    assert names(folder.parent) == ["a"]
    assert lookup(folder, "mark", False) == {"along": 0.25}


def test_another_result_is_replaced_only_when_asked(tmp_path: Path) -> None:
    folder = tmp_path / "a"
    store(folder, FILES, "mark", {})
    with pytest.raises(CannotWrite, match="of another photo or of other settings"):
        lookup(folder, "other", False)
    assert lookup(folder, "other", True) is None
    store(folder, {Path("new.md"): b"new"}, "other", {"new": True})
    assert names(folder) == ["new.md", RECORD]
    assert names(tmp_path) == ["a"]


def test_a_result_with_a_file_missing_is_made_again(tmp_path: Path) -> None:
    folder = tmp_path / "a"
    store(folder, FILES, "mark", {})
    (folder / "report.md").unlink()
    assert lookup(folder, "mark", False) is None
    store(folder, FILES, "mark", {"again": 1})
    assert lookup(folder, "mark", False) == {"again": 1}


def test_a_file_of_a_person_is_never_removed(tmp_path: Path) -> None:
    folder = tmp_path / "a"
    store(folder, FILES, "mark", {})
    (folder / "my notes.txt").write_text("mine")
    with pytest.raises(CannotWrite, match=r"my notes\.txt"):
        store(folder, FILES, "other", {})
    assert lookup(folder, "mark", False) == {}
    assert (folder / "my notes.txt").read_text() == "mine"
    assert names(tmp_path) == ["a"]


def test_leftovers_of_a_killed_run_are_cleared(tmp_path: Path) -> None:
    (tmp_path / ".a.partial").mkdir()
    (tmp_path / ".a.partial" / ".report.md.x8").write_text("half")
    store(tmp_path / "a", FILES, "mark", {})
    assert names(tmp_path) == ["a"]


@pytest.mark.parametrize("content", ["", "{", "[]", '{"format": "patternscan-record", "version": 1}', "null"])
def test_a_damaged_record_is_not_believed(tmp_path: Path, content: str) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / RECORD).write_text(content)
    with pytest.raises(CannotWrite):
        lookup(tmp_path / "a", "mark", False)


def test_the_fingerprint_changes_with_content_and_settings_but_not_with_the_place(tmp_path: Path) -> None:
    first, second, third = (tmp_path / name for name in ("a", "b", "c"))
    first.write_bytes(b"photo"), second.write_bytes(b"photo"), third.write_bytes(b"other")
    assert fingerprint([first, None], "left") == fingerprint([second, None], "left")
    assert len({fingerprint([path, None], word) for path in (first, third) for word in ("left", "right")}) == 4
    assert fingerprint([first, None], "left") != fingerprint([None, first], "left")


def test_the_hash_is_sha_256_and_nothing_is_hashed_that_is_no_file(tmp_path: Path) -> None:
    """The digest of "abc" is the example of FIPS 180-4 (SHA-256 test vectors of NIST)."""
    (tmp_path / "abc").write_bytes(b"abc")
    assert file_digest(tmp_path / "abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert file_digest(tmp_path / "missing") is None
    assert file_digest(tmp_path) is None
    os.mkfifo(tmp_path / "pipe")
    assert file_digest(tmp_path / "pipe") is None
