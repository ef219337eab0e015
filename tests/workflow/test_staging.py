"""Files of a run that died are told from those of one at work, and an older set comes back whole."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.disk.staging import LOCK, NEW, OLD, PREFIX, waiting_folder, write_waiting

DIE = """
import os, signal, sys
from pathlib import Path
from patternscan.workflow.disk.delivery import deliver
folder, after = Path(sys.argv[1]), int(sys.argv[2])
rename, done = os.replace, 0
def renamed(old, new):
    global done
    if done == after:
        os.kill(os.getpid(), signal.SIGKILL)
    done += 1
    rename(old, new)
os.replace = renamed
deliver({folder / name: b"new" for name in ("a.png", "b.png", "judgement.json")}, True)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal on this system")
@pytest.mark.parametrize("after", range(7))
def test_killed_between_two_names_leaves_the_old_set_or_the_new(tmp_path: Path, after: int) -> None:
    """Three old files move away and three new ones get their names: six renamings."""
    names = ("a.png", "b.png", "judgement.json")
    for name in names:
        (tmp_path / name).write_bytes(b"old")
    code = subprocess.run([sys.executable, "-c", DIE, str(tmp_path), str(after)], check=False).returncode
    assert code == (0 if after == 6 else -signal.SIGKILL)
    present = {(tmp_path / name).read_bytes() for name in names if (tmp_path / name).exists()}
    assert not (tmp_path / "judgement.json").exists() or len(present) == 1
    deliver({tmp_path / "other.txt": b"next run"}, False)
    assert sorted(path.name for path in tmp_path.iterdir()) == [*sorted(names), "other.txt"]
    assert {(tmp_path / name).read_bytes() for name in names} == {b"new" if after == 6 else b"old"}


def test_a_run_at_work_is_left_alone(tmp_path: Path) -> None:
    with waiting_folder(tmp_path) as place:
        write_waiting(place, "a.txt", b"waits")
        deliver({tmp_path / "b.txt": b"meanwhile"}, False)
        assert (place / NEW / "a.txt").read_bytes() == b"waits"
        assert (place / OLD).is_dir()
    assert os.listdir(tmp_path) == ["b.txt"]


def test_only_what_the_older_result_named_goes(tmp_path: Path) -> None:
    for name in ("older.png", "mine.png"):
        (tmp_path / name).write_bytes(b"")
    deliver({tmp_path / "new.png": b""}, False, outdated=[tmp_path / "older.png"])
    assert sorted(os.listdir(tmp_path)) == ["mine.png", "new.png"]


def test_folders_that_were_made_for_nothing_are_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stopped)
    with pytest.raises(KeyboardInterrupt):
        deliver({tmp_path / "new" / "folder" / "a.txt": b"one"}, False)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_whose_run_died_while_making_it_goes_too(tmp_path: Path) -> None:
    place = tmp_path / f"{PREFIX}dead"
    place.mkdir()
    os.utime(place, (0, 0))
    deliver({tmp_path / "a.txt": b""}, False)
    assert os.listdir(tmp_path) == ["a.txt"]


def test_nothing_is_written_into_a_locked_file(tmp_path: Path) -> None:
    """Windows lets nobody write there, the process that holds the lock neither (msvcrt.locking, from memory)."""
    with waiting_folder(tmp_path) as place:
        assert (place / LOCK).stat().st_size == 0
