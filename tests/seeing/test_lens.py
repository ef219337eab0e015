"""How much of the scene a photo takes in, as its file tells it, and what a camera that is sought makes of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import ExifTags, Image

from patternscan.seeing.geometry.camera import Lens, lens_of
from patternscan.seeing.geometry.pose import Pose, fit_pose
from patternscan.seeing.image.photo import Photo, load_photo
from tests.seeing.test_pose import SIZE, Shot, errors, posed, shots


def photo_with(folder: Path, told: object, size: tuple[int, int] = (400, 300), orientation: int = 1) -> Photo:
    """A photo whose file tells this focal length in mm for 35 mm film."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = told
    Image.new("RGB", size, (90, 120, 150)).save(folder / "photo.jpg", exif=exif)
    return load_photo(folder / "photo.jpg")


@pytest.mark.parametrize("orientation", [1, 6])
@pytest.mark.parametrize(
    ("size", "focal"),
    # 4 : 3 has its longer side at 0.8 of the diagonal, 35 mm film is 36 mm wide.
    [((400, 300), 50 / (0.8 * 43.267)), ((300, 400), 50 / (0.8 * 43.267)), ((600, 400), 50 / 36)],
)
def test_the_file_tells_the_focal_length(tmp_path: Path, size: tuple[int, int], focal: float, orientation: int) -> None:
    photo = photo_with(tmp_path, 50, size, orientation)
    assert photo.focal == pytest.approx(focal, rel=1e-4)
    assert lens_of(photo).size_px == (size if orientation == 1 else size[::-1])
    assert photo.smaller(2).focal == photo.focal


@pytest.mark.parametrize("told", [0, 1, 4000])
def test_what_is_no_focal_length_tells_nothing(tmp_path: Path, told: int) -> None:
    assert photo_with(tmp_path, told).focal is None


def test_a_photo_that_was_cut_to_another_form_tells_nothing(tmp_path: Path) -> None:
    assert photo_with(tmp_path, 50, (400, 260)).focal is None


def test_a_file_without_it_tells_nothing(tmp_path: Path) -> None:
    Image.new("RGB", (400, 300)).save(tmp_path / "plain.jpg")
    assert lens_of(load_photo(tmp_path / "plain.jpg")) == Lens((400, 300), None)


def mean_error(shot: Shot, seed: int, told: float | None) -> float:
    """How far the places of an unknown gear lie off along the face, where the file tells that focal length."""
    found = posed(shot.outline(seed), None, Lens(SIZE, told))
    return float(np.abs(errors(found, shot)[:, 0]).mean())


def test_places_of_an_unknown_gear_are_nearer_where_the_lens_is_told() -> None:
    seen = [replace(shot, focal=2.2, away=6.5) for shot in shots(8, seed=5)]
    off = {told: np.mean([mean_error(shot, k, told) for k, shot in enumerate(seen)]) for told in (None, 2.2, 2.0)}
    assert off[2.2] < 0.8 * off[None]
    assert off[2.0] < 0.9 * off[None]


def test_a_told_lens_makes_the_camera_surer() -> None:
    shot = shots(1, seed=5)[0]
    told, untold = (fit_pose(shot.outline(1), None, Lens(SIZE, focal)) for focal in (shot.focal, None))
    assert isinstance(told, Pose)
    assert isinstance(untold, Pose)
    assert told.fit.uncertainty < untold.fit.uncertainty
