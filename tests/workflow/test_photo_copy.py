"""Copies of photos keep the picture bit for bit and how much its lens takes in, and nothing of where and by which
camera it was taken.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import ExifTags, Image, ImageCms, PngImagePlugin

from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.image.photo import load_photo
from patternscan.workflow.job.photo_copy import without_origin

SECRETS = (b"GARAGE", b"SERIAL-77", b"by Nobody")


def photo(ending: str, orientation: int, **how: object) -> bytes:
    """A picture with a place, a serial number, a comment and a colour profile."""
    rng = np.random.default_rng(5)
    image = Image.fromarray(rng.integers(0, 255, (90, 120, 3), dtype=np.uint8))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.ImageDescription] = "GARAGE"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.BodySerialNumber] = "SERIAL-77"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = 52
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSAreaInformation] = b"GARAGE"
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "by Nobody")
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    told = {"comment": b"by Nobody"} if ending == "JPEG" else {"pnginfo": words}
    content = io.BytesIO()
    image.save(content, ending, exif=exif, icc_profile=profile, **told, **how)
    return content.getvalue() + b"GARAGE behind the end"


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
@pytest.mark.parametrize(
    ("ending", "how"),
    [("JPEG", {}), ("JPEG", {"progressive": True}), ("JPEG", {"restart_marker_rows": 1}), ("PNG", {})],
)
def test_the_picture_stays_and_its_origin_goes(
    tmp_path: Path, ending: str, how: dict[str, object], orientation: int
) -> None:
    whole = photo(ending, orientation, **how)
    assert all(secret in whole for secret in SECRETS)
    bare = without_origin(whole)
    assert bare is not None
    assert not any(secret in bare for secret in SECRETS)
    (tmp_path / "whole").write_bytes(whole)
    (tmp_path / "bare").write_bytes(bare)
    original, copy = load_photo(tmp_path / "whole"), load_photo(tmp_path / "bare")
    assert np.array_equal(original.pixels, copy.pixels)
    assert lens_of(original) == lens_of(copy)
    assert copy.focal is not None
    assert without_origin(bare) == bare
    with Image.open(tmp_path / "bare") as image:
        assert set(image.getexif()) <= {ExifTags.Base.Orientation, ExifTags.IFD.Exif}
        assert set(image.getexif().get_ifd(ExifTags.IFD.Exif)) == {ExifTags.Base.FocalLengthIn35mmFilm}
        assert "icc_profile" in image.info


def test_other_and_broken_files_are_left_to_the_caller() -> None:
    assert without_origin(b"RIFF....WEBP") is None
    assert without_origin(photo("JPEG", 1)[:700]) is None
