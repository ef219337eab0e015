"""The log of a job: it only grows, and nothing that was once kept is lost."""

from __future__ import annotations

import multiprocessing
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import CannotWrite, InconsistentInputs, WrongUse
from patternscan.setting.log.events import EndPlay, Note
from patternscan.setting.log.job_log import LOG_NAME, SHEET_NAME, Log, append_entry, read_job, read_log, start_log
from patternscan.setting.log.words import Shaft

SHEET = '[machine]\nname = "An invented winch"\n'


@pytest.fixture
def job(tmp_path: Path) -> Path:
    start_log(tmp_path, SHEET)
    return tmp_path


def codes(log: Log) -> list[str]:
    return [caution.code for caution in log.damage]


def texts(log: Log) -> list[str]:
    return [entry.event.text for entry in log.entries if isinstance(entry.event, Note)]


def test_a_new_job_has_a_sheet_and_an_empty_log(tmp_path: Path) -> None:
    folder = tmp_path / "winch"
    assert {path.name for path in start_log(folder, SHEET)} == {LOG_NAME, SHEET_NAME}
    sheet, log = read_job(folder)
    assert (sheet.machine, log) == ("An invented winch", Log())


def test_a_sheet_that_is_there_is_kept(tmp_path: Path) -> None:
    (tmp_path / SHEET_NAME).write_text(SHEET, encoding="utf-8")
    assert [path.name for path in start_log(tmp_path, "[machine]\n")] == [LOG_NAME]
    assert read_job(tmp_path)[0].machine == "An invented winch"


def test_a_job_is_not_begun_twice(job: Path) -> None:
    append_entry(job, Note("first"))
    with pytest.raises(WrongUse, match="already"):
        start_log(job, SHEET)
    assert texts(read_log(job)) == ["first"]


@pytest.mark.parametrize("inside", ["", "job"])
def test_a_file_given_for_the_folder_is_named(tmp_path: Path, inside: str) -> None:
    file = tmp_path / "lift.toml"
    file.write_text(SHEET, encoding="utf-8")
    with pytest.raises(CannotWrite) as begun:
        start_log(file / inside, SHEET)
    assert (begun.value.found, begun.value.remedy) == (
        f"{file} is a file, not a folder.",
        "Give the name of a folder for the job.",
    )
    for use in (read_log, lambda folder: append_entry(folder, Note("x"))):
        with pytest.raises(WrongUse) as used:
            use(file / inside)
        assert used.value.found == f"{file} is a file, not the folder of a job."
    assert file.read_text(encoding="utf-8") == SHEET


def test_entries_come_back_in_their_order(job: Path) -> None:
    kept = [append_entry(job, Note(text), by="the fitter") for text in ("one", "two", "three")]
    log = read_log(job)
    assert log.entries == tuple(kept)
    assert [entry.number for entry in log.entries] == [1, 2, 3]
    assert log.damage == ()


def test_the_file_only_grows(job: Path) -> None:
    before = (job / LOG_NAME).read_bytes()
    for text in ("one", "two"):
        append_entry(job, Note(text))
        after = (job / LOG_NAME).read_bytes()
        assert after.startswith(before)
        assert after.count(b"\n") == before.count(b"\n") + 1
        before = after


@pytest.mark.parametrize("cut", [1, 2, 10, 60])
def test_a_log_cut_off_in_the_middle_is_read_and_goes_on(job: Path, cut: int) -> None:
    for text in ("one", "two"):
        append_entry(job, Note(text))
    path = job / LOG_NAME
    torn = path.read_bytes()[:-cut]
    path.write_bytes(torn)
    whole = ["one", "two"] if cut == 1 else ["one"]
    assert texts(read_log(job)) == whole
    append_entry(job, Note("three"))
    log = read_log(job)
    assert texts(log) == [*whole, "three"]
    assert codes(log) == ([] if cut == 1 else ["log-line-damaged"])
    assert path.read_bytes().startswith(torn)


def test_a_line_changed_by_hand_shows(job: Path) -> None:
    for text in ("one", "two", "three"):
        append_entry(job, Note(text))
    path = job / LOG_NAME
    path.write_bytes(path.read_bytes().replace(b"two", b"TWO"))
    assert codes(read_log(job)) == ["log-changed"]


def test_a_line_taken_out_shows(job: Path) -> None:
    for text in ("one", "two", "three"):
        append_entry(job, Note(text))
    path = job / LOG_NAME
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:2], lines[3]]))
    assert codes(read_log(job)) == ["log-changed"]


def test_line_ends_of_another_system_change_nothing(job: Path) -> None:
    append_entry(job, Note("one"))
    path = job / LOG_NAME
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    append_entry(job, Note("two"))
    log = read_log(job)
    assert (texts(log), log.damage) == (["one", "two"], ())


@settings(deadline=None, max_examples=40)
@given(junk=st.binary(max_size=80))
def test_any_bytes_at_the_end_leave_the_rest_readable(tmp_path_factory: pytest.TempPathFactory, junk: bytes) -> None:
    folder = tmp_path_factory.mktemp("job")
    start_log(folder, SHEET)
    append_entry(folder, Note("one"))
    with (folder / LOG_NAME).open("ab") as file:
        file.write(junk)
    append_entry(folder, Note("two"))
    assert texts(read_log(folder)) == ["one", "two"]


def write_many(folder: Path, name: str) -> None:
    for number in range(20):
        append_entry(folder, Note(f"{name} {number}"), by=name)


def test_two_people_at_once_lose_nothing(job: Path) -> None:
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=write_many, args=(job, name)) for name in ("first", "second")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    log = read_log(job)
    assert sorted(texts(log)) == sorted(f"{name} {number}" for name in ("first", "second") for number in range(20))
    assert [entry.number for entry in log.entries] == list(range(1, 41))
    assert log.damage == ()


FULL_DISK = """
import resource, signal, sys
from pathlib import Path
from patternscan.errors import CannotWrite
from patternscan.setting.log.events import Note
from patternscan.setting.log.job_log import LOG_NAME, append_entry
folder = Path(sys.argv[1])
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
size = (folder / LOG_NAME).stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 30, size + 30))
try:
    append_entry(folder, Note("does not fit"))
except CannotWrite as error:
    print(error.exit_code)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no file size limit for a process there")
def test_a_full_disk_leaves_the_old_log(job: Path) -> None:
    append_entry(job, Note("one"))
    before = (job / LOG_NAME).read_bytes()
    done = subprocess.run([sys.executable, "-c", FULL_DISK, str(job)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == str(CannotWrite.exit_code)
    assert (job / LOG_NAME).read_bytes() == before


def test_a_check_stops_an_entry(job: Path) -> None:
    def refuse(log: Log) -> None:
        raise WrongUse(f"{len(log.entries)} entries are enough.", "Stop.")

    with pytest.raises(WrongUse, match="0 entries"):
        append_entry(job, Note("one"), guard=refuse)
    assert read_log(job) == Log()


def test_a_reading_out_of_order_is_refused(job: Path) -> None:
    last = append_entry(job, EndPlay(Shaft.WORM, 0.1))
    with pytest.raises(WrongUse, match="before the last entry"):
        append_entry(job, EndPlay(Shaft.WHEEL, 0.1), at=last.at - timedelta(hours=1))
    with pytest.raises(WrongUse, match="has not come yet"):
        append_entry(job, EndPlay(Shaft.WHEEL, 0.1), at=datetime.now(UTC) + timedelta(days=1))
    assert read_log(job).entries == (last,)


def test_a_time_that_a_person_gives_is_kept(tmp_path: Path) -> None:
    start_log(tmp_path, SHEET)
    moment = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
    assert append_entry(tmp_path, Note("from paper"), at=moment).at == moment
    assert append_entry(tmp_path, Note("same minute"), at=moment).number == 2


@pytest.mark.parametrize("content", [b"", b"hello\n", b'{"format": "patternscan-reading", "version": 1}\n'])
def test_another_file_is_not_taken_for_a_log(tmp_path: Path, content: bytes) -> None:
    (tmp_path / LOG_NAME).write_bytes(content)
    with pytest.raises(InconsistentInputs):
        append_entry(tmp_path, Note("one"))
    assert (tmp_path / LOG_NAME).read_bytes() == content


def test_no_log_there(tmp_path: Path) -> None:
    for action in (read_log, lambda folder: append_entry(folder, Note("one"))):
        with pytest.raises(WrongUse, match="no log of a job"):
            action(tmp_path / "nowhere")
    assert not (tmp_path / "nowhere").exists()


def test_a_start_cut_off_before_a_word_was_written_is_made_good(tmp_path: Path) -> None:
    """A full disk leaves empty files behind."""
    for name in (LOG_NAME, SHEET_NAME):
        (tmp_path / name).touch()
    assert [path.name for path in start_log(tmp_path, SHEET)] == [SHEET_NAME, LOG_NAME]
    assert read_log(tmp_path) == Log()
    assert (tmp_path / SHEET_NAME).read_text(encoding="utf-8") == SHEET
