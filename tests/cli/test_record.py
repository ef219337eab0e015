"""The command ``record``: files whole or not at all, nothing of the job touched."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.test_commands import run
from tests.reporting.jobs import SAMPLE, made_job
from tests.setting.job_entries import FOUND


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return made_job(tmp_path / "job", FOUND)


def test_page_and_pdf_are_written(tmp_path: Path) -> None:
    page, pdf = tmp_path / "record.html", tmp_path / "record.pdf"
    result = run("record", SAMPLE, "--out", page, "--pdf", pdf)
    assert result.exit_code == 0, result.output
    assert result.stdout == ""
    assert f"Written: {page}" in result.stderr
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert page.stat().st_size < 1_500_000
    assert pdf.stat().st_size < 1_500_000


def test_nothing_is_overwritten_unless_asked_and_then_all_or_nothing(job: Path, tmp_path: Path) -> None:
    page, pdf = tmp_path / "record.html", tmp_path / "record.pdf"
    pdf.write_bytes(b"an older one")
    assert run("record", job, "--out", page, "--pdf", pdf).exit_code == 7
    assert not page.exists()
    assert pdf.read_bytes() == b"an older one"
    assert run("record", job, "--out", page, "--pdf", pdf, "--overwrite").exit_code == 0
    assert pdf.read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(("name", "code"), [("log.jsonl", 2), ("machine.toml", 2), ("patterns/01/page.html", 7)])
def test_the_job_itself_is_never_written_over(job: Path, name: str, code: int) -> None:
    (job / "patterns" / "01").mkdir(parents=True)
    (job / "patterns" / "01" / "page.html").write_text("a page of a judgement", encoding="utf-8")
    before = (job / name).read_bytes()
    assert run("record", job, "--out", job / name, "--overwrite").exit_code == code
    assert (job / name).read_bytes() == before


def test_a_page_under_a_name_that_no_browser_opens_is_refused(job: Path, tmp_path: Path) -> None:
    result = run("record", job, "--out", tmp_path / "record.txt")
    assert (result.exit_code, (tmp_path / "record.txt").exists()) == (2, False)
    assert "Give a name such as record.html." in result.stderr


def test_one_name_for_both_is_refused(job: Path, tmp_path: Path) -> None:
    result = run("record", job, "--out", tmp_path / "a", "--pdf", tmp_path / "." / "a")
    assert result.exit_code == 2
    assert list(tmp_path.iterdir()) == [job]


def test_a_folder_that_holds_no_job_is_named(tmp_path: Path) -> None:
    result = run("record", tmp_path / "nowhere", "--out", tmp_path / "record.html")
    assert result.exit_code == 2
    assert "no log of a job" in result.stderr


def test_a_name_that_is_no_text_still_gives_a_page(job: Path, tmp_path: Path) -> None:
    """A half of a pair of code units is no character (Unicode, D75) but JSON can carry it."""
    assert run("record", job, "--out", tmp_path / "before.html").exit_code == 0
    log = (job / "log.jsonl").read_text(encoding="utf-8").replace("R. Moss", "R\\ud800")
    (job / "log.jsonl").write_text(log, encoding="utf-8")
    assert run("record", job, "--out", tmp_path / "a.html", "--pdf", tmp_path / "a.pdf").exit_code == 0


def test_a_card_to_fill_in_holds_the_machine_its_limits_and_the_order_of_work(tmp_path: Path) -> None:
    card = tmp_path / "card.pdf"
    assert run("record", SAMPLE, "--card", card).exit_code == 0
    pages = PdfReader(card).pages
    assert [round(float(length) / 72 * 25.4) for length in pages[0].mediabox[2:]] == [148, 210]
    words = " ".join(" ".join(page.extract_text() for page in pages).split())
    order = ["Goods lift, north shaft", "Hang the car", "Gone once it is apart", "0.08 to 0.13 mm", "Trials", "Signed"]
    assert [words.index(one) for one in order] == sorted(words.index(one) for one in order)
    assert len(pages) == 2


def test_a_card_and_a_record_are_not_asked_for_at_once(job: Path, tmp_path: Path) -> None:
    assert run("record", job, "--card", tmp_path / "card.pdf", "--out", tmp_path / "page.html").exit_code == 2
    assert run("record", job).exit_code == 2
