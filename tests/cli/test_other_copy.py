"""An outline that was marked on another copy of the photo: cropped, scaled, turned, or only saved again."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import Result
from PIL import ExifTags, Image, ImageEnhance, ImageOps

from patternscan.frame import Flank, Marking
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import ReadingSettings
from patternscan.workflow.outputs.truth import painting_parts
from patternscan.workflow.proof.truth import PaintedTruth, bare_flank, keep_painted
from tests.cli.test_commands import LEFT, SAMPLES, document, outline_of, run

TURNED_LEFT = Image.Transpose.ROTATE_90
"""Pixels that lie so are shown upright by the orientation 6."""


def marked(folder: Path, size_px: tuple[int, int] | None = None) -> Path:
    """The sample's outline as it is written for a photo of this size, that of the sample where none is told."""
    path = folder / outline_of(LEFT).name
    size_px = size_px or load_photo(LEFT).size_px
    path.write_text(json.dumps(json.loads(outline_of(LEFT).read_text()) | {"photo_px": size_px}), encoding="utf-8")
    return path


def upright() -> Image.Image:
    with Image.open(LEFT) as image:
        return ImageOps.exif_transpose(image).convert("RGB")


def read_copy(folder: Path, copy: Image.Image, orientation: int = 1) -> Result:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    copy.save(folder / LEFT.name, quality=80, exif=exif)
    words = ["read", folder / LEFT.name, "--flank", "left", "--outline", marked(folder)]
    return run(*words, "--marking", "transfer", "--json")


def along(result: Result) -> float:
    (flank,) = document(result)["flanks"]
    return float(flank["centroid"]["along"]["value"])


def refused(result: Result, change: str) -> None:
    width, height = load_photo(LEFT).size_px
    assert (result.exit_code, result.stdout) == (6, "")
    found, remedy = result.stderr.splitlines()
    assert found.startswith(
        f"{outline_of(LEFT).name} was marked on a copy of {width} x {height} pixels, but {LEFT.name} "
    )
    assert found.endswith(f": one of them was {change}.")
    assert remedy.startswith("Give the copy that was marked, or mark this one anew ")


@pytest.mark.parametrize("share", [0.01, 0.04])
def test_an_outline_that_lies_aside_after_a_crop_is_refused(tmp_path: Path, share: float) -> None:
    whole = upright()
    cropped = whole.crop((round(share * whole.width), 0, whole.width, whole.height))
    refused(read_copy(tmp_path, cropped), "cropped, or saved in another size")


def test_a_crop_in_the_photos_own_shape_is_not_taken_for_a_smaller_copy(tmp_path: Path) -> None:
    whole = upright()
    share = 0.04
    cropped = whole.crop((round(share * whole.width), round(share * whole.height), whole.width, whole.height))
    refused(read_copy(tmp_path, cropped), "cropped, or saved in another size")
    refused(
        read_copy(tmp_path, whole.resize((whole.width // 2, whole.height // 2))), "cropped, or saved in another size"
    )


def test_a_copy_that_was_turned_is_refused(tmp_path: Path) -> None:
    refused(read_copy(tmp_path, upright().transpose(TURNED_LEFT)), "turned")


def test_a_copy_that_was_only_saved_again_is_read_wherever_its_pixels_lie(tmp_path: Path) -> None:
    again = along(read_copy(tmp_path, upright()))
    assert along(read_copy(tmp_path, upright().transpose(TURNED_LEFT), orientation=6)) == pytest.approx(again, abs=0.01)


def test_every_outline_that_is_looked_for_tells_its_photos_size(tmp_path: Path) -> None:
    assert run("outline", LEFT, "--flank", "left", "--tip", "right", "--out", tmp_path).exit_code == 0
    content = json.loads((tmp_path / f"{LEFT.stem}.found.outline.json").read_text(encoding="utf-8"))
    photo = load_photo(LEFT)
    assert tuple(content["photo_px"]) == photo.size_px
    assert content["grey_cells"] == photo.grey_cells


def retaken(moved: float) -> Image.Image:
    """The same tooth from a place a little aside, so many hundredths of the picture's width further."""
    whole = upright()
    pixels = np.roll(np.asarray(whole), round(moved * whole.width), axis=1)
    return Image.fromarray(pixels)


@pytest.mark.parametrize("moved", [0.0, 0.01, 0.02, -0.03])
def test_a_photo_taken_again_under_the_same_name_is_not_read_by_the_old_outline(tmp_path: Path, moved: float) -> None:
    """Its size is the same, and so little aside the outline still lies on edges of a tooth."""
    outline = marked(tmp_path)
    told = json.loads(outline.read_text()) | {"grey_cells": load_photo(LEFT).grey_cells}
    photo = tmp_path / LEFT.name
    ImageEnhance.Brightness(retaken(moved)).enhance(0.8).save(photo, quality=70)
    outline.write_text(json.dumps(told), encoding="utf-8")
    result = run("read", photo, "--flank", "left", "--outline", outline, "--marking", "transfer", "--json")
    assert result.exit_code == (6 if moved else 0), result.stderr
    if moved:
        assert f"{outline.name} was marked on another picture than {photo.name}" in result.stderr


@pytest.mark.parametrize("cut", [0.0, 0.02, 0.04])
def test_what_was_painted_proves_nothing_of_a_photo_that_was_cropped_since(tmp_path: Path, cut: float) -> None:
    """A little aside the outline still lies on edges of a tooth, and the reading would be blamed."""
    given = PhotoInput(LEFT, Flank.LEFT, outline_of(LEFT))
    job, _ = painting_parts(bare_flank(given, ReadingSettings(Sheet(), None, Marking.TRANSFER)))
    keep_painted(PaintedTruth(tmp_path / LEFT.name, json.dumps(job["truth"]).encode()))
    whole = upright()
    whole.crop((round(cut * whole.width), 0, whole.width, whole.height)).save(tmp_path / LEFT.name, quality=80)
    result = run("proof", tmp_path, "--quick")
    assert result.exit_code == (6 if cut else 0), result.output
    if cut:
        found, remedy = result.stderr.splitlines()[-2:]
        assert found.startswith(f"The truth of {LEFT.name} was marked on a copy of ")
        assert remedy == "Give the copy that was marked, or paint this one anew with 'patternscan truth PHOTO'."


def screenshot(photo: Path, size_px: tuple[int, int]) -> Image.Image:
    """A photo as large as it goes on a phone's black screen."""
    with Image.open(photo) as image:
        shown = ImageOps.contain(ImageOps.exif_transpose(image).convert("RGB"), size_px)
    screen = Image.new("RGB", size_px)
    screen.paste(shown, ((size_px[0] - shown.width) // 2, (size_px[1] - shown.height) // 2))
    return screen


@pytest.mark.parametrize("size_px", [(1080, 2400), (2400, 1080)])
@pytest.mark.parametrize("name", ["goods_lift_before_right", "mill_hoist_left"])
def test_a_screenshot_with_an_outline_of_old_is_not_blamed_on_the_light(
    tmp_path: Path, name: str, size_px: tuple[int, int]
) -> None:
    """Its file does not tell the photo's size; where it lies in the picture there is no tooth."""
    photo, flank = SAMPLES / f"{name}.jpg", name.rpartition("_")[2]
    screenshot(photo, size_px).save(tmp_path / photo.name, quality=88)
    words = ["read", tmp_path / photo.name, "--flank", flank, "--outline", outline_of(photo), "--marking", "transfer"]
    result = run(*words, "--out", tmp_path / "out")
    assert result.exit_code == 4, result.output
    assert photo.name in result.stderr
    assert (tmp_path / "out" / f"{name}.outline.html").exists()
