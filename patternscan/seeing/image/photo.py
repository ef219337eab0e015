"""A photo file becomes an upright sRGB picture, or an error that says what to do.

Nothing of the file but its bare name, its pixels, its digest, the camera's clock and how much its lens takes in comes
in: place, camera and comments stay behind. The clock tells which photo came first and goes no further.
"""

from __future__ import annotations

import os
import stat
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import file_digest
from importlib import import_module
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, UnidentifiedImageError

from patternscan.errors import UnreadablePhoto
from patternscan.handles import Handle, named
from patternscan.plain_text import printable
from patternscan.seeing.image.exif import focal_of, taken_of
from patternscan.seeing.image.fingerprint import Fingerprint
from patternscan.seeing.image.grey_cells import grey_cells
from patternscan.seeing.image.no_photo import GIVE_THE_PHOTO, other_file, refuse_copy, refuse_drawing
from patternscan.seeing.image.shrinking import shrunk
from patternscan.seeing.image.tears import refuse_torn
from patternscan.seeing.image.upright import lies, upright_srgb
from patternscan.seeing.image.weight import drafted, refuse_weight, times_to_hold

PHOTO_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "AVIF")
"""What Pillow itself may decode; of a file with several pictures the first counts."""
SMALLEST_PHOTO_PX = 64
HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs")
HEIF_BRANDS = (b"mif1", b"msf1", b"miaf")
"""Containers that hold HEIC or AVIF; the further brands in the file's first box tell which."""
DNG_VERSION_TAG = 0xC612

_ONE_AT_A_TIME = threading.Lock()


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """An upright picture: ``pixels`` is uint8 sRGB (rows, cols, 3), read-only. ``name`` is the bare file name.

    ``sha256`` is the digest of the file it came from, in hexadecimal; None for a picture that came from no file. Of a
    large file one of ``pixels`` stands for ``times`` by ``times`` of its own, which are ``file_px`` wide and high.
    ``taken``: when, by the camera's clock, see ``taken_of``; it is written nowhere. ``focal``: see ``focal_of``.
    """

    name: str
    pixels: NDArray[np.uint8]
    sha256: str | None = None
    times: int = 1
    file_px: tuple[int, int] | None = None
    taken: datetime | None = None
    focal: float | None = None

    def __post_init__(self) -> None:
        self.pixels.flags.writeable = False

    @property
    def size_px(self) -> tuple[int, int]:
        """Columns and rows of the upright picture in its file."""
        return self.held_px if self.file_px is None else self.file_px

    @property
    def width_px(self) -> int:
        """Columns of the upright picture in its file."""
        return self.size_px[0]

    @property
    def height_px(self) -> int:
        """Rows of the upright picture in its file."""
        return self.size_px[1]

    @property
    def held_px(self) -> tuple[int, int]:
        """Columns and rows of ``pixels``."""
        rows, columns = self.pixels.shape[:2]
        return columns, rows

    def smaller(self, times: int) -> Photo:
        """The same held so many times smaller, rows and columns left over dropped."""
        held = self.times * times
        return (
            self if times == 1 else replace(self, pixels=shrunk(self.pixels, times), times=held, file_px=self.size_px)
        )

    @property
    def grey_cells(self) -> str:
        """What the picture is known by however it was saved, see ``Fingerprint``."""
        return grey_cells(self.pixels)

    @property
    def fingerprint(self) -> Fingerprint:
        """The picture in little."""
        return Fingerprint(self.name, self.width_px, self.height_px, self.grey_cells)


def load_photo(
    path: str | Path, max_megapixels: float = 250.0, held_megapixels: float = 250.0, least_times: int = 1
) -> Photo:
    """Read a photo file, turned upright by its EXIF and brought to sRGB; one with more than ``held_megapixels`` is made
    smaller by a power of two, see ``Photo.times``, any photo at least ``least_times``. Raises UnreadablePhoto.
    """
    path = Path(path)
    name = printable(os.fsencode(path.name).decode("utf-8", "replace"))
    _refuse_no_file(path, name)
    with _pillow_kept_quiet():
        try:
            with _opened(path, name) as image:
                _refuse_size(image, name, max_megapixels)
                refuse_drawing(image, name)
                file_px, focal = image.size, focal_of(image)
                times = max(times_to_hold(image.size, held_megapixels), least_times)
                left = drafted(image, times)
                refuse_weight(image, file_px, left, name)
                image.load()
                upright_px = file_px[::-1] if lies(image) else file_px
                pixels = upright_srgb(image, left)
                refuse_copy(pixels, name)
                refuse_torn(image, pixels, name)
                return Photo(name, pixels, _digest(path), times, upright_px, taken_of(image), focal)
        except UnreadablePhoto:
            raise
        except Exception as error:  # decoders meet a broken file with every kind of exception
            raise UnreadablePhoto(
                f"{name} is damaged or was only partly copied: it breaks off while being read.",
                "Copy it from the phone or camera again, or take the photo again.",
            ) from error


def _digest(path: Path) -> str:
    """SHA-256 of the file as it lies there (FIPS 180-4), in hexadecimal."""
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def _refuse_no_file(path: Path, name: str) -> None:
    """Refuse what is no readable file with something in it."""
    try:
        state = path.stat()
        if stat.S_ISDIR(state.st_mode):
            raise UnreadablePhoto(f"{name} is a folder, not a photo.", "Name the photo file inside it.")
        if not stat.S_ISREG(state.st_mode):
            raise UnreadablePhoto(f"{name} is not an ordinary file.", "Copy the photo to a folder and name it there.")
        if state.st_size == 0:
            raise UnreadablePhoto(f"{name} is empty.", "Copy it from the phone or camera again.")
        with path.open("rb"):
            return
    except FileNotFoundError as error:
        raise UnreadablePhoto(f"There is no photo {path}.", "Check its name and folder.") from error
    except PermissionError as error:
        raise UnreadablePhoto(f"{name} may not be opened by you.", "Change who may read it.") from error
    except (OSError, ValueError) as error:
        raise UnreadablePhoto(
            f"{name} cannot be opened: {getattr(error, 'strerror', None) or error}.",
            "Copy it to this computer's own disk.",
        ) from error


@contextmanager
def _pillow_kept_quiet() -> Iterator[None]:
    """Lift Pillow's own size limit (ours is checked before decoding) and mute its warnings about odd files.

    Both are settings of the whole process, so they are put back and only one photo is decoded at a time.
    """
    with _ONE_AT_A_TIME, warnings.catch_warnings(action="ignore"):
        limit = Image.MAX_IMAGE_PIXELS
        Image.MAX_IMAGE_PIXELS = None
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS = limit


def _opened(path: Path, name: str) -> Image.Image:
    """The picture with only its head read."""
    with path.open("rb") as file:
        head = file.read(64)
    if _is_heic(head):
        return _opened_heic(path, name)
    try:
        image = Image.open(path, formats=PHOTO_FORMATS)
    except UnidentifiedImageError as error:
        what, remedy = other_file(head) or ("not a photo this tool can read, whatever its name says", GIVE_THE_PHOTO)
        raise UnreadablePhoto(f"{name} is {what}.", remedy) from error
    if DNG_VERSION_TAG in getattr(image, "tag_v2", {}):
        image.close()
        raise UnreadablePhoto(f"{name} is a raw photo.", "Save it as JPEG, or switch raw photos off in the camera.")
    return image


def _is_heic(head: bytes) -> bool:
    """Whether the first box of a file names a HEIC brand (ISO/IEC 23008-12 annex B, from memory)."""
    if head[4:8] != b"ftyp":
        return False
    further = [head[at : at + 4] for at in range(16, min(len(head), int.from_bytes(head[:4])), 4)]
    return head[8:12] in HEIC_BRANDS or (head[8:12] in HEIF_BRANDS and b"avif" not in further)


def _opened_heic(path: Path, name: str) -> Image.Image:
    """A HEIC picture by whichever of the two optional readers is installed; its own turns are applied by them."""
    for reader in ("pillow_heif", "pi_heif"):
        try:
            opener = import_module(reader).HeifImageFile
        except ImportError:
            continue
        image: Image.Image = opener(path)
        return image
    raise UnreadablePhoto(
        f"{name} is a HEIC photo and this installation cannot read those.",
        "Install 'patternscan[heic]', or set the phone to save JPEG (on an iPhone: Camera, Formats, Most Compatible).",
    )


def _refuse_size(image: Image.Image, name: str, max_megapixels: float) -> None:
    width, height = image.size
    if width * height > max_megapixels * 1e6:
        raise UnreadablePhoto(
            f"{name} has {width * height / 1e6:.3g} megapixels; the limit is {max_megapixels:g}.",
            f"Save it smaller, or raise the limit {named(Handle.LARGER)}.",
        )
    if min(width, height) < SMALLEST_PHOTO_PX:
        raise UnreadablePhoto(
            f"{name} is only {width} x {height} pixels, too small to see anything on a flank.",
            "Give the photo as it came from the camera, not its preview.",
        )
