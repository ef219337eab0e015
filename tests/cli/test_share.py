"""``proof --share``: what is given away gives the same figures, names nobody, and was agreed to twice."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import msgspec
import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image, ImageOps

from patternscan.cli import main
from patternscan.errors import CannotWrite, InconsistentInputs, WrongUse
from patternscan.frame import Compound, Marking
from patternscan.judging.proof.truth import Truth
from patternscan.reporting.documents.truth import truth_document
from patternscan.seeing.geometry.outline_file import read_outline_file
from tests.cli.test_commands import SAMPLES, run

NAME = "goods_lift_before_left"
NAMES = ("Moss", "Weber", "Südschacht", "PhoneMaker", "goods", "lift", "TOOTH_OF_ANN", "2026")


def answered(answers: str, *words: object) -> Result:
    """The command with what a person types."""
    return CliRunner().invoke(main, [str(word) for word in words], input=answers)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sample photo with a camera's words in it, its gear on a sheet, painted by two people."""
    place = tmp_path_factory.mktemp("Südschacht")
    exif = Image.Exif()
    exif[0x010F] = "PhoneMaker"
    with Image.open(SAMPLES / f"{NAME}.jpg") as image:
        exif[0x0112] = image.getexif()[0x0112]
        image.save(place / f"{NAME}.jpg", quality="keep", exif=exif, comment="goods lift")
    sheet = (SAMPLES / "goods_lift.toml").read_text(encoding="utf-8")
    (place / "lift.toml").write_text(sheet, encoding="utf-8")
    with Image.open(SAMPLES / "truth" / f"{NAME}.contact.png") as image:
        contact = np.asarray(image.convert("L").resize((256, 128))) > 127
    (outline,) = read_outline_file(SAMPLES / f"{NAME}.outline.json").outlines
    outline = replace(outline, tooth="TOOTH_OF_ANN")
    for step, by in enumerate(("R. Moss", "K. Weber")):
        painted = np.roll(contact, 9 * step, axis=1)
        told = (Marking.TRANSFER, Compound.BLUE, painted, np.ones_like(painted), by, f"2026-03-0{step + 1}")
        document = truth_document([Truth(f"{NAME}.jpg", outline, *told)])
        (place / f"{NAME}.{by[0]}.truth.json").write_bytes(msgspec.json.encode(document))
    return place


def figures(place: Path) -> dict[str, Any]:
    """What the proof of a folder comes to, but for names."""
    content = json.loads(run("proof", place, "--quick", "--json").stdout)
    return {"all": content["figures"]["all"], "hands": [one["overlap"] for one in content["hands"]]}


def png_chunks(content: bytes) -> Iterator[bytes]:
    """The kinds of a PNG's chunks: length, kind, data, check sum (PNG specification, third edition, 5.3)."""
    at = len(b"\x89PNG\r\n\x1a\n")
    while at < len(content):
        yield content[at + 4 : at + 8]
        at += 12 + int.from_bytes(content[at : at + 4], "big")


def test_the_unpacked_archive_gives_the_same_figures_and_names_nobody(folder: Path, tmp_path: Path) -> None:
    archive = tmp_path / "given.zip"
    result = answered("y\ny\n", "proof", folder, "--share", archive)
    assert result.exit_code == 0, result.output
    assert "1 photo of 1 machine would go into the archive" in result.output
    with ZipFile(archive) as packed:
        names = packed.namelist()
        contents = [packed.read(name) for name in names]
        packed.extractall(tmp_path / "unpacked")
    assert names == [
        "README.txt",
        "machine_1/photo_001/photo_001.png",
        "machine_1/photo_001/machine.toml",
        "machine_1/photo_001/photo_001.1.1.truth.json",
        "machine_1/photo_001/photo_001.1.2.truth.json",
    ]
    texts = b"".join(content for name, content in zip(names, contents, strict=True) if not name.endswith(".png"))
    assert [name for name in NAMES if name.encode() in texts] == []
    assert set(png_chunks(contents[1])) == {b"IHDR", b"IDAT", b"IEND"}
    assert figures(tmp_path / "unpacked") == figures(folder)
    piece = tmp_path / "unpacked" / names[1]
    with Image.open(piece) as image:
        image.crop((0, 0, image.width - 9, image.height)).save(piece)
    result = run("proof", tmp_path / "unpacked", "--quick")
    assert result.exit_code == InconsistentInputs.exit_code
    assert "The truth of photo_001.png was marked on a copy of" in result.stderr


def test_only_the_wheel_goes_into_the_archive_and_once_more_it_is_the_same(folder: Path, tmp_path: Path) -> None:
    first, second = tmp_path / "first.zip", tmp_path / "second.zip"
    assert answered("y\ny\n", "proof", folder, "--share", first).exit_code == 0
    with ZipFile(first) as packed:
        packed.extractall(tmp_path / "unpacked")
    assert answered("y\ny\n", "proof", tmp_path / "unpacked", "--share", second).exit_code == 0
    assert first.read_bytes() == second.read_bytes()
    (picture,) = (tmp_path / "unpacked").rglob("*.png")
    cut = json.loads(next(picture.parent.glob("*.1.1.truth.json")).read_text())["cut"]
    (outline,) = read_outline_file(SAMPLES / f"{NAME}.outline.json").outlines
    room = np.ptp(outline.border, axis=0).max() / 4
    with Image.open(picture) as piece, Image.open(folder / f"{NAME}.jpg") as lying:
        whole = ImageOps.exif_transpose(lying)
        assert (cut["whole_width_px"], cut["whole_height_px"]) == whole.size
        corner = cut["left_px"], cut["top_px"]
        box = (*corner, corner[0] + piece.width, corner[1] + piece.height)
        assert np.array_equal(np.asarray(piece), np.asarray(whole.crop(box)))
        last = np.minimum(outline.border.max(axis=0) + room, np.array(whole.size) - 1)
    assert corner == pytest.approx(np.maximum(outline.border.min(axis=0) - room, 0), abs=1.01)
    assert np.array(box[2:]) - 1 == pytest.approx(last, abs=1.01)


@pytest.mark.parametrize(
    ("wrong", "files", "code"),
    [({"whole_width_px": 9}, 2, 6), ({"left_px": 0}, 1, 6), ({"left_px": -1}, 2, 2), ({"whole_width_px": 39999}, 2, 2)],
)
def test_a_piece_that_does_not_lie_where_its_files_say_is_refused(
    folder: Path, tmp_path: Path, wrong: dict[str, int], files: int, code: int
) -> None:
    place = tmp_path / "unpacked"
    shutil.copytree(folder, place)
    for count, path in enumerate(place.glob("*.truth.json")):
        content = json.loads(path.read_text(encoding="utf-8"))
        cut = {"left_px": 3, "top_px": 4, "whole_width_px": 3000, "whole_height_px": 2000}
        path.write_text(json.dumps(content | {"cut": cut | (wrong if count < files else {})}), encoding="utf-8")
    result = run("proof", place, "--quick")
    assert result.exit_code == code, result.output


@pytest.mark.parametrize("answers", ["n\n", "y\nn\n", "y\n\n", "y\n", ""])
def test_nothing_is_written_unless_agreed_to_twice(folder: Path, tmp_path: Path, answers: str) -> None:
    result = answered(answers, "proof", folder, "--share", tmp_path / "given.zip")
    assert result.exit_code in (WrongUse.exit_code, 130)
    assert [*tmp_path.iterdir()] == []


@pytest.mark.parametrize("other", [("--json",), ("--keep", "kept.json"), ("--out", "proven")])
def test_it_does_nothing_else(folder: Path, tmp_path: Path, other: tuple[str, ...]) -> None:
    words = [other[0], *(tmp_path / name for name in other[1:])]
    result = answered("y\ny\n", "proof", folder, "--share", tmp_path / "given.zip", *words)
    assert result.exit_code == WrongUse.exit_code
    assert "--share writes the archive and nothing else." in result.output
    assert [*tmp_path.iterdir()] == []


def test_nothing_that_is_there_is_replaced_and_nothing_half_written_stays(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "given.zip").write_bytes(b"older")
    assert answered("y\ny\n", "proof", folder, "--share", tmp_path / "given.zip").exit_code == CannotWrite.exit_code
    assert (tmp_path / "given.zip").read_bytes() == b"older"
    original = folder / f"{NAME}.jpg"
    assert answered("y\ny\n", "proof", folder, "--share", original, "--overwrite").exit_code == CannotWrite.exit_code
    broken = tmp_path / "broken"
    shutil.copytree(folder, broken)
    (broken / original.name).write_bytes(original.read_bytes()[:2000])
    assert answered("y\ny\n", "proof", broken, "--share", tmp_path / "other.zip").exit_code == 3
    assert not (tmp_path / "other.zip").exists()
