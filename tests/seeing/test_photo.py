"""Photos come in upright, in sRGB and without anything personal, or are declined in plain words."""

from __future__ import annotations

import hashlib
import importlib.util
import io
import os
import sys
import warnings
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, features
from PIL.JpegImagePlugin import JpegImageFile
from PIL.TiffImagePlugin import ImageFileDirectory_v2

from patternscan.errors import UnreadablePhoto
from patternscan.seeing.image.photo import Photo, load_photo

ROWS, COLS = 80, 150
"""Not square, so that a swap of rows and columns shows."""
ORIENTATION, ARTIST, GPS = 0x0112, 0x013B, 0x8825


def scene(rows: int = ROWS, cols: int = COLS) -> Image.Image:
    """Smooth colours without any symmetry, and a red corner at the top left."""
    y, x = np.mgrid[0:rows, 0:cols]
    pixels = np.stack([200 * x / cols, 200 * y / rows, 120 + 60 * np.sin(x / 17) * np.cos(y / 11)], axis=-1)
    pixels[: rows // 4, : cols // 6] = (250, 20, 20)
    return Image.fromarray(pixels.astype(np.uint8))


def saved(image: Image.Image, path: Path, **options: object) -> Path:
    image.save(path, **options)  # type: ignore[arg-type]
    return path


def as_array(image: Image.Image) -> NDArray[np.uint8]:
    return np.asarray(image.convert("RGB"))


def needs(feature: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(not features.check(feature), reason=f"this Pillow is built without {feature}")


FORMATS = [
    pytest.param(".jpg", {"quality": 95}),
    pytest.param(".png", {}),
    pytest.param(".tiff", {}),
    pytest.param(".webp", {"lossless": True}, marks=needs("webp")),
    pytest.param(".avif", {"quality": 100}, marks=needs("avif")),
]


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize(("ending", "options"), FORMATS)
def test_upright_as_pillow_turns_it(tmp_path: Path, ending: str, options: dict[str, object], orientation: int) -> None:
    """Reference: Pillow's own ImageOps.exif_transpose."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    path = saved(scene(), tmp_path / f"turned{ending}", exif=exif, **options)
    with Image.open(path) as again:
        expected = as_array(ImageOps.exif_transpose(again))
    np.testing.assert_array_equal(load_photo(path).pixels, expected)


@pytest.mark.parametrize(
    ("orientation", "corner"),
    [
        (1, "top left"),
        (2, "top right"),
        (3, "bottom right"),
        (4, "bottom left"),
        (5, "top left"),
        (6, "top right"),
        (7, "bottom right"),
        (8, "bottom left"),
    ],
)
def test_red_corner_lands_where_exif_says(tmp_path: Path, orientation: int, corner: str) -> None:
    """Landmark: the stored first pixel is shown at this corner. Source: Exif 2.32, tag 274 (from memory)."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    pixels = load_photo(saved(scene(), tmp_path / "turned.png", exif=exif)).pixels
    assert pixels.shape[:2] == ((ROWS, COLS) if orientation < 5 else (COLS, ROWS))
    row = 0 if "top" in corner else -1
    col = 0 if "left" in corner else -1
    assert tuple(pixels[row, col]) == (250, 20, 20)
    assert tuple(pixels[-1 - row, -1 - col]) != (250, 20, 20)


def test_large_picture_is_put_together_without_seams(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = 7
    path = saved(scene(301, 517), tmp_path / "large.png", exif=exif)
    with Image.open(path) as again:
        expected = as_array(ImageOps.exif_transpose(again))
    np.testing.assert_array_equal(load_photo(path).pixels, expected)


def test_broken_exif_does_not_stop_a_photo(tmp_path: Path) -> None:
    path = saved(scene(), tmp_path / "odd.jpg", exif=b"Exif\0\0II*\0\x08\0\0\0\xff\xff\x12\x01")
    assert load_photo(path).width_px == COLS


def test_photo_is_read_only_and_knows_its_size(tmp_path: Path) -> None:
    photo = load_photo(saved(scene(), tmp_path / "p.png"))
    assert (photo.name, photo.width_px, photo.height_px) == ("p.png", COLS, ROWS)
    assert photo.pixels.dtype == np.uint8
    with pytest.raises(ValueError, match="read-only"):
        photo.pixels[0, 0, 0] = 1


# --- colour ---------------------------------------------------------------------------------------------------

D50_FROM_D65 = np.array(
    [[1.0478112, 0.0228866, -0.0501270], [0.0295424, 0.9904844, -0.0170491], [-0.0092345, 0.0150436, 0.7521316]]
)
"""Bradford adaptation D65 to D50, as ICC profiles carry their primaries (from memory)."""
P3_XYZ = np.array([[0.4865709, 0.2656677, 0.1982173], [0.2289746, 0.6917385, 0.0792869], [0.0, 0.0451134, 1.0439444]])
"""Display P3 primaries in XYZ, white D65. Source: SMPTE EG 432-1 (from memory)."""
SRGB_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
"""sRGB primaries in XYZ, white D65. Source: IEC 61966-2-1 (from memory)."""


def srgb_linear(v: NDArray[np.float64]) -> NDArray[np.float64]:
    """IEC 61966-2-1 (from memory)."""
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def srgb_coded(v: NDArray[np.float64]) -> NDArray[np.float64]:
    """IEC 61966-2-1 (from memory)."""
    return np.where(v <= 0.0031308, v * 12.92, 1.055 * np.clip(v, 0, None) ** (1 / 2.4) - 0.055)


def fixed(number: float) -> bytes:
    return round(number * 65536).to_bytes(4, "big", signed=True)


def matrix_profile(primaries: NDArray[np.float64], description: str) -> bytes:
    """A display profile with the sRGB curve and the given primaries (columns, XYZ at D65).

    Layout: ICC.1:2010 (version 2 tags, from memory).
    """
    d50 = D50_FROM_D65 @ primaries
    text = description.encode() + b"\0"
    table = (srgb_linear(np.linspace(0, 1, 1024)) * 65535).round().astype(">u2").tobytes()
    curve = b"curv\0\0\0\0" + (1024).to_bytes(4, "big") + table
    xyz = [b"XYZ \0\0\0\0" + b"".join(fixed(float(v)) for v in column) for column in (*d50.T, d50.sum(axis=1))]
    tags = {
        b"desc": b"desc\0\0\0\0" + len(text).to_bytes(4, "big") + text + bytes(78),
        b"rXYZ": xyz[0],
        b"gXYZ": xyz[1],
        b"bXYZ": xyz[2],
        b"wtpt": xyz[3],
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
        b"cprt": b"text\0\0\0\0none\0",
    }
    at = 128 + 4 + 12 * len(tags)
    index, body = len(tags).to_bytes(4, "big"), b""
    for tag, content in tags.items():
        content += bytes(-len(content) % 4)
        index += tag + (at + len(body)).to_bytes(4, "big") + len(content).to_bytes(4, "big")
        body += content
    head = (at + len(body)).to_bytes(4, "big") + bytes(4) + b"\x02\x40\0\0mntrRGB XYZ " + bytes(12) + b"acsp"
    head += bytes(28) + fixed(0.9642) + fixed(1.0) + fixed(0.8249)
    return head + bytes(128 - len(head)) + index + body


def test_wide_colours_come_to_srgb(tmp_path: Path) -> None:
    """A Display P3 picture against the matrices and curve of IEC 61966-2-1, within 2 of 255 (8-bit rounding)."""
    patches = np.array([(180, 110, 60), (40, 70, 150), (200, 180, 60), (128, 128, 128), (150, 60, 40)], dtype=np.uint8)
    pixels = np.repeat(np.repeat(patches[None], 64, axis=0), 16, axis=1)
    icc = matrix_profile(P3_XYZ, "wide test colours")
    photo = load_photo(saved(Image.fromarray(pixels), tmp_path / "wide.png", icc_profile=icc))
    linear = srgb_linear(patches / 255) @ (np.linalg.inv(SRGB_XYZ) @ P3_XYZ).T
    expected = 255 * srgb_coded(np.clip(linear, 0, 1))
    np.testing.assert_allclose(photo.pixels[0, 8::16].astype(float), expected, atol=2)
    assert np.abs(expected - patches).max() > 8, "the profile must matter for this test"


def test_srgb_profile_changes_nothing(tmp_path: Path) -> None:
    icc = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    path = saved(scene(), tmp_path / "srgb.png", icc_profile=icc)
    np.testing.assert_array_equal(load_photo(path).pixels, as_array(scene()))


@pytest.mark.parametrize("icc", [b"no profile at all", b"\0" * 400, matrix_profile(P3_XYZ, "cut")[:300]])
def test_broken_profile_is_passed_over(tmp_path: Path, icc: bytes) -> None:
    path = saved(scene(), tmp_path / "odd.png", icc_profile=icc)
    np.testing.assert_array_equal(load_photo(path).pixels, as_array(scene()))


def test_profile_that_does_not_fit_is_passed_over(tmp_path: Path) -> None:
    path = saved(scene().convert("L"), tmp_path / "grey.png", icc_profile=matrix_profile(P3_XYZ, "wide"))
    np.testing.assert_array_equal(load_photo(path).pixels, as_array(scene().convert("L")))


# --- depth and modes ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ending", [".png", ".tiff"])
def test_sixteen_bit_grey_keeps_its_scale(tmp_path: Path, ending: str) -> None:
    ramp = np.linspace(0, 65535, 128).round().astype(np.uint16)
    path = saved(Image.fromarray(np.tile(ramp, (64, 1))), tmp_path / f"deep{ending}")
    expected = np.round(ramp / 257)
    got = load_photo(path).pixels[0].astype(float)
    np.testing.assert_allclose(got, np.repeat(expected[:, None], 3, axis=1), atol=1)


def test_sixteen_bit_colour_keeps_its_scale(tmp_path: Path) -> None:
    """OpenCV writes the file; Pillow cannot write 16-bit colour."""
    cv2 = pytest.importorskip("cv2")
    ramp = np.linspace(0, 65535, 128).round().astype(np.uint16)
    deep = np.stack([np.tile(ramp, (64, 1)), np.full((64, 128), 30000, np.uint16), np.tile(ramp[::-1], (64, 1))], -1)
    for ending in (".png", ".tiff"):
        done, content = cv2.imencode(ending, deep[..., ::-1])
        assert done
        path = tmp_path / f"deep{ending}"
        path.write_bytes(content.tobytes())
        np.testing.assert_allclose(load_photo(path).pixels.astype(float), deep / 257, atol=1)


@pytest.mark.parametrize(("values", "top"), [((0.0, 0.5, 1.0), 1.0), ((0.0, 100.0, 255.0), 255.0)])
def test_floating_point_grey(tmp_path: Path, values: tuple[float, ...], top: float) -> None:
    pixels = np.repeat(np.array([values], dtype=np.float32), 64, axis=0).repeat(32, axis=1)
    got = load_photo(saved(Image.fromarray(pixels), tmp_path / "float.tiff")).pixels
    np.testing.assert_allclose(got[0, ::32, 0], np.array(values) * 255 / top, atol=1)


def test_black_and_white_palette_and_grey(tmp_path: Path) -> None:
    for mode in ("1", "L", "P"):
        image = scene().convert(mode)
        np.testing.assert_array_equal(load_photo(saved(image, tmp_path / f"{mode}.png")).pixels, as_array(image))


@pytest.mark.parametrize("ending", [".jpg", ".tiff"])
def test_printing_colours_are_not_inverted(tmp_path: Path, ending: str) -> None:
    bright = Image.new("RGB", (90, 70), (240, 235, 230)).convert("CMYK")
    assert load_photo(saved(bright, tmp_path / f"print{ending}")).pixels.min() > 215


def test_see_through_parts_become_neutral_grey(tmp_path: Path) -> None:
    image = scene().convert("RGBA")
    image.putalpha(Image.fromarray(np.tile(np.where(np.arange(COLS) < 75, 0, 255).astype(np.uint8), (ROWS, 1))))
    pixels = load_photo(saved(image, tmp_path / "clear.png")).pixels
    assert (pixels[:, :75] == 128).all()
    np.testing.assert_array_equal(pixels[:, 75:], as_array(scene())[:, 75:])


def test_see_through_palette(tmp_path: Path) -> None:
    image = scene().convert("P")
    corner = image.getpixel((0, 0))
    pixels = load_photo(saved(image, tmp_path / "clear.png", transparency=corner)).pixels
    assert tuple(pixels[0, 0]) == (128, 128, 128)


def test_first_picture_of_several_counts(tmp_path: Path) -> None:
    """A JPEG may carry a second picture, as phones do for brightness range."""
    for ending in (".mpo", ".tiff", ".png"):
        other = Image.new("RGB", (COLS, ROWS), (0, 255, 0))
        path = saved(scene(), tmp_path / f"two{ending}", save_all=True, append_images=[other])
        renamed = path.rename(tmp_path / ("two.jpg" if ending == ".mpo" else path.name))
        assert load_photo(renamed).pixels[5, 5, 0] > 230


# --- what stays behind ----------------------------------------------------------------------------------------


def test_nothing_personal_comes_in(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[ARTIST] = "PRIVATE-PERSON"
    exif.get_ifd(GPS).update({1: "N", 2: (51.0, 30.0, 0.0)})
    path = saved(scene(), tmp_path / "p.jpg", exif=exif, comment=b"PRIVATE-COMMENT")
    assert b"PRIVATE-PERSON" in path.read_bytes()
    photo = load_photo(path)
    assert set(Photo.__slots__) == {"name", "pixels", "sha256", "times", "file_px", "taken", "focal"}
    assert photo.taken is None
    assert photo.pixels.base is None
    out = io.BytesIO()
    Image.fromarray(photo.pixels).save(out, format="JPEG")
    assert b"PRIVATE" not in out.getvalue()
    with Image.open(out) as again:
        assert not again.getexif()
        assert "comment" not in again.info


def test_digest_is_that_of_the_file(tmp_path: Path) -> None:
    """FIPS 180-4 by the standard library; the same pixels in another file are another file."""
    picture = Image.new("RGB", (64, 64), (10, 20, 30))
    picture.save(tmp_path / "a.png")
    picture.save(tmp_path / "b.png", compress_level=0)
    digests = [load_photo(tmp_path / name).sha256 for name in ("a.png", "b.png")]
    assert digests == [hashlib.sha256((tmp_path / name).read_bytes()).hexdigest() for name in ("a.png", "b.png")]
    assert digests[0] != digests[1]


def test_names_with_blanks_and_accents(tmp_path: Path) -> None:
    folder = tmp_path / "Zähne Ostwerk 3"
    folder.mkdir()
    photo = load_photo(saved(scene(), folder / "flanc gauche – übersicht 歯.png"))
    assert photo.name == "flanc gauche – übersicht 歯.png"


@pytest.mark.skipif(sys.platform == "win32", reason="file names are text there")
def test_name_that_is_no_text_can_still_be_printed(tmp_path: Path) -> None:
    odd = os.fsencode(tmp_path) + b"/z\xe4hne.png"
    try:
        Path(os.fsdecode(odd)).write_bytes(saved(scene(), tmp_path / "p.png").read_bytes())
    except OSError:
        pytest.skip("this disk takes only text as file names")
    assert load_photo(Path(os.fsdecode(odd))).name.encode("utf-8").startswith(b"z")


# --- what is declined -----------------------------------------------------------------------------------------


def declined(path: Path, max_megapixels: float = 250.0) -> UnreadablePhoto:
    with pytest.raises(UnreadablePhoto) as caught:
        load_photo(path, max_megapixels)
    assert caught.value.exit_code == 3
    assert caught.value.found.endswith(".")
    assert caught.value.remedy.endswith(".")
    return caught.value


def test_missing_folder_and_empty(tmp_path: Path) -> None:
    assert declined(tmp_path / "gone.jpg").found == f"There is no photo {tmp_path / 'gone.jpg'}."
    assert "is a folder" in declined(tmp_path).found
    (tmp_path / "empty.jpg").touch()
    assert "is empty" in declined(tmp_path / "empty.jpg").found
    assert "cannot be opened" in declined(Path("nul\0name.jpg")).found


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such thing here")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    assert "not an ordinary file" in declined(tmp_path / "pipe.jpg").found


def test_not_permitted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = saved(scene(), tmp_path / "closed.png")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert "may not be opened" in declined(path).found


def test_text_named_as_a_photo(tmp_path: Path) -> None:
    path = tmp_path / "notes.jpg"
    path.write_text("wheel 3, worm cleaned")
    assert "not a photo this tool can read" in declined(path).found


@pytest.mark.parametrize("content", [b"%PDF-1.7 ...", b"GIF89a" + bytes(80), b"BM" + bytes(80), b"II*\0" + bytes(4)])
def test_other_files(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "other.jpg"
    path.write_bytes(content)
    declined(path)


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"\0\0\0\x20ftypisom" + bytes(80), "a video"),
        (b"\0\0\0\x14ftypqt  " + bytes(80), "a video"),
        (b"\x1aE\xdf\xa3" + bytes(80), "a video"),
        (b"%PDF-1.7" + bytes(80), "a PDF"),
        (b"PK\3\4" + bytes(80), "an office document or a packed folder"),
        (b"GIF89a" + bytes(80), "a GIF picture, which holds too few colours"),
        (b"\0\0\0\x1cftypavif" + bytes(80), "not a photo this tool can read, whatever its name says"),
    ],
)
def test_what_is_no_photo_is_called_what_it_is(tmp_path: Path, content: bytes, found: str) -> None:
    path = tmp_path / "tooth.jpg"
    path.write_bytes(content)
    assert declined(path).found == f"tooth.jpg is {found}."


@pytest.mark.parametrize(("ending", "options"), FORMATS)
def test_cut_short(tmp_path: Path, ending: str, options: dict[str, object]) -> None:
    path = saved(scene(), tmp_path / f"short{ending}", **options)
    content = path.read_bytes()
    for share in (0.2, 0.5, 0.9):
        path.write_bytes(content[: int(len(content) * share)])
        declined(path)


def test_too_many_megapixels(tmp_path: Path) -> None:
    path = saved(Image.new("L", (2000, 1500)), tmp_path / "big.png")
    error = declined(path, max_megapixels=2.5)
    assert error.found == "big.png has 3 megapixels; the limit is 2.5."
    assert "--max-megapixels" in error.remedy
    assert load_photo(path, max_megapixels=3.0).width_px == 2000


def test_bomb_is_stopped_by_our_own_limit_and_pillow_is_left_as_it_was(tmp_path: Path) -> None:
    """Pillow itself warns above 89 megapixels and stops above 179; ours speaks instead, before decoding."""
    path = saved(Image.new("1", (30000, 20000)), tmp_path / "bomb.png")
    limit, filters = Image.MAX_IMAGE_PIXELS, list(warnings.filters)
    assert "600 megapixels" in declined(path).found
    assert limit == Image.MAX_IMAGE_PIXELS
    assert filters == list(warnings.filters)


@pytest.mark.parametrize(("mode", "gigabytes"), [("RGB", "1.0"), ("L", "1.2"), ("CMYK", "1.6")])
def test_what_would_take_too_much_memory_is_refused_before_it_is_decoded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, mode: str, gigabytes: str
) -> None:
    """The head of a small JPEG claims 12000 x 12000 pixels."""
    path = saved(Image.new(mode, (100, 80)), tmp_path / "heavy.jpg")
    small, large = ((height.to_bytes(2) + width.to_bytes(2)) for width, height in ((100, 80), (12000, 12000)))
    path.write_bytes(path.read_bytes().replace(small, large, 1))
    monkeypatch.setattr(JpegImageFile, "load", pytest.fail)
    assert f"12000 x 12000 pixels and would take {gigabytes} GB" in declined(path).found


def test_preview_is_too_small(tmp_path: Path) -> None:
    assert "160 x 63 pixels" in declined(saved(scene(63, 160), tmp_path / "thumb.png")).found
    assert load_photo(saved(scene(64, 160), tmp_path / "least.png")).height_px == 64


def test_raw_photo_names_the_remedy(tmp_path: Path) -> None:
    tags = ImageFileDirectory_v2()
    tags[0xC612] = b"\1\4\0\0"
    tags.tagtype[0xC612] = 1
    error = declined(saved(scene(), tmp_path / "raw.tiff", tiffinfo=tags))
    assert "raw photo" in error.found
    assert "JPEG" in error.remedy


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300), st.sampled_from([b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*"]))
def test_random_bytes_are_declined(tmp_path: Path, rest: bytes, start: bytes) -> None:
    path = tmp_path / "random.jpg"
    path.write_bytes(start + rest)
    declined(path)


@settings(deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from([".jpg", ".png", ".tiff", ".webp", ".avif"]),
    st.lists(st.tuples(st.integers(0, 2**20), st.integers(0, 255)), min_size=1, max_size=12),
)
def test_damaged_bytes_never_raise_anything_else(tmp_path: Path, ending: str, damage: list[tuple[int, int]]) -> None:
    if ending[1:] in ("webp", "avif") and not features.check(ending[1:]):
        return
    path = saved(scene(), tmp_path / f"hurt{ending}")
    content = bytearray(path.read_bytes())
    for at, value in damage:
        content[at % len(content)] = value
    path.write_bytes(content)
    try:
        photo = load_photo(path, max_megapixels=5)
    except UnreadablePhoto:
        return
    assert photo.pixels.ndim == 3


# --- HEIC -----------------------------------------------------------------------------------------------------

HEIC_READER = next((name for name in ("pillow_heif", "pi_heif") if importlib.util.find_spec(name)), None)
HEIC_START = (24).to_bytes(4, "big") + b"ftypheic\0\0\0\0mif1heic"


def test_heic_without_its_reader_names_the_remedy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "IMG_0001.HEIC"
    path.write_bytes(HEIC_START + bytes(200))
    for reader in ("pillow_heif", "pi_heif"):
        monkeypatch.setitem(sys.modules, reader, None)
    error = declined(path)
    assert "HEIC" in error.found
    assert "patternscan[heic]" in error.remedy
    assert "JPEG" in error.remedy


@pytest.mark.skipif(HEIC_READER is None, reason="the heic extra is not installed")
def test_broken_heic_is_declined(tmp_path: Path) -> None:
    path = tmp_path / "IMG_0002.HEIC"
    path.write_bytes(HEIC_START + bytes(200))
    declined(path)


@pytest.mark.skipif(importlib.util.find_spec("pillow_heif") is None, reason="needs the heic extra to write a file")
@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_heic_comes_upright(tmp_path: Path, orientation: int) -> None:
    """The file keeps the turn in its own transform, which its reader applies; it must not be applied twice."""
    pillow_heif = importlib.import_module("pillow_heif")
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    path = tmp_path / "IMG_0003.HEIC"
    try:
        pillow_heif.from_pillow(scene()).save(path, quality=95, exif=exif.tobytes())
    except RuntimeError:
        pytest.skip("this reader cannot write HEIC")
    assert (b"irot" in path.read_bytes()) == (orientation != 1)
    turned = {1: None, 3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_270, 8: Image.Transpose.ROTATE_90}
    turn = turned[orientation]
    expected = scene() if turn is None else scene().transpose(turn)
    got = load_photo(path).pixels.astype(float)
    assert got.shape == as_array(expected).shape
    assert np.abs(got - as_array(expected)).mean() < 6


def test_only_heic_loads_the_heic_reader(tmp_path: Path) -> None:
    before = set(sys.modules)
    load_photo(saved(scene(), tmp_path / "p.jpg"))
    assert not {"pillow_heif", "pi_heif"} & (set(sys.modules) - before)
