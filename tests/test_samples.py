"""The sample photos: every file is in the ledger, carries no place, and is read as its known truth says."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from patternscan.cli import main
from patternscan.frame import Flank, Marking
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.workflow.read import read_flank
from sample_images import make_ledger

SAMPLES = Path(make_ledger.__file__).parent
TRUTH: dict[str, dict[str, Any]] = json.loads((SAMPLES / "truth" / "truth.json").read_text())
GPS_TAG = 0x8825
"""Pointer to the place a photo was taken. Source: Exif 2.32 (CIPA DC-008), tag 34853 (from memory)."""


@cache
def read_sample(name: str, marking: Marking) -> Reading:
    outline = read_outline_file(SAMPLES / f"{name}.outline.json").outlines[0]
    return read_flank(load_photo(SAMPLES / f"{name}.jpg"), outline, marking)


def judge_samples(left: str, right: str) -> dict[str, Any]:
    """What ``judge --json`` prints for two samples, as a person would call it."""
    photos = [str(SAMPLES / f"{name}.jpg") for name in (left, right)]
    outlines = [str(SAMPLES / f"{name}.outline.json") for name in (left, right)]
    given = ["--left", photos[0], "--left-outline", outlines[0], "--right", photos[1], "--right-outline", outlines[1]]
    ended = CliRunner().invoke(main, ["judge", *given, "--marking", TRUTH[left]["marking"], "--json"])
    assert ended.exit_code == 0, ended.output
    judgement: dict[str, Any] = json.loads(ended.stdout)
    return judgement


def test_every_file_has_a_row_with_its_checksum() -> None:
    assert make_ledger.faults(make_ledger.LEDGER.read_text(encoding="utf-8")) == []


def test_the_ledger_notices_a_missing_row_and_a_wrong_checksum() -> None:
    text = make_ledger.LEDGER.read_text(encoding="utf-8")
    lines = text.splitlines()
    row = next(k for k, line in enumerate(lines) if line.startswith("| `boat_winch_left.jpg`"))
    without = "\n".join(lines[:row] + lines[row + 1 :])
    wrong = text.replace(make_ledger.checksum("boat_winch_left.jpg"), "0" * 64)
    assert make_ledger.faults(without) == ["boat_winch_left.jpg has no row"]
    assert make_ledger.faults(wrong) == ["boat_winch_left.jpg has another checksum"]
    assert make_ledger.rewritten(wrong) == text


def test_the_samples_stay_small() -> None:
    assert sum((SAMPLES / name).stat().st_size for name in make_ledger.files()) < 5e6


@pytest.mark.parametrize("photo", sorted(SAMPLES.glob("*.jpg")), ids=lambda photo: photo.stem)
def test_no_sample_tells_where_it_was_taken(photo: Path) -> None:
    with Image.open(photo) as image:
        assert GPS_TAG not in image.getexif()


@pytest.mark.parametrize("name", TRUTH)
def test_each_photo_is_read_as_its_truth_says(name: str) -> None:
    # The truth was computed with the picture: surfaces, contact and light (LEDGER.md). A twentieth of the face width
    # is what a wheel moves the pattern by about a twentieth of a millimetre, less than a shim is thick.
    truth = TRUTH[name]
    found = read_sample(name, Marking(truth["marking"]))
    assert found.outline.flank is Flank(truth["flank"])
    assert found.contact_map.compound == truth["compound"]
    assert found.measurement.along is not None
    assert found.measurement.along.value == pytest.approx(truth["along"], abs=0.05)
    assert found.measurement.coverage.value == pytest.approx(truth["coverage"], abs=0.08)


def test_half_of_the_photos_are_read_within_a_fortieth_of_the_face_width() -> None:
    readings = {name: read_sample(name, Marking(truth["marking"])).measurement.along for name, truth in TRUTH.items()}
    errors = [abs(along.value - TRUTH[name]["along"]) for name, along in readings.items() if along is not None]
    assert len(errors) == len(TRUTH)
    assert np.median(errors) < 0.025


@pytest.mark.parametrize("name", TRUTH)
def test_the_truth_picture_and_the_truth_numbers_agree(name: str) -> None:
    with Image.open(SAMPLES / "truth" / f"{name}.contact.png") as image:
        contact = np.asarray(image) > 127
    assert contact.shape == (128, 256)
    columns = np.nonzero(contact)[1]
    assert contact.mean() == pytest.approx(TRUTH[name]["coverage"], abs=1e-3)
    assert (columns.mean() + 0.5) / 256 == pytest.approx(TRUTH[name]["along"], abs=1e-2)


@pytest.mark.parametrize(
    ("machine", "move"),
    [
        ("goods_lift_before", "toward-B"),
        ("boat_winch", "toward-A"),
        ("mill_hoist", "stay"),
        ("quarry_winch", "stay"),
    ],
)
def test_each_pair_gets_the_true_direction(machine: str, move: str) -> None:
    # The wheel of the goods lift was set 0.21 mm toward A, so its pattern lies toward B and it must go toward B;
    # that of the boat winch 0.09 mm toward B; those of mill hoist and quarry winch within 0.003 mm of the middle.
    judgement = judge_samples(f"{machine}_left", f"{machine}_right")
    true_shift = np.mean([TRUTH[f"{machine}_{flank}"]["along"] - 0.5 for flank in ("left", "right")])
    assert judgement["advice"]["move_wheel"] == move
    assert judgement["shared_shift"]["along"]["value"] == pytest.approx(true_shift, abs=0.05)


def test_the_crossed_pair_gets_no_move_and_is_named_crossed() -> None:
    advice = judge_samples("stage_hoist_left", "stage_hoist_right")["advice"]
    assert advice["move_wheel"] == "not-by-shim"
    assert advice["shims"]["change"] not in ("add", "remove")
    assert "crossed" in {finding["code"] for finding in advice["findings"]}


def test_the_poor_photo_is_declined_and_the_good_flank_alone_gives_no_direction() -> None:
    judgement = judge_samples("goods_lift_before_left", "goods_lift_dark_right")
    declined = [caution["message"] for caution in judgement["cautions"] if caution["code"] == "photo-declined"]
    assert judgement["right"] == []
    assert len(declined) == 1
    assert "goods_lift_dark_right.jpg" in declined[0]
    assert judgement["advice"]["move_wheel"] == "cannot-say"
