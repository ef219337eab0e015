"""``patternscan tags``, and what a tag in a photo changes in the answers."""

from __future__ import annotations

import io
import json
import tomllib
from pathlib import Path

import pypdf
import pytest
from PIL import Image

from patternscan.frame import End, Flank, Lift, Medium
from patternscan.reporting.printed.print_cards import LIFTS, on_left
from patternscan.reporting.text.answers.ends import BY_TAG, WRONG_WAY
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes
from patternscan.setting.machine.sheet_file import blank_sheet, read_sheet
from tests.cli.test_commands import run
from tests.seeing.test_tags import PAIR, tagged

SHEET = '[machine]\nname = "Barn hoist"\n'


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Both flanks, each with the tag of end A beside end A."""
    folder = tmp_path_factory.mktemp("tagged")
    for flank in Flank:
        photo, outline = tagged(flank, (End.A, End.A))
        Image.fromarray(photo.pixels).save(folder / f"{flank}.png")
        (folder / f"{flank}.outline.json").write_bytes(
            outline_file_bytes(outline_document(f"{flank}.png", [outline], None))
        )
    return folder


def judge_words(photos: Path) -> list[object]:
    words: list[object] = ["judge", "--marking", "transfer"]
    for flank in Flank:
        words += [f"--{flank}", photos / f"{flank}.png", f"--{flank}-outline", photos / f"{flank}.outline.json"]
    return words


def test_the_sheet_of_tags_holds_machine_pair_and_how_to_fix_them(tmp_path: Path) -> None:
    result = run("tags", "--out", tmp_path / "tags.pdf", "--machine", "Barn hoist")
    assert result.exit_code == 0, result.output
    pair = int(result.stderr.rpartition("pair = ")[2])
    page, cards = pypdf.PdfReader(io.BytesIO((tmp_path / "tags.pdf").read_bytes())).pages
    words = " ".join(page.extract_text().split())
    assert f"Tags for Barn hoist, pair {pair}" in words
    assert "50 mm (1.97 in)" in words
    assert "Take every tag off before the worm is turned." in words
    printed = " ".join(cards.extract_text().split())
    assert f"Cards for prints off Barn hoist, pair {pair}" in printed
    assert "RIGHT flank, PAPER, compound up" in printed
    assert "When it is read, say: right flank, paper, touched" in printed
    assert run("tags", "--out", tmp_path / "tags.pdf").exit_code == 7


@pytest.mark.parametrize("end", End)
@pytest.mark.parametrize("flank", Flank)
@pytest.mark.parametrize("lift", LIFTS)
def test_a_card_shows_end_a_where_its_print_has_it(end: End, flank: Flank, lift: Lift) -> None:
    # seen with the tip up a right flank has end A on the left (ISO 1122-1); tape on a card is seen so, paper mirrored
    a_on_left = {(Flank.RIGHT, Medium.TAPE), (Flank.LEFT, Medium.PAPER)}
    assert on_left(end, flank, lift) is (((flank, lift.medium) in a_on_left) is (end is End.A))


@pytest.mark.parametrize("text", [SHEET, blank_sheet("Barn hoist"), SHEET.replace("\n", "\r\n"), ""])
def test_the_pair_is_kept_on_the_machine_sheet(tmp_path: Path, text: str) -> None:
    sheet = tmp_path / "barn.toml"
    sheet.write_bytes(text.encode())
    first = run("tags", "--out", tmp_path / "one.pdf", "--sheet", sheet)
    pair = read_sheet(sheet).tag_pair
    assert first.stderr.splitlines()[-1] == f"Written on barn.toml: pair = {pair}"
    kept = sheet.read_bytes()
    assert tomllib.loads(kept.decode()) == tomllib.loads(text) | {"tags": {"pair": pair}}
    second = run("tags", "--out", tmp_path / "two.pdf", "--sheet", sheet)
    assert second.stderr.splitlines()[-1] == f"Pair {pair}, as on barn.toml."
    assert sheet.read_bytes() == kept
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_with_a_tag_in_every_photo_nobody_has_to_look_for_the_letter(photos: Path) -> None:
    told = " ".join(run(*judge_words(photos)).stdout.split())
    assert BY_TAG in told
    assert WRONG_WAY not in told
    document = json.loads(run(*judge_words(photos), "--json").stdout)
    assert [one["flanks"][0]["ends"] for one in (*document["left"], *document["right"])] == ["tag", "tag"]


def test_another_machines_photo_is_refused(photos: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "barn.toml"
    sheet.write_text(f"{SHEET}[tags]\npair = {PAIR + 1}\n", encoding="utf-8")
    result = run(*judge_words(photos), "--sheet", sheet)
    assert result.exit_code == 6
    assert f"pair {PAIR}, but the machine sheet says pair {PAIR + 1}" in result.stderr
    sheet.write_text(f"{SHEET}[tags]\npair = {PAIR}\n", encoding="utf-8")
    assert run(*judge_words(photos), "--sheet", sheet).exit_code == 0
